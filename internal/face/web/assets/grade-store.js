// What a grader's tablet keeps of runs until the server has it, in IndexedDB: each
// tap as an entry of its own, on the disk before the screen moves on, and each run
// that is under way.

const name = "hangtrue-grade";
let opened = null;

// 26 letters and digits at random, 130 bits.
export function newID() {
  const signs = "abcdefghijklmnopqrstuvwxyz234567";
  return [...crypto.getRandomValues(new Uint8Array(26))].map((x) => signs[x & 31]).join("");
}

// A page that was left may be frozen while it opens the database, and then keeps
// every other page from opening it. A page that holds a lock is not frozen.
navigator.locks?.request("hangtrue-page " + newID(), () => new Promise(() => {})).catch(() => {});

function database() {
  opened ??= new Promise((resolve, reject) => {
    setTimeout(() => reject(new Error("This tablet’s store does not open. Close other pages of the school on it and open this one again.")), 10000);
    const request = indexedDB.open(name, 1);
    request.onupgradeneeded = () => {
      // In the order in which they were made, whichever page of this tablet made them.
      request.result.createObjectStore("entries", { keyPath: "order", autoIncrement: true });
      request.result.createObjectStore("runs", { keyPath: "id" });
    };
    request.onsuccess = () => {
      const db = request.result;
      db.onversionchange = () => {
        db.close();
        opened = null;
      };
      db.onclose = () => (opened = null);
      resolve(db);
    };
    request.onerror = () => reject(request.error);
  });
  opened.catch(() => (opened = null));
  return opened;
}

const result = (request) =>
  new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });

// within writes, and is over when all of it is on the disk.
async function within(work) {
  const db = await database();
  const tx = db.transaction(["entries", "runs"], "readwrite", { durability: "strict" });
  const done = new Promise((resolve, reject) => {
    tx.oncomplete = () => resolve();
    tx.onabort = () => reject(tx.error ?? new Error("the tablet could not keep it"));
    tx.onerror = () => reject(tx.error);
  });
  work(tx.objectStore("entries"), tx.objectStore("runs"));
  await done;
}

async function all(store) {
  const db = await database();
  return result(db.transaction(store).objectStore(store).getAll());
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
  if (!window.indexedDB || (indexedDB.databases && !(await indexedDB.databases()).some((d) => d.name === name))) return 0;
  const left = (await all("entries")).length;
  if (left > 0) return left;
  (await opened).close();
  opened = null;
  await new Promise((resolve) => {
    const request = indexedDB.deleteDatabase(name);
    request.onsuccess = request.onerror = request.onblocked = resolve;
  });
  return 0;
}
