// What a tablet keeps of its walks until the laptop has it: entries and photos
// in IndexedDB. An entry is on the disk before the screen moves on, is numbered
// on this device within its inspection, and is never altered.

import { done, newID, result, tabletStore } from "./tablet-store.js";

export { newID };

const base = tabletStore("hangtrue-inspect", (db) => {
  db.createObjectStore("events", { keyPath: "id" }).createIndex("inspection", "inspection");
  db.createObjectStore("photos", { keyPath: "key" }).createIndex("inspection", "inspection");
  db.createObjectStore("served", { keyPath: "inspection" });
  db.createObjectStore("device", { keyPath: "name" });
});

export const database = base.open;

// exists tells whether this tablet keeps anything, without making a database.
export const exists = base.there;

// clock is the tablet's time, as it shows it. A tablet that has lost its clock
// shows a year that no entry can have; it then begins with the century.
const clock = () => new Date(Math.max(Date.now(), Date.UTC(2000, 0, 1))).toISOString();

// add keeps one entry, with its photos, and returns it once it is on the disk.
export async function add(inspection, by, kind, body, photos = []) {
  const db = await database();
  const tx = db.transaction(["events", "photos", "device"], "readwrite", { durability: "strict" });
  const finished = done(tx);
  let device = await result(tx.objectStore("device").get("device"));
  if (!device) {
    device = { name: "device", id: newID() };
    tx.objectStore("device").put(device);
  }
  const before = await result(tx.objectStore("events").index("inspection").getAll(inspection));
  const n = before.reduce((most, e) => (e.device === device.id ? Math.max(most, e.n) : most), 0) + 1;
  const event = { id: newID(), inspection, device: device.id, n, kind, at: clock(), by, body: JSON.stringify(body ?? {}), sent: 0, seq: 0 };
  tx.objectStore("events").put(event);
  for (const photo of photos) {
    tx.objectStore("photos").put({ key: inspection + " " + photo.hash, inspection, hash: photo.hash, blob: photo.blob, by, sent: 0 });
  }
  await finished;
  return event;
}

export async function events(inspection) {
  const db = await database();
  const all = await result(db.transaction("events").objectStore("events").index("inspection").getAll(inspection));
  return all.sort((a, b) => a.n - b.n);
}

export async function device() {
  const db = await database();
  return (await result(db.transaction("device").objectStore("device").get("device")))?.id ?? "";
}

// keepPhoto keeps a photo before the answer that it belongs to is given.
export async function keepPhoto(inspection, by, photo) {
  const db = await database();
  const tx = db.transaction("photos", "readwrite", { durability: "strict" });
  const finished = done(tx);
  tx.objectStore("photos").put({ key: inspection + " " + photo.hash, inspection, hash: photo.hash, blob: photo.blob, by, sent: 0 });
  await finished;
}

export async function photo(inspection, hash) {
  const db = await database();
  return (await result(db.transaction("photos").objectStore("photos").get(inspection + " " + hash)))?.blob;
}

// served keeps what the server was seen to have of an inspection.
export async function keepServed(inspection, list) {
  const db = await database();
  const tx = db.transaction("served", "readwrite");
  const finished = done(tx);
  tx.objectStore("served").put({ inspection, events: list });
  await finished;
}

export async function served(inspection) {
  const db = await database();
  return (await result(db.transaction("served").objectStore("served").get(inspection)))?.events ?? [];
}

// unsent lists what the server has not acknowledged, of all walks or of one.
export async function unsent(inspection) {
  const db = await database();
  const tx = db.transaction(["events", "photos"]);
  const wanted = (x) => x.sent === 0 && (!inspection || x.inspection === inspection);
  const list = (await result(tx.objectStore("events").getAll())).filter(wanted).sort((a, b) => a.n - b.n);
  const used = new Set(list.flatMap((e) => photosOf(e)));
  const photos = (await result(tx.objectStore("photos").getAll())).filter((p) => wanted(p) && used.has(p.hash));
  return { events: list, photos };
}

const photosOf = (event) => JSON.parse(event.body).photos ?? [];

// The server takes so much at once.
const most = { events: 200, bytes: 600 << 10 };

const wire = (e) => `{"id":${JSON.stringify(e.id)},"inspection":${JSON.stringify(e.inspection)},"device":${JSON.stringify(e.device)},"n":${e.n},"kind":${JSON.stringify(e.kind)},"at":${JSON.stringify(e.at)},"body":${e.body}}`;

// Told is an answer of the server that says no.
export class Told extends Error {
  constructor(status, words) {
    super(words);
    this.status = status;
  }
}

