// What the entries of a walk say, as the server reads them: which answer counts,
// what is still to be asked, what goes with what.

export const keyOf = (t) => t.checkpoint + "\n" + t.part + "\n" + t.attribute;

const after = { start: "open", answer: "open", note: "open", again: "open", resume: "open", reopen: "open", pause: "paused", finish: "finished" };

// fold reads the server's entries and then those that are on this tablet alone.
export function fold(served, own) {
  const known = new Set(served.map((e) => e.id));
  const list = [
    ...[...served].sort((a, b) => a.seq - b.seq).map((e) => ({ ...e, body: e.body ?? {} })),
    ...own.filter((e) => !known.has(e.id)).map((e) => ({ ...e, body: JSON.parse(e.body) })),
  ];
  const state = { phase: "open", answers: new Map(), all: [], remarks: [], last: null, lastTask: "", list, elseAsked: false, paused: 0 };
  const over = (t) => {
    const was = state.answers.get(keyOf(t));
    if (was) was.over = true;
    state.answers.delete(keyOf(t));
  };
  for (const e of list) {
    if (e.kind === "answer") {
      over(e.body);
      const given = { ...e.body, at: e.at, over: false };
      state.answers.set(keyOf(e.body), given);
      state.all.push(given);
      state.lastTask = keyOf(e.body);
    } else if (e.kind === "note") {
      state.remarks.push({ ...e.body, at: e.at });
      if (e.body.about === "anything-else") state.elseAsked = true;
    } else if (e.kind === "again") {
      for (const t of e.body.tasks) over(t);
    } else if (e.kind === "pause") {
      state.paused++;
    }
    state.phase = after[e.kind] ?? state.phase;
    state.last = e;
  }
  return state;
}

// unanswered lists the indices of the questions with no answer that counts.
export function unanswered(bundle, state) {
  return bundle.tasks.flatMap((t, i) => (state.answers.has(t.key) ? [] : [i]));
}

// result says in words what was found so far.
export function result(bundle, state) {
  const counted = (n, one, many) => (n === 1 ? "1 " + one : n + " " + many);
  const say = [...state.answers.values()];
  const wrong = say.filter((a) => a.answer === "wrong").length;
  const unsure = say.filter((a) => a.answer === "cannot-tell").length;
  const left = unanswered(bundle, state).length;
  let text = wrong ? counted(wrong, "deficiency", "deficiencies") + " left open" : "No deficiency found open";
  if (unsure) text += "; " + counted(unsure, "question", "questions") + " could not be told";
  if (left) text += "; " + counted(left, "question", "questions") + " not answered";
  return text;
}

// together is what an interruption breaks off: the leg that was being looked at,
// or what is looked at from the same side of the load.
export function together(bundle, i) {
  const t = bundle.tasks[i];
  const c = bundle.checkpoints[t.c];
  const same = t.leg ? (x) => x.leg === t.leg : (x) => bundle.checkpoints[x.c].station === c.station;
  return { words: t.leg ? "leg " + t.leg : c.place ? "the checks made " + c.place : "this checkpoint", list: bundle.tasks.flatMap((x, k) => (same(x) ? [k] : [])) };
}

// disturbed is what putting a part right may have touched: the part itself, and
// every part of the legs that it belongs to, as far as it was looked at already.
export function disturbed(bundle, state, i) {
  const t = bundle.tasks[i];
  return bundle.tasks.flatMap((x, k) => {
    const touched = x.part === t.part || x.legs.some((l) => t.legs.includes(l));
    return k !== i && touched && state.answers.has(x.key) ? [k] : [];
  });
}

// planned finds the planned count of a blind count, once a count is entered.
export async function planned(bundle, task, entered) {
  if (task.count !== null && task.count !== undefined) return task.count;
  if (!task.check) return null;
  const salt = new TextEncoder().encode(bundle.inspection + " " + task.part + " " + task.attribute);
  const is = async (n) => {
    const key = await crypto.subtle.importKey("raw", new TextEncoder().encode(String(n)), "PBKDF2", false, ["deriveBits"]);
    const bits = await crypto.subtle.deriveBits({ name: "PBKDF2", hash: "SHA-256", salt, iterations: 4000 }, key, 128);
    return Array.from(new Uint8Array(bits), (b) => b.toString(16).padStart(2, "0")).join("") === task.check;
  };
  for (const n of [entered, ...Array.from({ length: task.links }, (_, k) => k + 1)]) if (await is(n)) return n;
  return null;
}
