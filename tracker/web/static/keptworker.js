// The worker of the installed pages: our own static files from its cache, one small page while the server is away, and
// the taps that are kept, sent when the browser says that there is a way again. No page with data is ever kept.
import { flush } from "./keptsend.js";

const gone = [502, 503, 504];

export function start({ cache, files, unreachable }) {
  addEventListener("install", (event) => {
    const fresh = [...files, unreachable].map((path) => new Request(path, { cache: "reload" }));
    event.waitUntil(caches.open(cache).then((kept) => kept.addAll(fresh)).then(() => skipWaiting()));
  });

  addEventListener("activate", (event) => {
    const tidied = async () => {
      const old = (await caches.keys()).filter((name) => name !== cache);
      await Promise.all(old.map((name) => caches.delete(name)));
      await clients.claim();
    };
    event.waitUntil(tidied());
  });

  // A proxy says so itself when nobody answers behind it; a page of ours that says 503 has its policy with it.
  async function page(request) {
    try {
      const answer = await fetch(request);
      if (!gone.includes(answer.status) || answer.headers.has("Content-Security-Policy")) return answer;
    } catch {
      // No way to the server at all.
    }
    return caches.match(unreachable);
  }

  addEventListener("fetch", (event) => {
    const { request } = event;
    if (request.method !== "GET") return;
    if (request.mode === "navigate") event.respondWith(page(request));
    else if (files.includes(new URL(request.url).pathname)) {
      event.respondWith(caches.match(request).then((kept) => kept ?? fetch(request)));
    }
  });

  addEventListener("sync", (event) => {
    const sent = async () => {
      const outcomes = await flush();
      // Refused, the browser tries again later.
      if (outcomes.some(({ state }) => ["away", "unable"].includes(state))) throw new Error("the server is away");
    };
    event.waitUntil(sent());
  });
}
