// Grading on a tablet. Each tap is an entry with an id of its own, made here and
// kept here until the server says that it is on its disk. The network may go, the
// page may be loaded again, the tablet may die: what is in the store goes on from
// where it was. Delivering an entry twice does no harm, the id tells.

const root = document.querySelector(".grade");
const mine = "hangtrue-grade-" + root.dataset.me + ":";
const version = root.dataset.version.replace("/grade/", "");
const limit = Number(root.dataset.limit) || 0;
const $ = (selector) => root.querySelector(selector);

// 26 letters and digits at random, 130 bits.
function newID() {
  const signs = "abcdefghijklmnopqrstuvwxyz234567";
  return [...crypto.getRandomValues(new Uint8Array(26))].map((x) => signs[x & 31]).join("");
}

// Each entry that is not delivered lies under a key of its own, and each run that
// is under way under another, so that two pages open on one tablet cannot
// overwrite what the other keeps. Each time a page is loaded it is a device of its
// own to the server.
const device = newID();
const entryKey = (e) => `${mine}e:${e.run}:${e.device}:${String(e.n).padStart(6, "0")}`;
const runKey = (id) => `${mine}r:${id}`;

function stored(prefix) {
  const out = [];
  for (let i = 0; i < localStorage.length; i++) {
    const key = localStorage.key(i);
    if (!key.startsWith(prefix)) continue;
    try { out.push([key, JSON.parse(localStorage.getItem(key))]); } catch { /* nothing of ours */ }
  }
  return out;
}

// What is not delivered: a run's start first, then each device's in order.
function waiting() {
  const rank = (e) => (e.kind === "start" ? 0 : 1);
  return stored(mine + "e:").map(([, e]) => e).sort((a, b) =>
    a.run.localeCompare(b.run) || rank(a) - rank(b) || a.device.localeCompare(b.device) || a.n - b.n);
}

let run = null; // the one under way on this page
let next = 1; // the number of its next entry on this device
let full = false; // the tablet keeps nothing more

const clockWords = (ms) => {
  const s = Math.max(0, Math.round(ms / 1000)), two = (n) => String(n).padStart(2, "0");
  return s >= 3600 ? `${Math.floor(s / 3600)}:${two(Math.floor(s / 60) % 60)}:${two(s % 60)}` : `${Math.floor(s / 60)}:${two(s % 60)}`;
};

// The run's own clock stands still while a fault that nobody planted is not
// settled.
function clock(now = Date.now()) {
  return Math.max(0, (run.halted || now) - run.started - run.waited);
}

function add(kind, about = {}) {
  const now = Date.now();
  const event = {
    id: newID(), run: run.id, device, n: next, kind, at: new Date(now).toISOString(),
    body: { ...about, after_ms: kind === "start" ? 0 : clock(now) },
  };
  try {
    localStorage.setItem(entryKey(event), JSON.stringify(event)); // before the screen moves on
  } catch {
    full = true;
    say();
    return false;
  }
  next++;
  if (kind !== "start" && kind !== "end") run.calls.push({ id: event.id, kind, ...event.body });
  if (kind === "not-planted" && !run.halted) { run.halted = now; run.halt = event.id; }
  if (run.halted && (kind === "settled" || kind === "undo" && about.undoes === run.halt)) { run.waited += now - run.halted; run.halted = 0; }
  if (kind === "end") run.ended = true;
  keepRun();
  show();
  say();
  deliver();
  return true;
}

// The run itself is only for this screen; what counts are its entries.
function keepRun() {
  try { localStorage.setItem(runKey(run.id), JSON.stringify(run)); } catch { full = true; }
}

function start(student, name, second) {
  run = { id: newID(), version, student, name, second, started: Date.now(), waited: 0, halted: 0, halt: "", calls: [], ended: false };
  next = 1;
  if (!add("start", { version, student, ...(second ? { second: true } : {}) })) run = null;
}

// take takes up a run that was begun on another device, or here before the
// store was lost.
function take(open) {
  const halt = open.calls?.findLast((c) => c.kind === "not-planted");
  return {
    id: open.id, version, student: open.student, name: nameOf(open.student), second: open.second, started: Date.parse(open.started), waited: open.waited_ms,
    halted: open.halted ? Date.parse(open.halted) : 0, halt: halt?.id || "", calls: open.calls || [], ended: false,
  };
}

const nameOf = (student) => [...$("#student").options].find((o) => o.value === student)?.textContent.split(" – ")[0] || "";

function standing() {
  const undone = new Set(run.calls.filter((c) => c.kind === "undo").map((c) => c.undoes));
  return run.calls.filter((c) => c.kind !== "undo" && !undone.has(c.id));
}

