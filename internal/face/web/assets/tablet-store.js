// A database of this tablet's own, in IndexedDB: opened when it is first wanted,
// given up when another page of the tablet takes it away, and removed whole.

// newID draws 26 letters and digits at random, 130 bits, as the server does.
export function newID() {
  const signs = "abcdefghijklmnopqrstuvwxyz234567";
  return Array.from(crypto.getRandomValues(new Uint8Array(26)), (b) => signs[b % 32]).join("");
}

// A page that was left may be frozen and kept for going back to. One that is
// frozen while it opens a database keeps every other page of this tablet from
// opening it. A page that holds a lock is not frozen.
navigator.locks?.request("hangtrue-page " + newID(), () => new Promise(() => {})).catch(() => {});

// result is what a request of the database comes to.
export const result = (request) =>
  new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });

// done is over when all that a transaction wrote is on the disk.
export const done = (tx) =>
  new Promise((resolve, reject) => {
    tx.oncomplete = () => resolve();
    tx.onabort = () => reject(tx.error ?? new Error("the tablet could not keep it"));
    tx.onerror = () => reject(tx.error);
  });

// tabletStore is the database of a name; make gives a new one its stores.
export function tabletStore(name, make) {
  let opened = null;

  function open() {
    opened ??= new Promise((resolve, reject) => {
      setTimeout(() => reject(new Error("This tablet’s store does not open. Close other pages of the school on it and open this one again.")), 10000);
      const request = indexedDB.open(name, 1);
      request.onupgradeneeded = () => make(request.result);
      request.onsuccess = () => {
        const db = request.result;
        // Another page of this tablet clears what is kept: it is let.
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

  // there tells whether it is there, without making it; a browser that does not
  // list its databases may have it.
  async function there() {
    if (!window.indexedDB) return false;
    return indexedDB.databases ? (await indexedDB.databases()).some((d) => d.name === name) : true;
  }

  async function remove() {
    if (opened) (await opened).close();
    opened = null;
    await new Promise((resolve) => {
      const request = indexedDB.deleteDatabase(name);
      request.onsuccess = request.onerror = request.onblocked = resolve;
    });
  }

  return { open, there, remove };
}
