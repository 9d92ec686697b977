// The signs of the small motions, moving in their true time where a person asks
// for it. Nothing moves by itself, and where less motion is wished for nothing
// moves at all.

const quiet = window.matchMedia("(prefers-reduced-motion: reduce)");

const turns = { swing: ["24px 4px", 7], sway: ["24px 4px", 7], pitch: ["24px 33px", 9], roll: ["24px 33px", 9], twist: ["24px 24px", 20] };

let moving = false;

// settle lets the signs within a place move or stand, as chosen; a place that is
// exchanged goes on as it was.
export function settle(place) {
  for (const button of place.querySelectorAll("[data-move]")) {
    button.parentElement.hidden = quiet.matches;
    button.setAttribute("aria-pressed", String(moving));
    button.textContent = moving ? "Let the signs stand" : "Let the signs move";
  }
  for (const sign of place.querySelectorAll("[data-sign]")) {
    const part = sign.querySelector(".moves");
    for (const a of part.getAnimations()) a.cancel();
    if (moving && !quiet.matches) part.animate(frames(sign.dataset.sign), { duration: Math.max(100, Number(sign.dataset.ms) / 2), direction: "alternate", iterations: Infinity, easing: "ease-in-out" });
  }
}

function frames(sign) {
  if (sign === "bounce") return [{ transform: "translateY(-4px)" }, { transform: "translateY(4px)" }];
  const [origin, angle] = turns[sign];
  return [-angle, angle].map((a) => ({ transform: `rotate(${a}deg)`, transformOrigin: origin }));
}

export function makeMoving(place) {
  place.addEventListener("click", (event) => {
    if (!event.target.closest("[data-move]")) return;
    moving = !moving;
    settle(place);
  });
  quiet.addEventListener("change", () => settle(place));
  settle(place);
}