const words = { found: "found", false: "false call", "not-planted": "true and not planted", order: "out of order", unsafe: "safety violation", settled: "settled", station: "station done" };

function show() {
  const on = run && !run.ended;
  $(".grade-start").hidden = !!on;
  $(".grade-run").hidden = !on;
  if (!on) return;
  $(".grade-who").textContent = run.name + (run.second ? ", second grading" : "");
  $(".grade-halted").hidden = !run.halted;
  const calls = standing(), found = new Map();
  for (const c of calls) if (c.kind === "found" && !found.has(c.deficiency)) found.set(c.deficiency, c);
  for (const li of root.querySelectorAll(".grade-items > li")) {
    const c = found.get(li.dataset.item);
    li.classList.toggle("found", !!c);
    li.querySelector(".grade-at").textContent = c ? `found ${clockWords(c.after_ms)}${c.wrong_count ? ", wrong figure" : ""}` : "";
  }
  for (const kind of ["false", "order"]) {
    const n = calls.filter((c) => c.kind === kind).length;
    $(".grade-" + kind).textContent = n ? `(${n})` : "";
  }
  const log = $(".grade-log");
  log.replaceChildren(...calls.map((c) => {
    const li = document.createElement("li"), at = document.createElement("span");
    at.textContent = clockWords(c.after_ms);
    const item = c.deficiency && root.querySelector(`.grade-items > li[data-item="${CSS.escape(c.deficiency)}"] .grade-text`);
    li.append(at, ` ${words[c.kind] || c.kind}${item ? ": " + item.textContent : ""}${c.wrong_count ? ", with a wrong figure" : ""}${c.text ? ": " + c.text : ""}`);
    return li;
  }));
  tick();
}

function tick() {
  if (!run || run.ended) return;
  const ms = clock(), out = $(".grade-clock output");
  out.textContent = clockWords(ms);
  $(".grade-clock").classList.toggle("late", limit > 0 && ms > limit);
}
setInterval(tick, 250);

// Delivery.
let sending = false, pause = 1000, timer = 0, refused = "", away = false, out = false;

function say() {
  const n = waiting().length, p = $(".grade-queue");
  const others = stored("hangtrue-grade-").filter(([key]) => !key.startsWith(mine) && key.includes(":e:")).length;
  const parts = [];
  if (full) parts.push("This tablet has no room left and keeps nothing more. Write the calls down on paper.");
  if (n && (away || out || refused)) parts.push(`${n} ${n === 1 ? "entry is" : "entries are"} kept on this tablet and not delivered yet.`);
  if (away && n) parts.push("The server is out of reach; go on, they are sent when it is back.");
  if (out && n) parts.push("You are signed out. Go on; then sign in again on this tablet, and they are sent.");
  if (refused) parts.push(`The server does not take one: ${refused} Nothing is thrown away; show this to whoever runs the test day.`);
  if (others) parts.push(`${others} ${others === 1 ? "entry" : "entries"} of another grader wait on this tablet until they sign in here.`);
  p.textContent = parts.join(" ");
  p.hidden = !parts.length;
  root.dataset.waiting = String(n);
}

async function deliver() {
  clearTimeout(timer);
  if (sending) return;
  const events = waiting().slice(0, 400);
  if (!events.length) { away = out = false; say(); return; }
  sending = true;
  let again = 0;
  try {
    const answer = await fetch(root.dataset.post, {
      method: "POST", headers: { "Content-Type": "application/json", Accept: "application/json" }, body: JSON.stringify({ events }), signal: AbortSignal.timeout(20000),
    });
    out = answer.status === 401;
    const told = await answer.json();
    if (!answer.ok) throw new Error(told.refused || String(answer.status));
    away = false;
    pause = 1000;
    const on = new Set(told.taken.filter((t) => !t.refused).map((t) => t.id));
    refused = told.taken.find((t) => t.refused)?.refused || "";
    for (const e of events) if (on.has(e.id)) localStorage.removeItem(entryKey(e));
    // A run that has ended and is wholly delivered is the server's.
    const left = new Set(waiting().map((e) => e.run));
    for (const [key, r] of stored(mine + "r:")) if (r.ended && !left.has(r.id)) localStorage.removeItem(key);
    for (const x of told.results) result(x);
    if (refused) again = 30000;
    else if (left.size) again = 1;
  } catch {
    away = !out;
    again = pause;
    pause = Math.min(30000, pause * 2);
  }
  sending = false;
  say();
  if (again) timer = setTimeout(deliver, again);
}
addEventListener("online", () => { pause = 1000; deliver(); });
addEventListener("visibilitychange", () => { if (!document.hidden) deliver(); });

