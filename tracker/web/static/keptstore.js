// What this browser keeps until the server has it: taps on their way, and which watches the last round named.
// Where the browser lets nothing be kept, as some private windows do, taps are held in the open page.
const open = new Promise((resolve, reject) => {
  const asked = indexedDB.open("going-barrel", 1);
  asked.onupgradeneeded = () => {
    asked.result.createObjectStore("taps", { keyPath: "key" });
    asked.result.createObjectStore("names", { keyPath: "key" });
  };
  asked.onsuccess = () => resolve(asked.result);
  asked.onerror = () => reject(asked.error);
});
open.catch(() => {});
const held = new Map();

// One transaction; `act` gets the store and a place to put its answer.
async function within(store, mode, act) {
  const db = await open;
  return new Promise((resolve, reject) => {
    const change = db.transaction(store, mode, { durability: "strict" });
    const answer = {};
    act(change.objectStore(store), answer);
    change.oncomplete = () => resolve(answer.value);
    change.onabort = () => reject(change.error);
  });
}

const read = (store) => within(store, "readonly", (rows, answer) => {
  rows.getAll().onsuccess = ({ target }) => { answer.value = target.result; };
});

export const lasting = () => held.size === 0;

// Every tap kept, the oldest first.
export async function taps() {
  const found = await read("taps").catch(() => []);
  return [...found, ...held.values()].sort((a, b) => a.tapped - b.tapped);
}

export async function keep(tap) {
  await within("taps", "readwrite", (rows) => rows.put(tap)).catch(() => held.set(tap.key, tap));
}

// Puts `altered(tap)` in place of a tap, nothing where that is null; gives what stands then. One that is gone stays gone.
export async function alter(key, altered) {
  if (held.has(key)) {
    const tap = altered(held.get(key));
    if (tap) held.set(key, tap); else held.delete(key);
    return tap;
  }
  return within("taps", "readwrite", (rows, answer) => {
    rows.get(key).onsuccess = ({ target }) => {
      if (!target.result) return;
      answer.value = altered(target.result);
      if (answer.value) rows.put(answer.value); else rows.delete(key);
    };
  });
}

export async function names() {
  const [found] = await read("names").catch(() => []);
  return found;
}

export async function setNames(found) {
  const act = found ? (rows) => rows.put({ key: "round", ...found }) : (rows) => rows.clear();
  await within("names", "readwrite", act).catch(() => {});
}
