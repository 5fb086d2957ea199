// Sends what is tapped, and keeps it while the server does not answer: what is kept stands at the foot of the page until
// it is noted, with its own time. Without this script the same forms are sent the plain way.
import { flush, heard } from "./keptsend.js";
import { alter, keep, lasting, setNames, taps } from "./keptstore.js";

const place = document.getElementById("kept");
const words = JSON.parse(place.dataset.words);
const { person, name, zone, worker } = place.dataset;
const standsIn = "unreachable" in place.dataset;
const installed = (worker || standsIn) && "SyncManager" in window;
const soonest = 2000;
const latest = 60000;
const twiceWithin = 60000;
const unsaid = 1000;
const wants = ["new", "away", "unable", "log in", "another"];
const underway = new Set();
let leaving = false;
let filled = false;
let wait = soonest;
let timer;
let sent = [];
let slip = "";
let shown = "";
let background = false;

const fill = (sentence, values) => sentence.replace(/\{(\w+)\}/g, (all, field) => values[field] ?? all);
const random = () => [...crypto.getRandomValues(new Uint8Array(16))].map((byte) => byte.toString(16).padStart(2, "0")).join("");

// The time on the owner's clock, written as the pages write it; with its day once that is over.
function clock(moment, where) {
  const said = (how) => new Intl.DateTimeFormat("en-GB", { timeZone: where, ...how });
  const day = said({ dateStyle: "short" });
  const [hours, minutes] = said({ hour: "2-digit", minute: "2-digit", hourCycle: "h23" }).format(moment).split(":");
  const half = words.clock[hours < 12 ? "am" : "pm"];
  const time = half ? fill(half, { hours: hours % 12 || 12, minutes }) : `${hours}:${minutes}`;
  if (day.format(moment) === day.format(Date.now())) return time;
  return `${words.days[said({ weekday: "short" }).format(moment)]} ${time}`;
}

function told(tap, without = false) {
  const names = without ? "" : tap.names.length > words.most ? fill(words.many, { n: tap.names.length }) : tap.names.join(", ");
  const time = clock(new Date(tap.tapped), tap.zone);
  const about = (tap.fields.find(([field]) => field === "clock") ?? ["", ""])[1];
  return fill(words.acts[tap.act], { names, when: fill(words.when[tap.when], { time, about }) }).trim();
}

function tapped(form, button) {
  const [first, second] = button.value.split(" ");
  const all = first === "all";
  const ticked = [...form.querySelectorAll("input[name=in]:checked")];
  const fields = [...new FormData(form, button)].filter(([field, value]) => field !== "csrf_token" && value.size !== 0);
  return {
    key: random(),
    fields,
    names: all ? ticked.map((box) => box.labels[0].textContent) : [form.dataset.kept || button.closest("[data-watch]").dataset.kept],
    watches: all ? ticked.map((box) => box.value) : [second],
    act: all ? second : first,
    when: form.elements.when?.value ?? "now",
    tapped: Date.now(),
    zone: form.dataset.zone || zone,
    person: form.dataset.person || person,
    name: form.dataset.name || name,
    state: "new",
  };
}

function goTo(address) {
  leaving = true;
  location.assign(address);
}

const anew = () => goTo(location.href.split("#")[0]);

// The page as it was filled in, with a sentence by each field, is the server's own to show.
function leaveToServer(form, button, { key }, token) {
  leaving = true;
  const hidden = { type: "hidden", name: "csrf_token" };
  form.elements.csrf_token ?? form.append(Object.assign(document.createElement("input"), hidden));
  form.elements.csrf_token.value = token;
  form.elements.key.value = key;
  form.requestSubmit(button);
}

const same = (one, other) => one.act === other.act && one.watches.join() === other.watches.join();

async function taken(form, button) {
  const tap = tapped(form, button);
  // The page's own key names the first tap that it sends; the page may stay, and then the next has one of its own.
  const key = tap.fields.find(([field]) => field === "key");
  if (key[1]) tap.key = key[1]; else key[1] = tap.key;
  form.elements.key.value = "";
  slip = tap.names.length ? "" : words.none;
  const twice = ({ tapped, withdrawn, ...each }) => !withdrawn && same(each, tap) && tap.tapped - tapped < twiceWithin;
  if (slip || (await taps()).some(twice)) return;
  await keep(tap);
  const outcome = (await flush()).find((each) => each.key === tap.key);
  if (leaving) return;
  if (outcome?.state === "noted") {
    goTo(outcome.to);
  } else if (outcome?.state === "refused") {
    await alter(tap.key, () => null);
    leaveToServer(form, button, tap, outcome.token);
  } else if (outcome?.state === "gone" || (await taps()).some((each) => each.key === tap.key)) {
    await askForALater();
  } else {
    anew(); // another page of ours has sent it meanwhile
  }
}

// Some browsers send what is kept with no page open; that is said only where this one has agreed to.
async function askForALater() {
  if (!installed) return;
  try {
    await (await navigator.serviceWorker.getRegistration()).sync.register("kept");
    background = true;
  } catch {
    background = false;
  }
}

document.addEventListener("submit", async (event) => {
  const { target: form, submitter: button } = event;
  if (form.matches(".leave")) setNames(null); // and once more on the page that follows
  if (leaving || !("kept" in form.dataset) || !button?.value) return;
  event.preventDefault();
  if (underway.has(button.value)) return;
  underway.add(button.value);
  wait = soonest;
  setTimeout(show, unsaid);
  try {
    await taken(form, button);
  } finally {
    underway.delete(button.value);
    if (!leaving) await show();
  }
});

function button(label, act) {
  const made = Object.assign(document.createElement("button"), { type: "button", className: "quiet", textContent: label });
  made.addEventListener("click", async () => {
    await act();
    await show();
    place.focus();
  });
  return made;
}

