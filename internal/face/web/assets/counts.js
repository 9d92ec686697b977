// The count map with a script: point at a pair of counts, by mouse, finger or
// arrow keys, and see it hang. The server answers; at most one request is under
// way, and the newest wish is asked for next.

import "./job.js";
import { morph } from "./morph.js";

document.documentElement.classList.add("scripted");

const chart = document.querySelector("[data-map]");
if (chart) live(chart);

function live(chart) {
  const map = document.getElementById("count-map");
  const form = document.getElementById("pair");
  const fields = form.elements;
  const cross = map.querySelector(".cross");
  const number = Object.fromEntries(Object.entries(map.dataset).map(([k, v]) => [k, Number(v)]));
  let pinned = [Number(fields.a.value), Number(fields.b.value)];
  let shown = pinned;
  let wanted = null;
  let busy = false;

  function within([a, b]) {
    return [Math.min(number.ahigh, Math.max(number.alow, a)), Math.min(number.bhigh, Math.max(number.blow, b))];
  }

  function point([a, b]) {
    const x = number.left + ((number.right - number.left) * (a - number.alow)) / (number.alast - number.alow);
    const y = number.bottom - ((number.bottom - number.top) * (b - number.blow)) / (number.blast - number.blow);
    const set = (e, values) => Object.entries(values).forEach(([k, v]) => e.setAttribute(k, v));
    set(cross.querySelector("[data-v]"), { x1: x, x2: x });
    set(cross.querySelector("[data-h]"), { y1: y, y2: y });
    set(cross.querySelector("circle"), { cx: x, cy: y });
  }

  // The pair at a place of the screen.
  function at(event) {
    const box = map.querySelector("svg").getBoundingClientRect();
    const x = ((event.clientX - box.left) / box.width) * number.width;
    const y = ((event.clientY - box.top) / box.height) * number.height;
    const a = number.alow + ((x - number.left) / (number.right - number.left)) * (number.alast - number.alow);
    const b = number.blow + ((number.bottom - y) / (number.bottom - number.top)) * (number.blast - number.blow);
    return within([Math.round(a), Math.round(b)]);
  }

  function show(pair, pin) {
    pair = within(pair);
    if (pin) {
      pinned = pair;
      history.replaceState(null, "", `?a=${pair[0]}&b=${pair[1]}`);
    }
    [fields.a.value, fields.b.value] = pair;
    point(pair);
    if (pair[0] === shown[0] && pair[1] === shown[1] && !busy) return;
    wanted = pair;
    if (!busy) work();
  }

  async function work() {
    busy = true;
    while (wanted) {
      const [a, b] = wanted;
      wanted = null;
      try {
        const answer = await fetch(`${chart.dataset.map}?a=${a}&b=${b}&version=${chart.dataset.version}`, { headers: { Accept: "application/json" } });
        const got = await answer.json();
        if (got.refused) {
          say(got.refused);
          continue;
        }
        shown = [a, b];
        chart.querySelector('[data-part="at-picture"]').innerHTML = got.picture;
        morph(chart.querySelector('[data-part="at-words"]'), got.words);
      } catch (error) {
        say("The program does not answer. " + error.message);
      }
    }
    busy = false;
    chart.dispatchEvent(new CustomEvent("settled", { bubbles: true }));
  }

  function say(words) {
    let p = chart.querySelector("p.notice");
    if (!p) {
      p = document.createElement("p");
      p.className = "notice";
      p.setAttribute("role", "alert");
      chart.prepend(p);
    }
    p.textContent = words;
  }

  // A mouse that passes shows; a press keeps.
  let down = false;
  map.addEventListener("pointerdown", (event) => {
    if (event.button !== 0 || !event.isPrimary) return;
    down = true;
    map.setPointerCapture(event.pointerId);
    show(at(event), true);
  });
  map.addEventListener("pointermove", (event) => {
    if (event.isPrimary && (down || event.pointerType === "mouse")) show(at(event), down);
  });
  for (const end of ["pointerup", "pointercancel"]) map.addEventListener(end, () => (down = false));
  map.addEventListener("pointerleave", () => {
    if (!down) show(pinned, false);
  });

  const keys = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };
  map.addEventListener("keydown", (event) => {
    const by = keys[event.key];
    if (!by || event.ctrlKey || event.metaKey || event.altKey) return;
    event.preventDefault();
    const far = event.shiftKey ? 10 : 1;
    show([pinned[0] + far * by[0], pinned[1] + far * by[1]], true);
  });

  form.addEventListener("submit", (event) => {
    event.preventDefault();
    const pair = [Number(fields.a.value) || pinned[0], Number(fields.b.value) || pinned[1]];
    const what = event.submitter?.value ?? "";
    if (what) pair[what[0] === "a" ? 0 : 1] += what[1] === "+" ? 1 : -1;
    show(pair, true);
  });
  form.addEventListener("change", () => show([Number(fields.a.value) || pinned[0], Number(fields.b.value) || pinned[1]], true));
  map.dataset.ready = "yes";
}