async function post(address, body, type) {
  const answer = await fetch(address, { method: "POST", body, headers: { "Content-Type": type, Accept: "application/json" }, signal: AbortSignal.timeout(25000) });
  let data = {};
  try {
    data = await answer.json();
  } catch {
    // A server that is going down sends half an answer: not acknowledged.
    throw new TypeError("half an answer");
  }
  if (answer.status >= 500) throw Object.assign(new TypeError("the laptop is not well"), { unwell: data.refused ?? "" });
  if (!answer.ok) throw new Told(answer.status, data.refused ?? "The server says no: " + answer.status);
  return data;
}

// send delivers one walk's entries in order, and says what became of it. It
// throws where the server was not reached, and Told where it says no.
export async function send(inspection) {
  const run = () => deliver(inspection);
  return navigator.locks ? navigator.locks.request("hangtrue-send " + inspection, run) : run();
}

async function deliver(inspection) {
  const out = { sent: 0, refused: "", apart: null, events: [] };
  let again = true;
  for (;;) {
    const { events: waiting, photos } = await unsent(inspection);
    for (const p of photos) {
      const answer = await post(`/inspect/${inspection}/photo`, p.blob, "application/octet-stream");
      if (answer.photo !== p.hash) throw new Told(422, "The photo arrived damaged.");
      await mark("photos", [{ ...p, sent: 1 }]);
    }
    if (waiting.length === 0) return out;
    const part = [];
    let size = 0;
    for (const e of waiting) {
      const text = wire(e);
      if (part.length > 0 && (part.length >= most.events || size + text.length > most.bytes || e.by !== waiting[0].by)) break;
      part.push(e);
      size += text.length;
    }
    const before = Date.now();
    const answer = await post(`/inspect/${inspection}/events`, `{"by":${JSON.stringify(part[0].by)},"events":[${part.map(wire).join(",")}]}`, "application/json");
    out.apart = new Date(answer.now).getTime() - (before + Date.now()) / 2;
    const known = new Map(answer.outcomes.map((o) => [o.id, o]));
    const good = part.filter((e) => known.has(e.id) && !known.get(e.id).refused).map((e) => ({ ...e, sent: 1, seq: known.get(e.id).seq }));
    await mark("events", good);
    out.sent += good.length;
    out.events.push(...good);
    if (good.length === part.length) continue;
    const no = part.map((e) => known.get(e.id)).find((o) => o?.refused);
    if (no?.refused === "gap" && again) {
      // The server has lost entries that it had acknowledged, as after a
      // restored backup: all are sent once more. It keeps each once.
      again = false;
      await mark("events", (await events(inspection)).map((e) => ({ ...e, sent: 0, seq: 0 })));
      continue;
    }
    out.refused = no?.words ?? "The server did not answer for every entry.";
    return out;
  }
}

async function mark(store, list) {
  if (list.length === 0) return;
  const db = await database();
  const tx = db.transaction(store, "readwrite");
  const finished = done(tx);
  for (const x of list) tx.objectStore(store).put(x);
  await finished;
}

// drop takes off the tablet what the server refuses for good; the person has it in
// a file.
export async function drop(inspection) {
  const { events: list, photos } = await unsent(inspection);
  const db = await database();
  const tx = db.transaction(["events", "photos"], "readwrite");
  const finished = done(tx);
  for (const e of list) tx.objectStore("events").delete(e.id);
  for (const p of photos) tx.objectStore("photos").delete(p.key);
  await finished;
}

// file writes what was not sent to a file for the laptop to take in.
export async function file() {
  const { events: list, photos } = await unsent();
  const data = await Promise.all(photos.map(async (p) => `{"hash":${JSON.stringify(p.hash)},"data":${JSON.stringify(await base64(p.blob))}}`));
  const text = list.map((e) => `{"by":${JSON.stringify(e.by)},` + wire(e).slice(1));
  return new Blob([`{"format":"hangtrue.unsent/1","made":${JSON.stringify(clock())},"events":[\n${text.join(",\n")}\n],"photos":[\n${data.join(",\n")}\n]}\n`], { type: "application/json" });
}

async function base64(blob) {
  const bytes = new Uint8Array(await blob.arrayBuffer());
  let text = "";
  for (let i = 0; i < bytes.length; i += 0x8000) text += String.fromCharCode(...bytes.subarray(i, i + 0x8000));
  return btoa(text);
}

// download gives a file to the person.
export function download(blob) {
  const a = document.createElement("a");
  a.href = URL.createObjectURL(blob);
  a.download = `hangtrue-unsent-${new Date().toISOString().slice(0, 16).replace(/[:T]/g, "-")}.json`;
  document.body.append(a);
  a.click();
  a.remove();
  setTimeout(() => URL.revokeObjectURL(a.href), 60000);
}

// clear takes off the tablet all that it keeps of the school, but for what begins so.
export async function clear(spared) {
  await base.remove();
  if (window.caches) for (const key of await caches.keys()) if (key.startsWith("hangtrue-") && !(spared && key.startsWith(spared))) await caches.delete(key);
  for (const key of Object.keys(localStorage)) if (key.startsWith("hangtrue-walk ")) localStorage.removeItem(key);
}