let awaited = ""; // the run whose result this page shows
function result(x) {
  if (x.run !== awaited) return;
  const box = $(".grade-result"), more = $(".grade-more");
  box.hidden = false;
  box.querySelector("h2").textContent = run?.name || "Result";
  $(".grade-outcome").textContent = x.outcome;
  $(".grade-numbers").textContent = x.numbers;
  $(".grade-reasons").replaceChildren(...x.reasons.map((r) => Object.assign(document.createElement("li"), { textContent: r })));
  $(".grade-missed").textContent = x.missed.length ? "Missed: " + x.missed.join("; ") + "." : "";
  more.href = x.address;
  box.scrollIntoView({ block: "nearest" });
}

function end() {
  awaited = run.id;
  const box = $(".grade-result");
  box.hidden = false;
  box.querySelector("h2").textContent = run.name;
  $(".grade-outcome").textContent = "Ended. The result comes as soon as the server has the entries.";
  $(".grade-numbers").textContent = "";
  add("end");
}

// A press on what ends a run counts the second time.
const armed = new Map();
function twice(button) {
  if (!button.dataset.twice || armed.has(button)) { reset(button); return true; }
  const was = button.textContent;
  button.textContent = button.dataset.twice;
  armed.set(button, [was, setTimeout(() => reset(button), 4000)]);
  return false;
}
function reset(button) {
  const x = armed.get(button);
  if (!x) return;
  clearTimeout(x[1]);
  button.textContent = x[0];
  armed.delete(button);
}

$(".grade-run").addEventListener("submit", (e) => {
  e.preventDefault();
  const button = e.submitter;
  if (!button || !run || run.ended || !twice(button)) return;
  const remark = $("#remark"), text = remark.value.trim();
  const about = text ? { text } : {};
  const kind = button.dataset.kind || button.value;
  switch (kind) {
    case "found":
      add("found", { deficiency: button.dataset.item, ...(button.dataset.wrong ? { wrong_count: true } : {}), ...about });
      break;
    case "undo": {
      const last = standing().at(-1);
      if (last) add("undo", { undoes: last.id });
      return;
    }
    case "unsafe":
      if (add("unsafe", about)) end();
      break;
    case "end":
      end();
      break;
    default:
      add(kind, about);
  }
  remark.value = "";
});

// Enter in the remark must not press a button.
$("#remark").addEventListener("keydown", (e) => { if (e.key === "Enter") e.preventDefault(); });

const student = $("#student");
function against() {
  const o = student.selectedOptions[0], why = o?.dataset.against || "", before = o?.dataset.before || "";
  $(".grade-against").textContent = [why && `Stands against a start: ${why}. Started all the same, it is kept with the run.`, before && before + "."].filter(Boolean).join(" ");
  $(".grade-go").textContent = why ? "Start all the same" : "Start";
}
student.addEventListener("change", against);

$(".grade-start").addEventListener("submit", (e) => {
  e.preventDefault();
  if (!student.value) { student.focus(); $(".grade-against").textContent = "Choose the student first."; return; }
  if (root.dataset.stopped) { $(".grade-against").textContent = "The lane is stopped. Settle what was found, then load this page again."; return; }
  $(".grade-result").hidden = true;
  start(student.value, nameOf(student.value), $(".grade-start [name=second]").checked);
  student.value = "";
  $(".grade-start [name=second]").checked = false;
  against();
  scrollTo(0, 0);
});

// Take up what is under way: from the store first, else from the server.
const keptRuns = stored(mine + "r:").map(([, r]) => r);
const unsent = new Set(waiting().map((e) => e.run));
const open = root.dataset.open ? JSON.parse(root.dataset.open) : null;
run = keptRuns.find((r) => r.version === version && !r.ended) || null;
if (run && run.id !== open?.id && !unsent.has(run.id)) {
  localStorage.removeItem(runKey(run.id)); // it was ended on another device
  run = null;
}
if (open) {
  // The store may have ended it, and the server has not heard yet.
  if (keptRuns.some((r) => r.id === open.id && r.ended)) awaited = open.id;
  else if (!run) run = take(open);
  else if (run.id === open.id) {
    const here = new Set(run.calls.map((c) => c.id));
    run.calls = [...run.calls, ...(open.calls || []).filter((c) => !here.has(c.id))].sort((a, b) => a.after_ms - b.after_ms);
  }
  if (run) keepRun();
}
document.documentElement.classList.add("scripted");
show();
say();
deliver();
