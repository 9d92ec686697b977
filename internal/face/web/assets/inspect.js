// The walk of one inspection. It works from what the tablet keeps; the laptop is
// told when it is in reach.
import * as store from "./inspect-store.js";
import { disturbed, fold, keyOf, planned, result, together, unanswered } from "./inspect-walk.js";
import { canKeep, fetched, keep } from "./inspect-keep.js";
import { notes } from "./inspect-note.js";
import { button, fill, h, links, picture, since } from "./inspect-parts.js";
import { sender } from "./inspect-send.js";
import { fetchedTable, whatIf } from "./inspect-whatif.js";

const root = document.getElementById("inspect");
const id = root.dataset.inspection;
const screen = document.getElementById("inspect-screen");
const bar = document.getElementById("inspect-bar");
const notice = document.getElementById("inspect-notice");
const foot = document.getElementById("inspect-unsent");

let bundle = null;
let state = null;
let served = [];
let at = 0; // index of the question on the screen
let view = "brief";
let moving = false; // something is being kept; a second press does nothing

const answers = { right: "Right", wrong: "Wrong", "cannot-tell": "Can’t tell" };

let kept = null; // whether all is on the tablet; null while that is being done

async function load() {
  bundle = await fetched(id, `/inspect/${id}/bundle`);
  for (const t of bundle.tasks) {
    t.checkpoint = bundle.checkpoints[t.c].id;
    t.key = keyOf(t);
  }
  try {
    served = (await fetched(id, `/inspect/${id}/events`)).events;
    await store.keepServed(id, served);
  } catch (error) {
    if (error instanceof store.Told) throw error;
    served = await store.served(id);
  }
  await refold();
}

async function refold() {
  state = fold(served, await store.events(id));
}

const sending = sender(id, () => frame());

// record keeps an entry; the screen moves on when it is on the disk.
async function record(kind, body, photos) {
  await store.add(id, bundle.person.id, kind, body, photos);
  await refold();
  sending.soon();
}

// act runs what a press asks for, once. A second press that was meant for the
// screen before is no answer to the question that has just come up.
async function act(what) {
  if (moving || (window.event?.isTrusted && screen.classList.contains("settling"))) return;
  moving = true;
  try {
    await what();
  } catch (error) {
    tell("Not kept: " + (error?.message ?? error) + " Press again; the screen has not moved on.");
  } finally {
    moving = false;
  }
}

// ---- The frame around each screen ----

function tell(words) {
  notice.replaceChildren(h("p", { class: "notice" }, words));
}

