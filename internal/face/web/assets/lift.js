// Pages with a form over a file, or with its text: the form is sent as it
// changes, and the parts of the page that come back take the place of the old.

import { makeEditor } from "./editor.js";
import { morph } from "./morph.js";
import { again, inTurn } from "./turns.js";
import { forget, recall, remember } from "./unsaved.js";

const form = document.getElementById("document");
const text = document.getElementById("text");
const fields = form?.elements;
document.documentElement.classList.add("scripted");

const ask = inTurn(
  request,
  (error) => say("The program does not answer; what you typed is still here. " + error.message),
  () => form.dispatchEvent(new CustomEvent("settled")),
);

const sending = () => new URLSearchParams(new FormData(form));

// A page that only asks has what it asks in its address.
const asks = form?.method === "get";

function asked() {
  const query = new URLSearchParams();
  for (const [name, value] of sending()) if (value !== "") query.append(name, value);
  return query.toString();
}

function send(what) {
  const headers = { Accept: "application/json" };
  if (asks) return fetch(form.action + "?" + asked(), { headers });
  const body = sending();
  body.set("do", what);
  return fetch(form.action, { method: "POST", body, headers });
}

async function request(what) {
  const sent = sending().toString();
  const answer = await send(what);
  const changed = await answer.json();
  if (changed.refused) {
    say(changed.refused);
    return;
  }
  // Typed on while the answer was under way: that is read next, and a press on
  // a button is done again on it.
  if (sending().toString() !== sent) {
    return again;
  }
  apply(changed, what);
}

function apply(changed, what) {
  const focused = document.activeElement;
  const name = focused?.name;
  const key = focused?.dataset?.key ?? (focused?.tagName === "BUTTON" ? focused.value : "");
  const range = focused && "selectionStart" in focused && focused !== text ? [focused.selectionStart, focused.selectionEnd] : null;
  const scrolls = new Map([...document.querySelectorAll("[data-grid]")].map((t) => [t.dataset.grid, t.parentElement.scrollLeft]));
  if (fields.base) fields.base.value = changed.base;
  for (const [part, html] of Object.entries(changed.parts)) {
    const place = document.querySelector(`[data-part="${part}"]`);
    if (!place) continue;
    if (html.includes("<svg")) place.innerHTML = html;
    else morph(place, html);
    // What the page says a field holds, it holds.
    for (const e of place.querySelectorAll("input, textarea, select")) settle(e);
  }
  for (const [grid, left] of scrolls) {
    const table = document.querySelector(`[data-grid="${CSS.escape(grid)}"]`);
    if (table) table.parentElement.scrollLeft = left;
  }
  if (text && text.value !== changed.text) text.value = changed.text;
  editor?.mark(linesWithErrors());
  if (document.activeElement !== focused) {
    const next = (name && name !== "do" && fields[name]) || (key && [...form.querySelectorAll("button")].find((b) => b.dataset.key === key || b.value === key));
    next?.focus?.({ preventScroll: true });
    if (range && next?.setSelectionRange) next.setSelectionRange(...range);
  }
  if (asks) {
    const query = asked();
    history.replaceState(null, "", query ? location.pathname + "?" + query : location.pathname);
    remember(form.dataset.name, { text: query });
  }
  if (text) {
    if (changed.dirty) remember(form.dataset.name, { text: text.value, base: fields.base.value });
    else forget(form.dataset.name);
  }
  if (what === "save" && !changed.dirty && location.search) history.replaceState(null, "", location.pathname);
}

function settle(e) {
  if (e.tagName === "SELECT") {
    const picked = [...e.options].findIndex((o) => o.hasAttribute("selected"));
    if (picked >= 0 && e.selectedIndex !== picked) e.selectedIndex = picked;
  } else if (e.type === "checkbox" || e.type === "radio") {
    e.checked = e.hasAttribute("checked");
  } else if (e.type !== "file" && e.value !== e.defaultValue) {
    e.value = e.defaultValue;
  }
}

function linesWithErrors() {
  return new Set([...document.querySelectorAll("[data-line]")].map((a) => Number(a.dataset.line)));
}

