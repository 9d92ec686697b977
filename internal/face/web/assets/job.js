// How far a long computation is, told by the server until it has ended; then the
// page is loaded again for what it gave.

const every = 300; // ms

for (const box of document.querySelectorAll("[data-job]")) watch(box);

async function watch(box) {
  const bar = box.querySelector("progress");
  const words = box.querySelector("[data-job-words]");
  const what = bar.getAttribute("aria-label");
  let told = 0;
  let stopping = false;
  box.addEventListener("submit", () => (stopping = true)); // the answer to that is the next page
  for (;;) {
    await new Promise((r) => setTimeout(r, every));
    if (stopping) return;
    let state;
    try {
      state = await (await fetch(box.dataset.job, { headers: { Accept: "application/json" } })).json();
    } catch {
      continue; // the next look may find the program again
    }
    if (stopping) return;
    if (!state.running) {
      location.reload();
      return;
    }
    if (state.total > 0) bar.value = (100 * state.done) / state.total;
    // A reader of the screen is told now and then, not all the time.
    if (Date.now() - told > 2000) {
      told = Date.now();
      words.textContent = state.waiting ? `${what}: waiting in line.` : `${what}: ${state.done} of ${state.total}.`;
    }
  }
}