let frames = 0;
async function frame() {
  if (!bundle) return;
  const mine = ++frames;
  const { events: waiting } = await store.unsent(id);
  if (mine !== frames) return;
  const total = bundle.tasks.length;
  const done = total - unanswered(bundle, state).length;
  bar.hidden = false;
  const send = waiting.length === 0 ? "All sent" : waiting.length === 1 ? "1 entry not sent yet" : waiting.length + " entries not sent yet";
  bar.replaceChildren(
    h("progress", { max: total, value: done, "aria-label": "Questions answered" }),
    h("p", {}, `${done} of ${total} answered`, state.paused ? `, paused ${state.paused === 1 ? "once" : state.paused + " times"}` : ""),
    h("p", { id: "inspect-sent", "data-unsent": String(waiting.length) }, send, waiting.length > 0 && sending.signIn && ": sign in, see below", waiting.length > 0 && sending.refused && ": not taken, see below", waiting.length > 0 && sending.unwell && ": the laptop can keep nothing, see below"),
    h(
      "p",
      { class: "row inspect-tools" },
      view !== "brief" && button("Brief", () => show("brief"), { id: "to-brief" }),
      bundle.what_if && view !== "whatif" && view !== "again" && button("What if", () => show("whatif", {}), { id: "to-whatif" }),
      state.phase === "open" && view !== "brief" && view !== "whatif" && button("Pause", () => act(pause), { id: "to-pause" }),
    ),
  );
  const rows = [];
  if (sending.signIn) rows.push(h("p", { class: "notice", role: "alert" }, "You are not signed in any more. Nothing is lost. ", h("a", { href: "/signin?to=" + encodeURIComponent(location.pathname) }, "Sign in and send")));
  if (sending.unwell) rows.push(h("p", { class: "notice", role: "alert", id: "inspect-unwell" }, sending.unwell + " Here nothing is lost: all entries stay on this tablet and are sent again by themselves."));
  if (sending.refused)
    rows.push(
      h(
        "div",
        { class: "notice", role: "alert", id: "inspect-refused" },
        h("p", {}, "The laptop does not take an entry: " + sending.refused + " What is not sent stays on this tablet."),
        row(
          button("Write to a file", async () => {
            store.download(await store.file());
            sending.written = true;
            frame();
          }),
          sending.written &&
            button("Take them off this tablet", () =>
              act(async () => {
                await store.drop(id);
                sending.refused = "";
                sending.written = false;
                location.reload();
              }), { id: "inspect-drop" }),
        ),
      ),
    );
  if (sending.apart !== null && Math.abs(sending.apart) > 60000)
    rows.push(h("p", { class: "notice", id: "inspect-clock" }, `This tablet’s clock is ${since(sending.apart)} ${sending.apart > 0 ? "behind" : "ahead of"} the laptop’s. Each entry keeps both times; neither is changed.`));
  if (kept === false) rows.push(h("p", {}, "Not all pictures are on the tablet yet. Open the walk once more in reach of the laptop."));
  else if (kept) rows.push(h("p", { id: "inspect-kept" }, "This walk is on the tablet and works without the network."));
  if (waiting.length > 0)
    rows.push(
      h(
        "details",
        { id: "inspect-waiting" },
        h("summary", {}, "Not sent yet: " + waiting.length),
        h("p", {}, `They are on this tablet and are sent as soon as the laptop is seen${sending.reached ? ", which it was last at " + time(sending.reached) : ""}. If it never is, write them to a file and bring it to the laptop.`),
        h("p", { class: "row" }, button("Send now", () => ((sending.wait = 2000), sending.go())), button("Write to a file", async () => store.download(await store.file()), { id: "inspect-export" })),
      ),
    );
  const open = document.getElementById("inspect-waiting")?.open;
  fill(foot, rows);
  const details = document.getElementById("inspect-waiting");
  if (details && open) details.open = true;
}

let settled = 0;
let before = ["brief"]; // the screen that the what-ifs were opened from,
let asked = {}; // and what about

// show puts a screen up and the reader's place at its head.
function show(which, ...rest) {
  if (which === "whatif") asked = rest[0];
  else before = [which, ...rest];
  view = which;
  notice.replaceChildren();
  root.dataset.view = which;
  fill(screen, screens[which](...rest));
  screen.classList.add("settling");
  clearTimeout(settled);
  settled = setTimeout(() => screen.classList.remove("settling"), 300);
  frame();
  const head = screen.querySelector("h2");
  if (head) {
    head.tabIndex = -1;
    head.focus({ preventScroll: true });
    const top = which === "brief" ? 0 : bar.getBoundingClientRect().top + scrollY - 8;
    scrollTo({ top, behavior: "instant" });
  }
}

const time = (at) => new Date(at).toLocaleTimeString("en-GB", { hour: "2-digit", minute: "2-digit" });
const row = (...children) => h("p", { class: "row inspect-do" }, ...children);

// go shows a question, or what comes after the last.
function go(i) {
  at = i;
  show("question");
}

// onward goes to the next question without an answer, from here on and then from
// the beginning.
function onward(from = at) {
  const left = unanswered(bundle, state);
  if (left.length === 0) return show(state.elseAsked ? "end" : "else");
  go(left.find((i) => i >= from) ?? left[0]);
}

const { more, given, forget } = notes(id, () => bundle.person.id, act);

// ---- Events ----

const task = (i) => ({ checkpoint: bundle.tasks[i].checkpoint, part: bundle.tasks[i].part, attribute: bundle.tasks[i].attribute });

async function answer(i, word, rest = {}) {
  await record("answer", { ...task(i), answer: word, ...rest, ...given(bundle.tasks[i].key) });
  forget(bundle.tasks[i].key);
}

async function pause() {
  await record("pause");
  show("paused");
}

async function again(why, list) {
  await record("again", { why, tasks: list.map(task) });
}

// ---- Screens ----

