// The page of a school's own order with a script: it posts the same form that
// the page posts without one and swaps the parts of the page that come back.
// Checkpoints move by dragging their number and by arrow keys on it.

import { makeEditor } from "./editor.js";
import { morph } from "./morph.js";
import { again, inTurn } from "./turns.js";
import { forget, recall, remember } from "./unsaved.js";

const form = document.getElementById("order");
const typed = document.getElementById("typed");
const fields = form.elements;
const name = "order " + form.dataset.name;
document.documentElement.classList.add("scripted");

const editor = makeEditor(typed, document.getElementById("lines"), () => ask("read"));

const ask = inTurn(
  request,
  (error) => say("The program does not answer; your order is still here. " + error.message),
  () => form.dispatchEvent(new CustomEvent("settled")),
);

async function request(what) {
  const sent = typed.value;
  const body = new FormData(form);
  body.set("do", what);
  if (what !== "upload") body.delete("file");
  const answer = await fetch(form.action, { method: "POST", body, headers: { Accept: "application/json" } });
  const changed = await answer.json();
  if (changed.refused) {
    say(changed.refused);
    return;
  }
  if (typed.value !== sent) {
    // Typed on while the answer was under way: what was typed is read next.
    return again;
  }
  apply(changed, what);
}

function apply(changed, what) {
  const focused = document.activeElement;
  const key = focused?.dataset?.key;
  const other = focused?.dataset?.other;
  const opened = changed.open !== fields.open.value && changed.open !== "";
  for (const field of ["text", "base", "undo", "redo", "open"]) fields[field].value = changed[field];
  for (const [part, html] of Object.entries(changed.parts)) {
    const place = document.querySelector(`[data-part="${part}"]`);
    morph(place, html);
    if (part === "list") settle(place);
  }
  if (what === "upload") fields.file.value = "";
  if (typed.value !== changed.typed) typed.value = changed.typed;
  editor.mark(linesWithErrors());
  // The list's buttons stay where they are and become those of other
  // checkpoints; the focus goes with the checkpoint.
  if (key && (document.activeElement !== focused || focused.dataset.key !== key || focused.disabled)) find(key, other)?.focus({ preventScroll: true });
  if (opened) {
    const row = document.getElementById("at-" + changed.open);
    row?.scrollIntoView({ block: "nearest" });
    row?.querySelector(".order-open input")?.focus({ preventScroll: true });
  }
  if (changed.dirty) remember(name, { text: changed.typed, base: changed.base, undo: changed.undo, redo: changed.redo });
  else forget(name);
  if (what === "save" && !changed.dirty && location.search) history.replaceState(null, "", location.pathname);
}

// settle puts into the fields what the page says of them: what a person once
// typed into one hides it. The field that is being worked is left alone.
function settle(place) {
  for (const field of place.querySelectorAll("input, textarea, select")) {
    if (field === document.activeElement) continue;
    if (field.type === "checkbox") field.checked = field.defaultChecked;
    else if (field.options) for (const option of field.options) option.selected = option.defaultSelected;
    else if (field.value !== field.defaultValue) field.value = field.defaultValue;
  }
}

function find(key, other) {
  const at = (k) => k && document.querySelector(`[data-key="${CSS.escape(k)}"]:not(:disabled)`);
  return at(key) || at(other) || (key === "undo" && at("redo")) || (key === "redo" && at("undo")) || at("add");
}

function linesWithErrors() {
  return new Set([...document.querySelectorAll("[data-line]")].map((a) => Number(a.dataset.line)));
}

function say(words) {
  const place = document.querySelector('[data-part="notice"]');
  const p = document.createElement("p");
  p.className = "notice";
  p.setAttribute("role", "alert");
  p.textContent = words;
  place.replaceChildren(p);
}

form.addEventListener("submit", (event) => {
  const button = event.submitter;
  if (button && button.name !== "do") return;
  event.preventDefault();
  ask(button ? button.value : "read");
});

