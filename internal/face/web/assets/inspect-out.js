// On the page where one signs in nobody is signed in: what the tablet keeps of
// the school goes, unless something on it has not been sent. A page that says what
// is planted goes in any case.
import * as store from "./inspect-store.js";
import * as grades from "./grade-store.js";
import { worker } from "./inspect-look.js";

async function tidy() {
  await window.caches?.delete("hangtrue-look");
  const taps = await grades.tidy();
  if (taps > 0) {
    const p = document.createElement("p");
    p.className = "notice grade-left";
    p.textContent = `${taps === 1 ? "1 entry" : taps + " entries"} of grading on this tablet ${taps === 1 ? "has" : "have"} not been sent. The grader who made ${taps === 1 ? "it" : "them"} signs in here, in reach of the server, and opens the lane.`;
    document.querySelector("main").append(p);
  }
  // The worker's own page of who signed out needs its style once more.
  const spared = document.documentElement.dataset.signedOut && "hangtrue-shell-";
  if (!(await store.exists())) return store.clear(spared);
  const { events, photos } = await store.unsent();
  if (events.length + photos.length === 0) return store.clear(spared);
  const box = document.createElement("div");
  box.className = "notice inspect-left";
  const p = document.createElement("p");
  p.textContent = `${events.length === 1 ? "1 entry" : events.length + " entries"} of an inspection on this tablet ${events.length === 1 ? "has" : "have"} not been sent. ${events.length === 1 ? "It stays" : "They stay"} here: whoever made ${events.length === 1 ? "it" : "them"} signs in on this tablet, in reach of the laptop, and opens the walk; or the entries go to the laptop in a file.`;
  const button = document.createElement("button");
  button.type = "button";
  button.id = "inspect-export";
  button.textContent = "Write to a file";
  button.addEventListener("click", async () => store.download(await store.file()));
  const row = document.createElement("p");
  row.append(button);
  box.append(p, row);
  document.querySelector("main").append(box);
}

const tidied = window.indexedDB ? tidy().catch(() => {}) : Promise.resolve();

// answering is over when pages that are opened from now on are answered by the
// worker: it is active, and tidying up no longer takes away what it keeps. A page
// that is on its way while the worker becomes active is left without it.
async function answering() {
  await tidied;
  await Promise.all([grades.dropCopies(), navigator.serviceWorker && worker().then(() => navigator.serviceWorker.ready)]);
}

// Whoever signs in now may be another than who used this tablet on another page. From
// now on a page answers while the server is out of reach, for signing out above all.
const form = document.querySelector("form.entry");
form?.addEventListener("submit", async (event) => {
  if (form.dataset.tidied) return;
  event.preventDefault();
  if (form.dataset.waiting) return; // pressed twice
  form.dataset.waiting = "yes";
  await Promise.race([answering().catch(() => {}), new Promise((done) => setTimeout(done, 3000))]);
  form.dataset.tidied = "yes";
  setTimeout(() => form.requestSubmit(event.submitter)); // when this submission is over
});
document.documentElement.classList.add("tidied");