const line = (tag, ...parts) => {
  const made = document.createElement(tag);
  made.append(...parts);
  return made;
};

const link = (label, to) => Object.assign(line("a", label), { href: to });

function row(tap) {
  const said = line("li", line("span", told(tap) + (tap.problem ? `. ${tap.problem}` : "")));
  const drop = button(words.drop, () => alter(tap.key, () => null));
  if (tap.state === "refused") {
    const again = async () => {
      await alter(tap.key, (each) => ({ ...each, state: "away", problem: "" }));
      await go();
    };
    said.className = "refused";
    said.append(button(words.again, again), drop);
    if (tap.watches.length === 1) said.append(link(words.watch, `/watch/${tap.watches[0]}`));
  } else if (!tap.withdrawn) {
    // One that was never on its way is gone with this; of any other the server is told to take it back.
    const back = async () => {
      const still = await alter(tap.key, (each) => (each.posted ? { ...each, withdrawn: true } : null));
      slip = still ? "" : fill(words.undone, { told: told(tap) });
    };
    said.append(button(tap.state === "another" ? words.drop : words.undo, back));
  }
  return said;
}

const groups = [
  ["not taken back", (tap) => tap.state === "refused" && tap.withdrawn],
  ["refused", (tap) => tap.state === "refused"],
  ["withdrawn", (tap) => tap.withdrawn],
  ["another", (tap) => tap.state === "another"],
  ["log in", (tap) => tap.state === "log in"],
  ["unable", (tap) => tap.state === "unable"],
  ["new", (tap) => tap.state === "new"],
  ["away", () => true],
];

function hint() {
  if (!lasting()) return words.open;
  return background ? words.close : words.later;
}

// A tap on its way is spoken of only if that takes a while.
async function show() {
  const kept = (await taps()).filter(({ state, tapped }) => state !== "new" || Date.now() - tapped >= unsaid);
  const parts = [];
  if (slip) parts.push(Object.assign(line("p", slip), { className: "sub" }));
  if (sent.length) {
    parts.push(line("p", words.sent, " ", link(words.fresh, location.pathname + location.search)));
    parts.push(line("ul", ...sent.map((each) => line("li", line("span", told(each))))));
  }
  let left = kept;
  for (const [group, of] of groups) {
    const [these, others] = [left.filter(of), left.filter((tap) => !of(tap))];
    left = others;
    if (!these.length) continue;
    const head = line("p", fill(words.heads[group], { name: these[0].name }));
    if (group === "log in" && (person || standsIn)) head.append(" ", link(words.enter, `/log-in?next=${encodeURIComponent(location.pathname + location.search)}`));
    if (["away", "unable"].includes(group)) head.append(" ", hint());
    parts.push(head, line("ul", ...these.map(row)));
  }
  // The row that was tapped says so, too: the foot of the page may be far from the thumb.
  for (const each of document.querySelectorAll("[data-watch]")) {
    each.querySelector(".tapped")?.remove();
    const tap = kept.find(({ state, watches, withdrawn }) => !["new", "refused"].includes(state) && !withdrawn && watches.includes(each.dataset.watch));
    const said = tap && fill(words.row, { told: told(tap, true) });
    if (tap) each.querySelector(".what").append(Object.assign(line("p", said), { className: "doubt tapped" }));
  }
  // What stands already is left alone, so that it is not read aloud at every try and keeps the focus.
  const now = JSON.stringify([kept.map(({ key }) => key), parts.map((each) => each.textContent)]);
  if (now !== shown) place.replaceChildren(...parts);
  shown = now;
  place.hidden = !parts.length;
  clearTimeout(timer);
  if (kept.some(({ state }) => wants.includes(state))) timer = setTimeout(go, wait);
}

// Once something was noted the page no longer says what stands; it is asked for anew unless it is being filled in.
async function go() {
  clearTimeout(timer);
  if (leaving || underway.size) return;
  const before = await taps();
  const outcomes = await flush();
  wait = outcomes.every(({ state }) => state === "noted") ? soonest : Math.min(1.5 * wait, latest);
  const noted = outcomes.filter(({ state }) => state === "noted").map(({ key }) => key);
  if (noted.length && !filled && !leaving) {
    anew();
    return;
  }
  sent.push(...before.filter(({ key, withdrawn }) => noted.includes(key) && !withdrawn));
  await show();
}

async function begin() {
  if (worker && navigator.serviceWorker) {
    navigator.serviceWorker.register(worker, { type: "module" }).catch(() => {});
  }
  // Which watches there are is known to the small page alone that stands in while the server is away, until the log-out.
  if (!person || !worker) {
    if (!standsIn) await setNames(null);
  } else if (document.querySelector("main [data-round]")) {
    const found = new Map();
    for (const each of document.querySelectorAll("main a[href^='/watch/']")) {
      const [, , uid, more] = each.getAttribute("href").split("/");
      if (!more && !found.has(uid)) found.set(uid, each.textContent.trim());
    }
    await setNames({ person, name, zone, watches: [...found] });
  }
  if ((await taps()).some(({ state }) => wants.includes(state))) {
    await askForALater();
    await show();
    await go();
  } else {
    await show();
  }
}

document.addEventListener("input", () => { filled = true; });
addEventListener("online", () => { wait = soonest; go(); });
document.addEventListener("visibilitychange", () => { if (!document.hidden && !place.hidden) go(); });
addEventListener("pageshow", ({ persisted }) => { if (persisted) { leaving = false; show(); } });
heard.addEventListener("message", ({ data }) => {
  if (data.includes("noted") && !filled && !underway.size && !document.hidden) anew(); else show();
});
begin();
