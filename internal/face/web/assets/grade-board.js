// The board asks for itself anew every ten seconds, and its clocks run between.

const clockWords = (s) => `${Math.floor(s / 60)}:${String(s % 60).padStart(2, "0")}`;

function tick() {
  for (const out of document.querySelectorAll(".board-clock")) {
    const s = Math.max(0, Math.floor((Date.now() - Date.parse(out.dataset.since)) / 1000));
    out.textContent = clockWords(s);
  }
}

async function refresh() {
  try {
    const answer = await fetch(location.href, { headers: { Accept: "text/html" }, signal: AbortSignal.timeout(8000) });
    if (answer.ok && !answer.redirected) {
      const page = new DOMParser().parseFromString(await answer.text(), "text/html");
      const fresh = page.querySelector(".board");
      if (fresh) document.querySelector(".board").replaceWith(fresh);
    }
  } catch { /* out of reach: the plan stays on the screen */ }
  tick();
  setTimeout(refresh, 10000);
}

document.documentElement.classList.add("scripted");
tick();
setInterval(tick, 1000);
setTimeout(refresh, 10000);