function say(words) {
  const bar = document.querySelector('[data-part="text-bar"]') ?? form;
  bar.querySelector(".notice")?.remove();
  const p = document.createElement("p");
  p.className = "notice";
  p.setAttribute("role", "alert");
  p.textContent = words;
  bar.prepend(p);
}

// Cells copied from a spreadsheet go into the table from the cell on; what lies
// beyond its last row or column comes in as well.
function paste(event) {
  const cell = event.target.closest("[data-grid] input");
  const copied = event.clipboardData?.getData("text") ?? "";
  if (!cell || !/[\t\n]/.test(copied.trim())) return;
  event.preventDefault();
  const rows = copied.replace(/\r/g, "").replace(/\n+$/, "").split("\n").map((row) => row.split("\t"));
  const table = cell.closest("[data-grid]");
  const grid = table.dataset.grid;
  const at = placeOf(cell.name, grid);
  if (!at) return;
  rows.forEach((row, i) => row.forEach((value, j) => put(grid, table, at.row + i, at.column + j, value.trim())));
  ask("read");
}

// Row −1 has the temperatures, column −1 the altitudes.
function placeOf(name, grid) {
  const rest = name.slice(`f.${grid}.`.length);
  const numbers = [...rest.matchAll(/\[(\d+)\]/g)].map((m) => Number(m[1]));
  if (rest.startsWith("gross")) return { row: numbers[0], column: numbers[1] };
  if (rest.startsWith("altitudes")) return { row: numbers[0], column: -1 };
  if (rest.startsWith("temperatures")) return { row: -1, column: numbers[0] };
  return null;
}

function put(grid, table, row, column, value) {
  if (row < 0 && column < 0) return;
  const path = row < 0 ? `temperatures[${column}]` : column < 0 ? `altitudes[${row}]` : `gross[${row}][${column}]`;
  const name = `f.${grid}.${path}`;
  let field = fields[name];
  if (!field) {
    field = document.createElement("input");
    field.type = "hidden";
    field.name = name;
    table.parentElement.append(field);
  }
  field.value = value;
}

// Enter and the arrow keys go up and down a table's column, as people know it
// from spreadsheets.
function walk(event) {
  const cell = event.target.closest("[data-grid] input");
  const down = event.key === "ArrowDown" || (event.key === "Enter" && !event.shiftKey);
  const up = event.key === "ArrowUp" || (event.key === "Enter" && event.shiftKey);
  if (!cell || !(up || down)) return;
  event.preventDefault();
  const grid = cell.closest("[data-grid]").dataset.grid;
  const at = placeOf(cell.name, grid);
  const row = at.row + (down ? 1 : -1);
  const path = row < 0 ? `temperatures[${at.column}]` : at.column < 0 ? `altitudes[${row}]` : `gross[${row}][${at.column}]`;
  const next = fields[`f.${grid}.${path}`];
  if (next) {
    next.focus();
    next.select();
  }
}

let editor = null;

if (form) {
  if (text) editor = makeEditor(text, document.getElementById("lines"), () => ask("read"));

  form.addEventListener("submit", (event) => {
    const button = event.submitter;
    if (button && button.name !== "do" && !asks) return;
    event.preventDefault();
    ask(button?.value || "read");
  });

  form.addEventListener("change", (event) => {
    if (event.target === text || event.target.type === "file" || event.target.name?.startsWith("paste.")) return;
    ask("read");
  });

  form.addEventListener("paste", paste);

  form.addEventListener("keydown", walk);

  form.addEventListener("click", (event) => {
    const line = event.target.closest("[data-line]");
    if (line && editor) {
      event.preventDefault();
      editor.show(Number(line.dataset.line));
    }
    if (event.target.closest("[data-discard]")) forget(form.dataset.name);
  });

  // What was asked last on this page is asked again.
  if (asks && location.search === "") {
    const left = recall(form.dataset.name);
    if (left?.text) location.replace(location.pathname + "?" + left.text);
  }

  // Text that was not saved before the page was left comes back; a page that
  // was asked for a certain version shows that one.
  if (text) {
    const left = location.search.includes("version=") ? null : recall(form.dataset.name);
    if (left && left.text !== text.value) {
      text.value = left.text;
      if (typeof left.base === "string") fields.base.value = left.base;
      ask("read");
    }
    editor.mark(linesWithErrors());
  }
}