const screens = {
  brief() {
    const begun = state.all.length > 0;
    return [
      h("h2", {}, "Before the walk"),
      h("dl", { class: "inspect-brief" }, bundle.brief.map(([head, text]) => h("div", {}, h("dt", {}, head), h("dd", {}, text)))),
      h("p", { class: "inspect-before" }, bundle.before),
      h("p", {}, bundle.not_covered),
      row(button(begun ? "Go on with the walk" : "Begin the walk", () => resume(), { class: "main", id: "begin" })),
    ];
  },

  question() {
    const t = bundle.tasks[at];
    const c = bundle.checkpoints[t.c];
    const here = bundle.tasks.flatMap((x, i) => (x.c === t.c ? [i] : []));
    const was = state.answers.get(t.key);
    const counting = t.links > 0;
    const blindStudent = counting && bundle.student && bundle.blind;
    const big = (word) => button(answers[word], () => act(() => said(at, word)), { class: "inspect-big", "data-answer": word, "aria-pressed": was?.answer === word ? "true" : undefined });
    return [
      h("p", { class: "inspect-where" }, h("b", {}, `Checkpoint ${t.c + 1} of ${bundle.checkpoints.length}`), ` ${c.title}`),
      c.place && h("p", { class: "inspect-stand" }, h("span", { class: "inspect-station" }, c.station), ` Stand ${c.place}`),
      c.note && h("p", { class: "inspect-note" }, c.note),
      h("h2", { class: "inspect-ask" }, h("small", {}, t.name), t.ask),
      t.do && h("p", { class: "inspect-way" }, t.do, "."),
      h(
        "div",
        { class: "inspect-look" },
        t.picture && h("figure", {}, picture(t.picture, "How it should look: " + t.planned), h("figcaption", {}, "How it should look: ", t.planned)),
        h(
          "div",
          { class: "inspect-answer" },
          !t.picture && t.planned && h("p", { class: "inspect-planned" }, "How it should be: ", h("b", {}, t.planned)),
          was && h("p", { class: "inspect-was" }, `Answered ${time(was.at)}: ${answers[was.answer].toLowerCase()}`, was.count !== undefined ? `, counted ${was.count}` : "", was.text ? `, “${was.text}”` : "", was.photos ? `, ${was.photos.length === 1 ? "1 photo" : was.photos.length + " photos"}` : "", ". Answer again to change it."),
          counting && links(t.links, (n) => act(() => count(at, n))),
          counting ? row(!blindStudent && big("wrong"), big("cannot-tell")) : h("div", { class: "inspect-buttons" }, big("right"), big("wrong"), big("cannot-tell")),
        ),
      ),
      more(t.key, "Note, as long as you like"),
      h(
        "details",
        { class: "inspect-here" },
        h("summary", {}, `This checkpoint: ${here.length} ${here.length === 1 ? "question" : "questions"}`),
        h("ul", {}, here.map((i) => h("li", {}, button(`${bundle.tasks[i].name}: ${bundle.tasks[i].ask} — ${answers[state.answers.get(bundle.tasks[i].key)?.answer]?.toLowerCase() ?? "not answered"}`, () => go(i), { "aria-current": i === at ? "step" : undefined })))),
      ),
      row(
        button("Back", () => go(Math.max(0, at - 1)), { id: "back", disabled: at === 0 }),
        button("Forward", () => (at + 1 < bundle.tasks.length ? go(at + 1) : show(state.elseAsked ? "end" : "else")), { id: "forward" }),
        unanswered(bundle, state).some((i) => i !== at) && button("Next not answered", () => onward(at + 1)),
        button("To the end", () => show(state.elseAsked ? "end" : "else"), { id: "to-end" }),
      ),
    ];
  },

  // counted tells, once a count is entered, how it stands to the plan.
  counted(n, plan) {
    const t = bundle.tasks[at];
    if (plan === null) {
      return [
        h("h2", {}, `${t.name}: you counted ${n}`),
        h("p", {}, bundle.student && bundle.blind ? "Compare it with the paper that you were given. The figure is not shown here." : "The plan has no count here. Say what you found."),
        h("div", { class: "inspect-buttons" }, ...["right", "wrong", "cannot-tell"].map((word) => button(answers[word], () => act(() => said(at, word, { count: n })), { class: "inspect-big", "data-answer": word }))),
        row(button("Count again", () => go(at))),
      ];
    }
    const by = n - plan;
    const kind = t.states.find((x) => x.by === by);
    const off = offBy(by);
    return [
      h("h2", {}, `${t.name}: you counted ${n}, the plan has ${plan}`),
      h("p", { class: "inspect-verdict" }, off + "."),
      row(button("It is wrong", () => act(() => wrong(at, kind?.id ?? "", { count: n }, by)), { class: "main inspect-big", id: "count-wrong" }), button("Count again", () => go(at), { class: "inspect-big" })),
      whatIfRow({ leg: t.leg, by, deficiency: kind && idOf(t, kind) }),
    ];
  },

  wrong(rest) {
    const t = bundle.tasks[at];
    return [
      h("h2", { class: "inspect-ask" }, h("small", {}, t.name), "What is wrong?"),
      h("ul", { class: "inspect-states" }, t.states.map((x) => h("li", {}, button([x.picture && picture(x.picture, ""), h("span", {}, x.text)], () => act(() => wrong(at, x.id, rest)), { class: "inspect-state", "data-state": x.id })))),
      row(button("Something else is wrong", () => act(() => wrong(at, "", rest)), { id: "wrong-other" }), button("Back to the question", () => go(at))),
    ];
  },

  remedy(which, rest, by) {
    const t = bundle.tasks[at];
    const x = t.states.find((s) => s.id === which);
    const stop = !x || x.act === "stop";
    return [
      h("h2", {}, x ? x.text : by !== undefined ? offBy(by) : rest.count !== undefined ? "The count is wrong" : "Something else is wrong"),
      h("p", {}, t.name, rest.count !== undefined ? `: counted ${rest.count}` : ""),
      h("p", { class: "inspect-verdict" }, stop ? "This stops the lift until a qualified person has decided." : "This may be put right on the spot; then it is looked at again."),
      more(t.key, "What you see"),
      h(
        "div",
        { class: "inspect-buttons two" },
        button("Stop: leave it as it is", () => act(() => settle(which, "stop", rest)), { class: "inspect-big" + (stop ? " main" : ""), "data-do": "stop" }),
        button("Put it right, then look again", () => act(() => settle(which, "put-right", rest)), { class: "inspect-big" + (stop ? "" : " main"), "data-do": "put-right" }),
      ),
      whatIfRow({ leg: t.leg, by: by ?? x?.by, deficiency: x && idOf(t, x), text: x && `${t.name}: ${x.text}` }),
      row(button("Back", () => go(at))),
    ];
  },

  // whatif tells what a count or a fault would do; from is what is asked about.
  whatif(from) {
    const back = row(button("Back to the walk", () => show(...before), { class: "main", id: "whatif-back" }));
    if (!table || table.later || table.none) return [h("h2", {}, "What if"), h("p", { class: "notice" }, table?.later ?? table?.none ?? "Not on the tablet yet."), back];
    // Who counts blind is told of a leg once it is counted.
    const counted = new Set(bundle.tasks.filter((t) => state.answers.get(t.key)?.count !== undefined).map((t) => t.leg));
    return [...whatIf(table, from, (leg) => !bundle.blind || counted.has(leg) || leg === from.leg), back];
  },

  // mended comes after something was put right, and before a question that was
  // answered wrong is answered otherwise; other is that answer.
  mended(i, other) {
    const t = bundle.tasks[i];
    const list = disturbed(bundle, state, i);
    const boxes = list.map((k) => h("input", { type: "checkbox", checked: true, value: String(k) }));
    return [
      h("h2", {}, `Put right: ${t.name}`),
      h("p", {}, "When it is put right it is looked at again, and so is everything that was touched on the way. Take out only what nobody touched."),
      list.length > 0 && h("fieldset", { class: "inspect-touched" }, h("legend", {}, `Asked again with it: ${list.length}`), list.map((k, j) => h("label", {}, boxes[j], h("span", {}, `${bundle.tasks[k].name}: ${bundle.tasks[k].ask}`)))),
      row(
        button("It is put right: look again", () =>
          act(async () => {
            const all = [i, ...boxes.filter((b) => b.checked).map((b) => Number(b.value))].sort((a, b) => a - b);
            await again("put-right", all);
            go(all[0]);
          }), { class: "main inspect-big", id: "mended" }),
        other
          ? button("Wrong was entered by mistake", () =>
              act(async () => {
                await answer(i, other.word, other.rest);
                onward(i + 1);
              }), { id: "mistaken" })
          : button("It cannot be put right now", () => onward(at + 1), { id: "not-mended" }),
      ),
    ];
  },

  paused() {
    return [h("h2", {}, "Paused"), h("p", {}, "What was entered is kept. When you come back, what you were looking at is looked at again from its beginning."), row(button("Go on with the walk", () => act(unpause), { class: "main inspect-big", id: "resume" }))];
  },

  again(why, i) {
    const group = together(bundle, i);
    const list = group.list.filter((k) => state.answers.has(bundle.tasks[k].key));
    const words = { pause: "The walk was paused.", reload: "The walk was broken off: the page was opened anew.", "hand-over": "The last answer came from another tablet, or from this one before somebody signed out." }[why];
    return [
      h("h2", {}, `Do ${group.words} again?`),
      h("p", {}, words, ` The last answer belongs to ${group.words}. Begin that again: ${list.length} ${list.length === 1 ? "answer" : "answers"} no longer ${list.length === 1 ? "counts" : "count"} then.`),
      row(
        button(`Do it again from its beginning`, () =>
          act(async () => {
            await again(why, list);
            go(list[0]);
          }), { class: "main inspect-big", id: "again-yes" }),
        button("Go on where I was", () =>
          act(async () => {
            await record("note", { about: "interruption", text: `Went on after an interruption (${why}) without doing ${group.words} again.` });
            onward(i);
          }), { id: "again-no" }),
      ),
    ];
  },

  else() {
    return [
      h("h2", {}, bundle.anything_else),
      more("else", "What you saw"),
      row(
        button("Keep it", () =>
          act(async () => {
            const what = given("else");
            if (!what.text && !what.photos) return tell("Nothing is entered yet. Where there was nothing, say so with the other button.");
            await record("note", { about: "anything-else", ...what });
            forget("else");
            show("end");
          }), { class: "main", id: "else-keep" }),
        button("Nothing else", () =>
          act(async () => {
            await record("note", { about: "anything-else", text: "nothing else seen" });
            show("end");
          }), { id: "else-nothing" }),
        button("Back to the questions", () => onward(0)),
      ),
    ];
  },

  end() {
    const left = unanswered(bundle, state);
    const open = bundle.tasks.flatMap((t, i) => (state.answers.get(t.key)?.answer === "wrong" ? [i] : []));
    const unsure = bundle.tasks.flatMap((t, i) => (state.answers.get(t.key)?.answer === "cannot-tell" ? [i] : []));
    const list = (words, of) => of.length > 0 && [h("h3", {}, `${words}: ${of.length}`), h("ul", { class: "inspect-list" }, of.map((i) => h("li", {}, button(`${bundle.tasks[i].name}: ${bundle.tasks[i].ask}`, () => go(i)))))];
    return [
      h("h2", {}, "The end of the walk"),
      h("p", { class: "inspect-verdict" }, result(bundle, state) + "."),
      list("Wrong, left open", open),
      list("Could not be told", unsure),
      list("Not answered", left),
      row(
        left.length > 0 && button("To what is not answered", () => onward(0), { class: "main" }),
        button(left.length > 0 ? "Finish all the same" : "Finish the walk", () =>
          act(async () => {
            await record("finish");
            show("finished");
          }), { class: left.length > 0 ? "" : "main", id: "finish" }),
        button("Say what else was seen", () => show("else")),
      ),
    ];
  },

  finished() {
    return [
      h("h2", {}, "Finished"),
      h("p", { class: "inspect-verdict" }, result(bundle, state) + "."),
      h("p", {}, bundle.training ? "This was training and is never signed." : "It is signed on its own page, in reach of the laptop, when all is sent."),
      row(
        h("a", { class: "button main", href: `/inspect/${id}/sign`, id: "to-sign" }, bundle.training ? "What was found" : "Look and sign"),
        button("Open the walk again", () =>
          act(async () => {
            await record("reopen");
            show("end");
          }), { id: "reopen" }),
      ),
    ];
  },
};

