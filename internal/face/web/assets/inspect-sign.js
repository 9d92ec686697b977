// Before anything is signed, this tablet must have sent all that it has of it.
import * as store from "./inspect-store.js";
import { signMark } from "./inspect-keep.js";
import { asFetched, keepPage } from "./inspect-look.js";

const root = document.getElementById("sign");
const form = document.getElementById("sign-form");
const place = document.getElementById("sign-unsent");

async function look() {
  if (!(await store.exists())) return true;
  let { events, photos } = await store.unsent(root.dataset.inspection);
  if (events.length + photos.length === 0) return true;
  try {
    const out = await store.send(root.dataset.inspection);
    if (out.sent > 0) {
      location.reload();
      return false;
    }
  } catch {
    // Said below.
  }
  ({ events, photos } = await store.unsent(root.dataset.inspection));
  if (events.length + photos.length === 0) return true;
  const p = document.createElement("p");
  p.className = "notice";
  p.textContent = `${events.length} entries of this walk are on this tablet and have not been sent. Open the walk and send them before you sign.`;
  if (place) place.replaceChildren(p);
  else root.querySelector("h2").before(p);
  return false;
}

const kept = root && asFetched(root, "What this tablet has not sent is not in it. Signing needs the laptop: something may stand against it that is not known here.");
if (root && !kept && window.caches) keepPage(location.pathname, signMark).catch(() => {});

if (window.indexedDB && root && !kept) {
  const ready = look().catch(() => true);
  form?.addEventListener("submit", async (event) => {
    if (form.dataset.looked) return;
    event.preventDefault();
    if (await ready) {
      form.dataset.looked = "yes";
      setTimeout(() => form.requestSubmit()); // when this submission is over
    }
  });
}
