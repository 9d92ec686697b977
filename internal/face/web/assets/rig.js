// The rig's page with a script: it posts the same form that the page posts
// without one, and swaps the parts of the page that come back.

import { makeTurnable } from "./turn.js";
import { makeEditor } from "./editor.js";
import { morph } from "./morph.js";
import { again, inTurn } from "./turns.js";
import { forget, recall, remember } from "./unsaved.js";

const form = document.getElementById("rig");
const text = document.getElementById("text");
const fields = form.elements;
const name = form.dataset.name;
document.documentElement.classList.add("scripted");

const editor = makeEditor(text, document.getElementById("lines"), () => ask("read"));

const turnable = makeTurnable(document.getElementById("picture"), form);

const ask = inTurn(
  request,
  (error) => say("The program does not answer; your text is still here. " + error.message),
  () => form.dispatchEvent(new CustomEvent("settled")),
);

async function request(what) {
  const sent = text.value;
  const body = new FormData(form);
  body.set("do", what);
  const answer = await fetch(form.action, { method: "POST", body, headers: { Accept: "application/json" } });
  const changed = await answer.json();
  if (changed.refused) {
    say(changed.refused);
    return;
  }
  // Typed on while the answer was under way: what was typed is read next, and
  // a press on a button is not lost but done again on it.
  if (text.value !== sent) {
    return again;
  }
  apply(changed, what);
}

function apply(changed, what) {
  const focused = document.activeElement;
  const key = focused?.dataset?.key;
  const other = focused?.dataset?.other;
  for (const field of ["base", "undo", "redo"]) fields[field].value = changed[field];
  if (/^(view|hung|ground)/.test(what)) {
    fields.azimuth.value = changed.seen.azimuth;
    fields.elevation.value = changed.seen.elevation;
    fields.ground.value = changed.seen.ground ? "yes" : "";
  }
  for (const [part, html] of Object.entries(changed.parts)) {
    const place = document.querySelector(`[data-part="${part}"]`);
    if (part === "picture") place.innerHTML = html;
    else morph(place, html);
  }
  turnable.drawn(changed.seen);
  if (text.value !== changed.text) text.value = changed.text;
  editor.mark(linesWithErrors());
  // A button that has become idle gives the focus to its neighbour.
  if (key && (document.activeElement !== focused || focused.disabled)) find(key, other)?.focus({ preventScroll: true });
  if (changed.dirty) remember(name, { text: text.value, base: fields.base.value, undo: fields.undo.value, redo: fields.redo.value });
  else forget(name);
  // A fresh page of what was saved, should it be loaded again.
  if (what === "save" && !changed.dirty && location.search) history.replaceState(null, "", location.pathname);
}

function find(key, other) {
  const at = (k) => k && document.querySelector(`[data-key="${CSS.escape(k)}"]:not(:disabled)`);
  return at(key) || at(other) || (key === "undo" && at("redo")) || (key === "redo" && at("undo")) || (key === "save" && at("sheet"));
}

function linesWithErrors() {
  return new Set([...document.querySelectorAll("[data-line]")].map((a) => Number(a.dataset.line)));
}

function say(words) {
  const head = document.querySelector('[data-part="head"]');
  head.querySelector(".notice")?.remove();
  const p = document.createElement("p");
  p.className = "notice";
  p.setAttribute("role", "alert");
  p.textContent = words;
  head.append(p);
}

form.addEventListener("submit", (event) => {
  const button = event.submitter;
  if (button?.name !== "do") return;
  event.preventDefault();
  ask(button.value);
});

form.addEventListener("click", (event) => {
  const line = event.target.closest("[data-line]");
  if (line) {
    event.preventDefault();
    editor.show(Number(line.dataset.line));
  }
  if (event.target.closest("[data-discard]")) forget(name);
});

// Undo by the keys that people know, where the text has not its own use for
// them.
document.addEventListener("keydown", (event) => {
  if (!(event.ctrlKey || event.metaKey) || event.altKey || event.target === text) return;
  const key = event.key.toLowerCase();
  const what = key === "z" ? (event.shiftKey ? "redo" : "undo") : key === "y" ? "redo" : key === "s" ? "save" : "";
  if (!what || !find(what)) return;
  event.preventDefault();
  ask(what);
});

// The sheet is fetched, so that the list of versions can say at once that it
// was printed.
document.getElementById("sheet").addEventListener("submit", async (event) => {
  event.preventDefault();
  const body = new FormData(event.target);
  body.set("version", event.submitter.value);
  try {
    const answer = await fetch(event.target.action, { method: "POST", body });
    if (!answer.ok) throw new Error("no sheet was made");
    const link = document.createElement("a");
    link.href = URL.createObjectURL(await answer.blob());
    link.download = `${name}-${event.submitter.value.slice(0, 8)}.pdf`;
    link.click();
    URL.revokeObjectURL(link.href);
    ask("read");
  } catch (error) {
    say("The sheet was not printed: " + error.message);
  }
});

// Text that was not saved before the page was left comes back; a page that was
// asked for a certain version shows that one.
const left = location.search.includes("version=") ? null : recall(name);
if (left && left.text !== text.value) {
  for (const field of ["text", "base", "undo", "redo"]) fields[field].value = left[field];
  ask("read");
}
editor.mark(linesWithErrors());