// offBy says how far a count is from the planned one.
const offBy = (by) => `${Math.abs(by)} ${Math.abs(by) === 1 ? "link" : "links"} ${by > 0 ? "more" : "fewer"} than planned`;

// idOf is a deficiency's id as the rig's survey has it.
const idOf = (t, x) => `${t.part}/${t.attribute}/${x.id}`;

const whatIfRow = (from) => bundle.what_if && row(button("What it would do", () => show("whatif", from), { id: "whatif" }));

let table = null; // of what-ifs, or why there is none

// lookUp gets the table onto the tablet, and goes on asking while it is computed.
async function lookUp(wait = 4000) {
  if (!bundle.what_if) return;
  const said = table?.later;
  table = await fetchedTable(id);
  if (view === "whatif" && table.later !== (said ?? "")) show("whatif", asked);
  if (table.later) setTimeout(() => lookUp(Math.min(wait * 1.5, 60000)), wait);
  else root.dataset.whatif = table.none ? "none" : "kept";
}

// said takes an answer; wrong asks on.
async function said(i, word, rest = {}) {
  const t = bundle.tasks[i];
  if (word === "wrong") {
    if (t.states.length === 0) return wrong(i, "", rest);
    return show("wrong", rest);
  }
  if (state.answers.get(t.key)?.answer === "wrong") return show("mended", i, { word, rest });
  await answer(i, word, rest);
  onward(i + 1);
}