form.addEventListener("click", (event) => {
  // The press that began a drag is no press of the button. A press by keyboard
  // has no clicks to count.
  if (dragged && event.detail > 0 && event.target.closest("[data-handle]")) {
    event.preventDefault();
    dragged = false;
    return;
  }
  const line = event.target.closest("[data-line]");
  if (line) {
    event.preventDefault();
    editor.show(Number(line.dataset.line));
  }
  if (event.target.closest("[data-discard]")) forget(name);
});

// By keyboard: arrow keys on a checkpoint's number move it.
form.addEventListener("keydown", (event) => {
  const handle = event.target.closest?.("[data-handle]");
  if (!handle || event.ctrlKey || event.metaKey || event.altKey) return;
  const id = handle.closest("li").dataset.id;
  const what = { ArrowUp: `up ${id}`, ArrowDown: `down ${id}`, Home: `place ${id} 1`, End: `place ${id} 100000` }[event.key];
  if (!what) return;
  event.preventDefault();
  ask(what);
});

document.addEventListener("keydown", (event) => {
  if (!(event.ctrlKey || event.metaKey) || event.altKey || event.target.matches("input:not([type=checkbox]), textarea")) return;
  const key = event.key.toLowerCase();
  const what = key === "z" ? (event.shiftKey ? "redo" : "undo") : key === "y" ? "redo" : key === "s" ? "save" : "";
  if (!what || !document.querySelector(`[data-key="${what}"]:not(:disabled)`)) return;
  event.preventDefault();
  ask(what);
});

// By finger and mouse: a line shows where the checkpoint would go.
const edge = 70; // px from the window's edges within which the page scrolls along
let drag = null;
let dragged = false;

form.addEventListener("pointerdown", (event) => {
  const handle = event.target.closest("[data-handle]");
  dragged = false;
  if (!handle || event.button !== 0 || !event.isPrimary) return;
  const row = handle.closest("li");
  drag = { id: row.dataset.id, row, handle, pointer: event.pointerId, y: event.clientY, moved: false, place: 0 };
  handle.setPointerCapture(event.pointerId);
});

form.addEventListener("pointermove", (event) => {
  if (!drag || event.pointerId !== drag.pointer) return;
  if (!drag.moved && Math.abs(event.clientY - drag.y) < 6) return;
  drag.moved = true;
  drag.row.classList.add("dragged");
  if (event.clientY < edge) window.scrollBy(0, -12);
  else if (event.clientY > window.innerHeight - edge) window.scrollBy(0, 12);
  mark(event.clientY);
});

// mark shows between which two checkpoints the dragged one would stand.
function mark(y) {
  const rows = [...document.querySelectorAll(".order-list > li")];
  unmark();
  let before = rows.findIndex((row) => {
    const box = row.getBoundingClientRect();
    return y < box.top + box.height / 2;
  });
  if (before < 0) before = rows.length;
  const from = rows.indexOf(drag.row);
  drag.place = (before > from ? before - 1 : before) + 1;
  if (before < rows.length) rows[before].classList.add("drop-before");
  else rows[rows.length - 1].classList.add("drop-after");
}

function unmark() {
  for (const row of document.querySelectorAll(".drop-before, .drop-after")) row.classList.remove("drop-before", "drop-after");
}

function end(event) {
  if (!drag || event.pointerId !== drag.pointer) return;
  const { id, row, moved, place } = drag;
  drag = null;
  unmark();
  row.classList.remove("dragged");
  if (!moved) return;
  dragged = true;
  if (event.type === "pointerup" && place > 0) ask(`place ${id} ${place}`);
}
form.addEventListener("pointerup", end);
form.addEventListener("pointercancel", end);

// Changes of fields are taken at once, so that the coverage follows them.
form.addEventListener("change", (event) => {
  if (event.target !== typed && event.target !== fields.file) ask("read");
});

const left = location.search.includes("version=") ? null : recall(name);
if (left && left.text && left.text !== typed.value) {
  for (const field of ["base", "undo", "redo"]) fields[field].value = left[field];
  typed.value = left.text;
  ask("read");
}
editor.mark(linesWithErrors());
