// What this tablet holds of walks and of lanes that are graded, and how much of it
// was not sent. The worker reads it as well as the pages, so it needs nothing else.

// rows reads a store of this tablet, without making a database that is not there.
async function rows(database, store) {
  if (indexedDB.databases && !(await indexedDB.databases()).some((d) => d.name === database)) return [];
  return new Promise((resolve) => {
    const request = indexedDB.open(database);
    request.onupgradeneeded = () => request.transaction.abort();
    request.onerror = () => resolve([]);
    request.onsuccess = () => {
      const db = request.result;
      db.onversionchange = () => db.close();
      if (!db.objectStoreNames.contains(store)) {
        db.close();
        return resolve([]);
      }
      const all = db.transaction(store).objectStore(store).getAll();
      all.onerror = () => (db.close(), resolve([]));
      all.onsuccess = () => (db.close(), resolve(all.result));
    };
  });
}

function counted(list) {
  const out = new Map();
  for (const x of list) out.set(x, (out.get(x) ?? 0) + 1);
  return out;
}

// stale tells of a page that is for one person's eyes whether their session is over.
export function stale(answer) {
  const until = answer.headers.get("X-Kept-Until");
  return until !== null && Date.now() > Date.parse(until);
}

// held lists walks and lanes, each with its address ("" where its page is not kept),
// its name and how many of its entries were not sent.
export async function held() {
  const keys = await caches.keys();
  const unsent = counted((await rows("hangtrue-inspect", "events")).filter((e) => e.sent === 0).map((e) => e.inspection));
  const walks = [];
  const ids = keys.filter((k) => k.startsWith("hangtrue-walk-")).map((k) => k.slice("hangtrue-walk-".length));
  for (const id of new Set([...ids, ...unsent.keys()])) {
    const cache = ids.includes(id) ? await caches.open("hangtrue-walk-" + id) : null;
    const bundle = await (await cache?.match(`/inspect/${id}/bundle`))?.json();
    const there = (await cache?.match("/inspect/" + id)) !== undefined;
    if (!there && !unsent.has(id)) continue;
    walks.push({ address: there ? "/inspect/" + id : "", words: (bundle?.load || "a load") + (bundle?.training ? ", training" : "") + (bundle?.invented ? ", INVENTED" : ""), unsent: unsent.get(id) ?? 0 });
  }
  const runs = new Map((await rows("hangtrue-grade", "runs")).map((r) => [r.id, r.version]));
  const taps = counted((await rows("hangtrue-grade", "entries")).map((e) => runs.get(e.run) ?? "").filter(Boolean));
  const lanes = [];
  const versions = keys.filter((k) => k.startsWith("hangtrue-grade-")).map((k) => k.slice("hangtrue-grade-".length));
  for (const version of new Set([...versions, ...taps.keys()])) {
    const page = versions.includes(version) ? await (await caches.open("hangtrue-grade-" + version)).match("/grade/" + version) : undefined;
    const there = page !== undefined && !stale(page);
    if (!there && !taps.has(version)) continue;
    lanes.push({ address: there ? "/grade/" + version : "", words: there ? decodeURIComponent(page.headers.get("X-Kept-Name") ?? "A lane") : "A lane", unsent: taps.get(version) ?? 0 });
  }
  const order = (a, b) => b.unsent - a.unsent || a.words.localeCompare(b.words);
  return { walks: walks.sort(order), lanes: lanes.sort(order) };
}

export const unsentWords = (n) => (n === 0 ? "all sent" : n === 1 ? "1 entry not sent yet" : n + " entries not sent yet");
