// What a grader's tablet keeps of runs until the server has it, in IndexedDB: each
// tap as an entry of its own, on the disk before the screen moves on, and each run
// that is under way.

import { done, newID, result, tabletStore } from "./tablet-store.js";

export { newID };

const base = tabletStore("hangtrue-grade", (db) => {
  // In the order in which they were made, whichever page of this tablet made them.
  db.createObjectStore("entries", { keyPath: "order", autoIncrement: true });
  db.createObjectStore("runs", { keyPath: "id" });
});

const database = base.open;

// within writes, and is over when all of it is on the disk.
async function within(work) {
  const db = await database();
  const tx = db.transaction(["entries", "runs"], "readwrite", { durability: "strict" });
  const written = done(tx);
  work(tx.objectStore("entries"), tx.objectStore("runs"));
  await written;
}

async function all(rows) {
  const db = await database();
  return result(db.transaction(rows).objectStore(rows).getAll());
}

// add keeps an entry together with the run as it is after it.
export const add = (me, entry, run) => within((entries, runs) => (entries.put({ ...entry, me }), runs.put({ ...run, me })));

export const keepRun = (me, run) => within((_, runs) => runs.put({ ...run, me }));

// drop takes off the tablet what the server has: entries, and runs by their ids.
export const drop = (list, ids) => within((entries, runs) => (list.forEach((e) => entries.delete(e.order)), ids.forEach((id) => runs.delete(id))));

export const runs = async (me) => (await all("runs")).filter((r) => r.me === me);

// waiting lists what is not delivered, in the order in which it was made.
export const waiting = async (me) => (await all("entries")).filter((e) => e.me === me);

// others counts the entries that wait for another grader.
export const others = async (me) => (await all("entries")).filter((e) => e.me !== me).length;

// fromBefore takes in what an earlier version of this page kept elsewhere.
export async function fromBefore() {
  const old = [];
  for (const key of Object.keys(localStorage)) {
    const [, me, kind] = /^hangtrue-grade-([^:]+):([er]):/.exec(key) ?? [];
    try {
      if (me) old.push({ key, kind, value: { ...JSON.parse(localStorage.getItem(key)), me } });
    } catch { /* nothing of ours */ }
  }
  const rank = (x) => (x.value.kind === "start" ? 0 : 1);
  old.sort((a, b) => rank(a) - rank(b) || String(a.value.at).localeCompare(String(b.value.at)));
  if (old.length > 0) await within((entries, runs) => old.forEach((x) => (x.kind === "e" ? entries : runs).put(x.value)));
  for (const x of old) localStorage.removeItem(x.key);
}

// copies are the pages of lanes that are kept for where there is no network. They
// say what is planted.
const copies = "hangtrue-grade-";

export async function dropCopies(version = "") {
  if (!window.caches) return;
  for (const key of await caches.keys()) if (key.startsWith(copies + version)) await caches.delete(key);
}

export async function keepCopy(version, address, text, headers) {
  const cache = await caches.open(copies + version);
  await cache.put(address, new Response(text, { headers }));
}

export const copyOf = async (version, address) => (window.caches && (await caches.has(copies + version)) ? (await caches.open(copies + version)).match(address) : undefined);

// tidy is for when nobody is signed in: no page that says what is planted stays,
// and no entry but what was not sent. It tells how many of these there are.
export async function tidy() {
  await dropCopies();
  if (!(await base.there())) return 0;
  const left = (await all("entries")).length;
  if (left > 0) return left;
  await base.remove();
  return 0;
}
