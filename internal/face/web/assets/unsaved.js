// Text that was changed and not saved, kept in the browser until it is.

const key = (name) => "hangtrue unsaved " + name;

export function remember(name, draft) {
  try {
    localStorage.setItem(key(name), JSON.stringify(draft));
  } catch {
    // The browser keeps nothing; the page works on.
  }
}

export function recall(name) {
  try {
    const draft = JSON.parse(localStorage.getItem(key(name)));
    return typeof draft?.text === "string" ? draft : null;
  } catch {
    return null;
  }
}

export function forget(name) {
  try {
    localStorage.removeItem(key(name));
  } catch {
    // As above.
  }
}
