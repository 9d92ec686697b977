// Grading on a tablet. Each tap is an entry with an id of its own, made here and
// kept here until the server says that it is on its disk. The network may go, the
// page may be loaded again without it, the tablet may die: what is in the store
// goes on from where it was. Delivering an entry twice does no harm, the id tells.
import * as store from "./grade-store.js";
import { keepShell, worker } from "./inspect-look.js";
import { clockWords, grade, numbersWords } from "./grade-rule.js";

const root = document.querySelector(".grade");
const me = root.dataset.me;
const address = root.dataset.version;
const version = address.replace("/grade/", "");
const limit = Number(root.dataset.limit) || 0;
const rule = JSON.parse(root.dataset.rule);
const $ = (selector) => root.querySelector(selector);

// Each time a page is loaded it is a device of its own to the server, so that two
// pages open on one tablet number their entries apart.
const device = store.newID();

let run = null; // the one under way on this page
let next = 1; // the number of its next entry on this device
let full = ""; // why the tablet keeps nothing more

// The run's own clock stands still while a fault that nobody planted is not
// settled.
function clock(now = Date.now()) {
  return Math.max(0, (run.halted || now) - run.started - run.waited);
}

// Presses are worked off one after another, each by the time it was made at.
let tail = Promise.resolve();
function press(work) {
  const now = Date.now();
  tail = tail.then(() => work(now)).catch((error) => {
    full = error?.message || String(error);
    return say();
  });
  return tail;
}

async function add(kind, about, now) {
  const event = {
    id: store.newID(), run: run.id, device, n: next, kind, at: new Date(now).toISOString(),
    body: { ...about, after_ms: kind === "start" ? 0 : clock(now) },
  };
  const after = { ...run, calls: [...run.calls] };
  if (kind !== "start" && kind !== "end") after.calls.push({ id: event.id, kind, ...event.body });
  if (kind === "not-planted" && !after.halted) { after.halted = now; after.halt = event.id; }
  if (after.halted && (kind === "settled" || kind === "undo" && about.undoes === after.halt)) { after.waited += now - after.halted; after.halted = 0; }
  if (kind === "end") { after.ended = true; after.grade = grade(rule, after.calls, event.body.after_ms); }
  await store.add(me, event, after); // before the screen moves on
  run = after;
  next++;
  full = "";
  show();
  await say();
  deliver();
}