async function count(i, n) {
  const plan = bundle.student && bundle.blind ? null : await planned(bundle, bundle.tasks[i], n);
  if (plan === n) {
    if (state.answers.get(bundle.tasks[i].key)?.answer === "wrong") return show("mended", i, { word: "right", rest: { count: n } });
    await answer(i, "right", { count: n });
    onward(i + 1);
    return tell(`Counted ${n}, as planned.`);
  }
  show("counted", n, plan);
}

async function wrong(i, which, rest, by) {
  show("remedy", which, rest, by);
}

async function settle(which, what, rest) {
  const i = at;
  await answer(i, "wrong", { ...(which ? { state: which } : {}), do: what, ...rest });
  if (what === "put-right") return show("mended", i);
  onward(i + 1);
}

// interrupted says what the walk broke off at, where it did.
function interrupted() {
  const i = bundle.tasks.findIndex((t) => t.key === state.lastTask);
  return i >= 0 && state.answers.has(state.lastTask) ? i : -1;
}

async function unpause() {
  await record("resume");
  const i = interrupted();
  if (i >= 0) show("again", "pause", i);
  else onward(0);
}

// resume goes on where the walk is.
function resume() {
  if (state.phase === "paused") return show("paused");
  if (state.phase === "finished") return show("finished");
  onward(at);
}

