// Sends the taps that are kept, the oldest first, each until the server has noted it once: its key is its name there.
import { alter, taps } from "./keptstore.js";

const path = "/log/kept";
const patience = { GET: 8000, POST: 60000 }; // a photograph may take a while
const prompt = 30;
const unanswered = [502, 503, 504];
export const heard = new BroadcastChannel("going-kept");

// What the server says, as { state, … }: noted, refused, log in; unable, where it stands but can't; away.
async function ask(how = {}) {
  let answer, told;
  try {
    answer = await fetch(path, { ...how, redirect: "manual", cache: "no-store", signal: AbortSignal.timeout(patience[how.method ?? "GET"]) });
    if (answer.type === "opaqueredirect") return { state: "log in" };
    told = await answer.json();
  } catch {
    return { state: !answer || answer.ok || unanswered.includes(answer.status) ? "away" : "unable" };
  }
  if (answer.ok) return { ...told, state: "noted" };
  return { ...told, state: answer.status >= 500 || told.stale ? "unable" : "refused" };
}

async function attempt({ key, person, name }) {
  const whose = await ask();
  if (whose.state !== "noted") return whose;
  if (whose.person !== person) return { state: "another", name };
  const tap = await alter(key, (each) => ({ ...each, posted: true }));
  if (!tap) return { state: "gone" };
  const body = new FormData();
  for (const [field, value] of tap.fields) body.append(field, value);
  const ago = (Date.now() - tap.tapped) / 1000;
  body.set("ago_s", ago);
  body.set("zone", tap.zone);
  if (tap.state !== "new" || ago > prompt) body.set("late", "yes");
  if (tap.withdrawn) body.set("withdrawn", "yes");
  const answer = await ask({ method: "POST", body, headers: { "X-CSRFToken": whose.token } });
  return { ...answer, token: whose.token, withdrawn: tap.withdrawn };
}

// A tap taken back while it was on its way is not done with once it has arrived.
const settled = ({ state, problem, withdrawn }) => (tap) => {
  if (state !== "noted") return { ...tap, state, problem };
  return tap.withdrawn && !withdrawn ? { ...tap, state: "away" } : null;
};

const wants = ({ state }) => state !== "refused";

async function all() {
  const outcomes = [];
  const waiting = (await taps()).filter(wants);
  for (const tap of waiting) {
    const outcome = await attempt(tap);
    outcomes.push({ key: tap.key, ...outcome });
    if (["away", "unable", "log in"].includes(outcome.state)) {
      for (const each of (await taps()).filter(wants)) await alter(each.key, settled(outcome));
      break;
    }
    await alter(tap.key, settled(outcome));
  }
  // Other open pages are told of what had waited; a tap that went straight through is the tapped page's own.
  if (waiting.some(({ state }) => state !== "new")) heard.postMessage(outcomes.map(({ state }) => state));
  return outcomes;
}

// One sending at a time. Browsers hand out locks over all pages under https alone; elsewhere each page waits for itself,
// and what two pages send is noted once.
let before = Promise.resolve();
export const flush = () => {
  if (navigator.locks) return navigator.locks.request("going-kept", all);
  before = before.then(all, all);
  return before;
};