async function start(student, name, second, now) {
  const before = run, n = next;
  run = { id: store.newID(), version, student, name, second, started: now, waited: 0, halted: 0, halt: "", calls: [], ended: false };
  next = 1;
  try {
    await add("start", { version, student, ...(second ? { second: true } : {}) }, now);
  } catch (error) {
    [run, next] = [before, n];
    throw error;
  }
  await keep().catch(() => {}); // the run is kept; only the page is not
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
const textOf = (id) => root.querySelector(`.grade-items > li[data-item="${CSS.escape(id)}"] .grade-text`)?.textContent ?? id;

function show() {
  const on = run && !run.ended;
  $(".grade-start").hidden = !!on;
  $(".grade-run").hidden = !on;
  // During a run it stands beneath what is pressed: nothing moves under the finger.
  const queue = $(".grade-queue");
  if (on && $(".grade-calls").nextElementSibling !== queue) $(".grade-calls").after(queue);
  else if (!on && $(".grade-start").previousElementSibling !== queue) $(".grade-start").before(queue);
  if (!on) return;
  $(".grade-who").textContent = run.name + (run.second ? ", second grading" : "");
  $(".grade-halted").hidden = !run.halted;
  const calls = standing(), found = new Map();
  for (const c of calls) if (c.kind === "found" && (!found.has(c.deficiency) || found.get(c.deficiency).wrong_count && !c.wrong_count)) found.set(c.deficiency, c);
  for (const li of root.querySelectorAll(".grade-items > li")) {
    const c = found.get(li.dataset.item);
    li.classList.toggle("found", !!c);
    li.querySelector(".grade-at").textContent = c ? `found ${clockWords(c.after_ms)}${c.wrong_count ? ", wrong figure" : ""}` : "";
  }
  for (const kind of ["false", "order"]) {
    const n = calls.filter((c) => c.kind === kind).length;
    const place = $(".grade-" + kind); // there is none for a rule that does not ask for it
    if (place) place.textContent = n ? `(${n})` : "";
  }
  const log = $(".grade-log");
  log.replaceChildren(...calls.map((c) => {
    const li = document.createElement("li"), at = document.createElement("span");
    at.textContent = clockWords(c.after_ms);
    li.append(at, ` ${words[c.kind] || c.kind}${c.deficiency ? ": " + textOf(c.deficiency) : ""}${c.wrong_count ? ", with a wrong figure" : ""}${c.text ? ": " + c.text : ""}`);
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
let sending = false, pause = 1000, timer = 0, refused = "", unwell = "", away = false, out = false;

const confirmed = []; // what ended on this tablet and has reached the school since
let sayings = 0;
async function say() {
  const mine = ++sayings, p = $(".grade-queue");
  let left = [], others = 0, kept = [];
  try {
    [left, others, kept] = [await store.waiting(me), await store.others(me), await store.runs(me)];
  } catch (error) {
    full ||= error.message;
  }
  if (mine !== sayings) return;
  const n = left.length, parts = [];
  if (full) parts.push(`This tablet keeps nothing more: ${full} Write the calls down on paper.`);
  if (root.dataset.kept) parts.push(`This page is kept on the tablet, as it was at ${timeOf(root.dataset.kept)}.`);
  if (n && (away || out || refused)) parts.push(`${n} ${n === 1 ? "entry is" : "entries are"} kept on this tablet and not delivered yet.`);
  if (unwell && n) parts.push(unwell + " Here nothing is lost: go on, they are sent again by themselves.");
  else if (away && n) parts.push("The server is out of reach; go on, they are sent when it is back.");
  if (out && n) parts.push("You are signed out. Go on; then sign in again on this tablet, and they are sent.");
  if (refused) parts.push(`The server does not take one: ${refused} Nothing is thrown away; show this to whoever runs the test day.`);
  if (others) parts.push(`${others} ${others === 1 ? "entry" : "entries"} of another grader wait on this tablet until they sign in here.`);
  p.textContent = parts.join(" ");
  p.hidden = !parts.length;
  root.dataset.waiting = String(n);
  // What ended here and is not the school's yet.
  const unsent = kept.filter((r) => r.ended && r.grade && left.some((e) => e.run === r.id))
    .map((r) => ({ run: r.id, name: r.name, outcome: rule.words[r.grade.outcome], numbers: numbersWords(r.grade), received: "Not yet received by the school." }));
  const list = [...unsent, ...confirmed].filter((r) => r.run !== awaited);
  $(".grade-kept").hidden = list.length === 0;
  $(".grade-kept ul").replaceChildren(...list.map((r) => {
    const li = document.createElement("li"), b = document.createElement("b"), small = document.createElement("small");
    b.textContent = r.outcome;
    small.textContent = `${r.numbers} ${r.received}`;
    li.append(`${r.name}: `, b, small);
    return li;
  }));
}

const timeOf = (at) => new Date(at).toLocaleTimeString("en-GB", { hour: "2-digit", minute: "2-digit" });

async function deliver() {
  clearTimeout(timer);
  if (sending) return;
  sending = true;
  let again = 0;
  try {
    const events = (await store.waiting(me)).slice(0, 400);
    unwell = "";
    if (!events.length) {
      away = out = false;
      return;
    }
    const sent = events.map(({ me: _, order: __, ...e }) => e);
    const answer = await fetch(root.dataset.post, {
      method: "POST", headers: { "Content-Type": "application/json", Accept: "application/json" }, body: JSON.stringify({ events: sent }), signal: AbortSignal.timeout(20000),
    });
    out = answer.status === 401;
    if (out || answer.status === 403) await store.dropCopies(); // whoever holds the tablet is no grader now
    const told = await answer.json();
    unwell = answer.status >= 500 ? told.refused || "" : "";
    if (!answer.ok) throw new Error(told.refused || String(answer.status));
    away = false;
    pause = 1000;
    const on = new Set(told.taken.filter((t) => !t.refused).map((t) => t.id));
    refused = told.taken.find((t) => t.refused)?.refused || "";
    await store.drop(events.filter((e) => on.has(e.id)), []);
    // A run that has ended and is wholly delivered is the server's.
    const left = new Set((await store.waiting(me)).map((e) => e.run));
    const over = (await store.runs(me)).filter((r) => r.ended && !left.has(r.id));
    await store.drop([], over.map((r) => r.id));
    for (const x of told.results) {
      const own = over.find((r) => r.id === x.run);
      if (own) confirmed.push({ run: x.run, name: own.name, outcome: x.outcome, numbers: x.numbers, received: `Received by the school at ${timeOf(Date.now())}.` });
      result(x, own?.grade);
    }
    // The grade is in: the page that says what is planted need not stay.
    for (const v of new Set(over.map((r) => r.version))) if (!(run && !run.ended && run.version === v)) await store.dropCopies(v);
    if (refused) again = 30000;
    else if (left.size) again = 1;
  } catch {
    away = !out;
    again = pause;
    pause = Math.min(30000, pause * 2);
  } finally {
    sending = false;
    await say();
    if (again) timer = setTimeout(deliver, again);
    else if ((await store.waiting(me).catch(() => [])).length) timer = setTimeout(deliver, 1);
  }
}
addEventListener("online", () => { pause = 1000; deliver(); });
addEventListener("visibilitychange", () => { if (!document.hidden) deliver(); });

let awaited = ""; // the run whose result this page shows

function reckoned(outcome, numbers, reasons, missed, received) {
  const box = $(".grade-result");
  box.hidden = false;
  $(".grade-outcome").textContent = outcome;
  $(".grade-numbers").textContent = numbers;
  $(".grade-reasons").replaceChildren(...reasons.map((r) => Object.assign(document.createElement("li"), { textContent: r })));
  $(".grade-missed").textContent = missed.length ? "Missed: " + missed.join("; ") + "." : "";
  $(".grade-received").textContent = received;
  return box;
}

// result is what the school makes of a run; own is what this tablet made of it.
function result(x, own) {
  if (x.run !== awaited) return;
  const other = own && (rule.words[own.outcome] !== x.outcome || numbersWords(own) !== x.numbers);
  const box = reckoned(x.outcome, x.numbers, x.reasons, x.missed, `Received by the school at ${timeOf(Date.now())}.${other ? ` This tablet had: ${rule.words[own.outcome]}. ${numbersWords(own)} The school’s counts.` : ""}`);
  box.dataset.received = "yes";
  $(".grade-more").href = x.address;
  $(".grade-more").hidden = false;
  box.scrollIntoView({ block: "nearest" });
}

async function end(now) {
  awaited = run.id;
  await add("end", {}, now);
  const g = run.grade;
  const box = $(".grade-result");
  box.querySelector("h2").textContent = run.name;
  box.dataset.received = "no";
  $(".grade-more").hidden = true;
  reckoned(rule.words[g.outcome], numbersWords(g), g.reasons, g.missed.map(textOf), "Worked out on this tablet; not yet received by the school.");
}

// called is the find of an item that a further one would only repeat. One with the
// right figure may come after one with a wrong figure.
const called = (item, wrong) => standing().find((c) => c.kind === "found" && c.deficiency === item && (wrong || !c.wrong_count));

function note(words) {
  const p = $(".grade-note");
  p.textContent = words;
  p.hidden = !words;
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
  if (!button || !run || run.ended) return;
  const remark = $("#remark"), text = remark.value.trim();
  const about = text ? { text } : {};
  const kind = button.dataset.kind || button.value;
  if (kind === "unsafe" && !text) {
    note("Write in one line, without names, what was unsafe. Then press Safety violation again.");
    remark.focus();
    return;
  }
  if (!twice(button)) return;
  note("");
  if (kind !== "undo" && !(kind === "found" && called(button.dataset.item, button.dataset.wrong))) remark.value = "";
  press(async (now) => {
    if (!run || run.ended) return;
    switch (kind) {
      case "found": {
        const was = called(button.dataset.item, button.dataset.wrong);
        if (was) return note(`Already called at ${clockWords(was.after_ms)}: ${textOf(button.dataset.item)}. Nothing was added.`);
        return add("found", { deficiency: button.dataset.item, ...(button.dataset.wrong ? { wrong_count: true } : {}), ...about }, now);
      }
      case "undo": {
        const last = standing().at(-1);
        return last && add("undo", { undoes: last.id }, now);
      }
      case "unsafe":
        await add("unsafe", about, now);
        return end(now);
      case "end":
        return end(now);
      default:
        return add(kind, about, now);
    }
  });
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
  const [who, name, second] = [student.value, nameOf(student.value), $(".grade-start [name=second]").checked];
  press((now) => start(who, name, second, now)).then(() => {
    if (full) return;
    student.value = "";
    $(".grade-start [name=second]").checked = false;
    against();
    scrollTo(0, 0);
  });
});

// The next student: loaded afresh where the server is in reach, else from here.
$(".grade-next").addEventListener("click", (e) => {
  if (!away) return;
  e.preventDefault();
  $(".grade-result").hidden = true;
  awaited = "";
  say();
  scrollTo(0, 0);
});

// The page itself, kept for where there is no network: only while it is of use,
// and as the server gave it to this grader.
let copy = null;

async function read() {
  if (!window.caches || !navigator.serviceWorker) return;
  await worker();
  if (root.dataset.kept) {
    const there = await store.copyOf(version, address);
    if (there) copy = { text: await there.text(), headers: there.headers };
    return;
  }
  const answer = await fetch(address, { signal: AbortSignal.timeout(10000) });
  if (!answer.ok || answer.redirected) return;
  const headers = new Headers(answer.headers);
  headers.delete("Content-Length");
  headers.set("X-Kept-Until", root.dataset.until);
  headers.set("X-Kept-Name", encodeURIComponent($("h1").textContent.trim()));
  // What is under way is taken from the store, which knows better.
  const text = (await answer.text()).replace(/ data-open="[^"]*"/, "").replace('<div class="grade"', `<div class="grade" data-kept="${new Date().toISOString()}"`);
  copy = { text, headers };
}

async function keep() {
  if (!copy) return;
  await keepShell(root.dataset.shell.split(" "));
  await store.keepCopy(version, address, copy.text, copy.headers);
  if ((await navigator.serviceWorker.getRegistration("/grade/"))?.active) root.dataset.ready = "yes";
}

// Signing out takes the copy along, also where the server does not hear of it.
document.querySelector("form.who")?.addEventListener("submit", () => {
  copy = null;
  store.dropCopies();
});

// Take up what is under way: from the store first, else from the server.
async function takeUp() {
  await store.fromBefore();
  const kept = await store.runs(me);
  const unsent = new Set((await store.waiting(me)).map((e) => e.run));
  await store.drop([], kept.filter((r) => r.ended && !unsent.has(r.id)).map((r) => r.id)); // the tablet died as these were delivered
  const open = root.dataset.open ? JSON.parse(root.dataset.open) : null;
  run = kept.find((r) => r.version === version && !r.ended) || null;
  if (run && !root.dataset.kept && run.id !== open?.id && !unsent.has(run.id)) {
    await store.drop([], [run.id]); // it was ended on another device
    run = null;
  }
  if (!open) return;
  // The store may have ended it, and the server has not heard yet.
  if (kept.some((r) => r.id === open.id && r.ended)) return;
  if (!run) run = take(open);
  else if (run.id === open.id) {
    const here = new Set(run.calls.map((c) => c.id));
    run.calls = [...run.calls, ...(open.calls || []).filter((c) => !here.has(c.id))].sort((a, b) => a.after_ms - b.after_ms);
  }
  if (run) await store.keepRun(me, run);
}

try {
  await takeUp();
} catch (error) {
  full = error.message;
}
document.documentElement.classList.add("scripted");
show();
await say();
deliver();
try {
  await read();
  if (copy) await navigator.serviceWorker.ready;
  await keep();
} catch { /* out of reach, or a browser that keeps no pages: then it needs the server to be opened */ }
