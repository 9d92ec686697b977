// Going through the speeds of a study without loading the page again: the same
// address is asked for its part alone. The slider takes arrow keys by itself.

import { makeMoving, settle } from "./motion.js";

const page = document.querySelector(".flight");
const place = document.getElementById("at");
const part = document.getElementById("at-part");
const slider = document.getElementById("at-place");
page.classList.add("scripted");

let wanted = "";
let busy = false;

// At most one request is under way, and the newest wish is asked for next.
async function show(address) {
  wanted = address;
  if (busy) return;
  busy = true;
  while (wanted) {
    const next = wanted;
    wanted = "";
    try {
      const answer = await fetch(next, { headers: { Accept: "application/json" } });
      const got = await answer.json();
      if (got.refused || !got.flight) throw new Error("refused");
      if (!wanted) put(got, next);
    } catch {
      location.href = next;
      return;
    }
  }
  busy = false;
  place.dispatchEvent(new CustomEvent("shown", { bubbles: true }));
}

// The slider is no part of what is exchanged: it may be under a finger.
function put(got, address) {
  const held = document.activeElement;
  const key = held?.dataset?.key;
  const chosen = held?.closest?.(".views") ? held.textContent : "";
  part.innerHTML = got.flight;
  settle(part);
  history.replaceState(null, "", address);
  slider.value = got.at;
  slider.setAttribute("aria-valuetext", got.speed);
  document.getElementById("at-speed").textContent = got.speed;
  if (key) (part.querySelector(`[data-key="${key}"]`) ?? slider).focus({ preventScroll: true });
  if (chosen) [...part.querySelectorAll(".views a")].find((a) => a.textContent === chosen)?.focus({ preventScroll: true });
  for (const a of document.querySelectorAll(".speeds a")) {
    if (Number(new URL(a.href).searchParams.get("at")) === got.at) a.setAttribute("aria-current", "true");
    else a.removeAttribute("aria-current");
  }
}

function addressOf(at) {
  const to = new URL(location.href);
  to.search = place.dataset.query;
  const view = new URL(location.href).searchParams.get("view");
  if (view) to.searchParams.set("view", view);
  to.searchParams.set("at", at);
  to.hash = "";
  return to.href;
}

if (part) makeMoving(part);
slider?.addEventListener("input", () => show(addressOf(slider.value)));

document.addEventListener("click", (event) => {
  const link = event.target.closest("a[data-speed]");
  if (!link || event.button !== 0 || event.ctrlKey || event.metaKey || event.shiftKey || event.altKey) return;
  event.preventDefault();
  const to = new URL(link.href);
  const view = new URL(location.href).searchParams.get("view");
  if (view && !link.closest(".views")) to.searchParams.set("view", view);
  to.hash = "";
  show(to.href);
  if (link.closest(".speeds")) place.scrollIntoView();
});