// ---- Start ----

async function start() {
  try {
    await load();
  } catch (error) {
    screen.replaceChildren(h("p", { class: "notice", role: "alert" }, error.message));
    return;
  }
  const own = await store.device();
  const i = interrupted();
  if (state.phase === "finished") show("finished");
  else if (state.phase === "paused") show("paused");
  else if (i >= 0) {
    at = i;
    if (unanswered(bundle, state).length === 0) show(state.elseAsked ? "end" : "else");
    else show("again", state.last.device === own ? "reload" : "hand-over", i);
  } else show("brief");
  document.documentElement.classList.add("walking");
  sending.soon();
  lookUp();
  if (!canKeep()) return tell("This browser keeps no pages, so the walk needs the laptop in reach when the page is opened. What is entered is kept all the same.");
  kept = await keep(id, bundle).catch(() => false);
  frame();
}

// Signing out with entries that were not sent says so first.
let warned = false;
document.querySelector("form.who")?.addEventListener("submit", async (event) => {
  if (warned) return;
  event.preventDefault();
  const { events: waiting } = await store.unsent();
  if (waiting.length === 0) {
    warned = true;
    setTimeout(() => event.target.requestSubmit()); // when this submission is over
    return;
  }
  warned = true;
  tell(`${waiting.length} entries have not been sent. They stay on this tablet until you sign in here again in reach of the laptop, or until they are written to a file. Press Sign out once more to leave all the same.`);
  notice.scrollIntoView({ block: "center" });
});

start();
