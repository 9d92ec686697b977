// A run graded on the tablet by the lane's rule, as the school grades it: what it
// came to is known before the network is back. The school's grade counts.

export const clockWords = (ms) => {
  const s = Math.max(0, Math.round(ms / 1000)), two = (n) => String(n).padStart(2, "0");
  return s >= 3600 ? `${Math.floor(s / 3600)}:${two(Math.floor(s / 60) % 60)}:${two(s % 60)}` : `${Math.floor(s / 60)}:${two(s % 60)}`;
};

// grade reads a rule as the page has it and a run's calls in the order in which
// they were entered; ended is when it ended, ms after its start, or null.
export function grade(rule, calls, ended) {
  const gone = new Set(rule.voided);
  const planted = rule.planted.filter((id) => !gone.has(id));
  const asked = rule.found === null ? null : Math.min(rule.found, planted.length); // nobody can find what no longer counts
  const limit = rule.within_ms ?? Infinity;
  const g = { outcome: "", reasons: [], found: [], missed: [], false: 0, order: 0, unplaced: 0, took_ms: ended ?? 0 };
  const seen = new Set(), undone = new Set(calls.filter((c) => c.kind === "undo").map((c) => c.undoes));
  let unsettled = 0, unsafe = "", late = 0;
  for (const c of calls) {
    if (c.kind === "found" && gone.has(c.deficiency)) continue;
    if (seen.has(c.id) || undone.has(c.id)) continue;
    seen.add(c.id);
    switch (c.kind) {
      case "found":
        if (!planted.includes(c.deficiency)) g.reasons.push("a find of what this version does not have was not counted: " + c.deficiency);
        else if (c.after_ms > limit) late++;
        else if (c.wrong_count && rule.figure_right) g.reasons.push("found with a wrong figure, which does not count: " + c.deficiency);
        else if (!g.found.includes(c.deficiency)) g.found.push(c.deficiency);
        break;
      case "false":
        if (c.after_ms <= limit) g.false++;
        break;
      case "order":
        g.order++;
        break;
      case "not-planted":
        unsettled++;
        g.unplaced++;
        break;
      case "settled":
        unsettled = Math.max(0, unsettled - 1);
        break;
      case "unsafe":
        unsafe = c.text || "no reason was entered";
    }
  }
  g.missed = planted.filter((id) => !g.found.includes(id));
  if (unsafe) {
    g.outcome = "safety-violation";
    g.reasons.push(unsafe);
  } else if (unsettled > 0) {
    g.outcome = "stopped";
    g.reasons.push("repair it or declare it, and review the runs before this one");
  } else if (ended === null) g.outcome = "running";
  else if (rule.missing.length > 0) {
    g.outcome = "ungraded";
    g.reasons.push("not entered: " + rule.missing.join(", "));
  } else {
    g.outcome = "met";
    const fail = (bad, words) => {
      if (!bad) return;
      g.outcome = "not-met";
      g.reasons.push(words);
    };
    fail(g.found.length < asked, `found ${g.found.length} of ${planted.length}, asked for ${asked}`);
    fail(g.false > rule.false, `${count(g.false, "false call")}, allowed ${rule.false}`);
    fail(rule.ordered && g.order > rule.wrong_order, `${count(g.order, "station")} out of order, allowed ${rule.wrong_order}`);
    if (late > 0) g.reasons.push(`${late} found after the time, not counted`);
  }
  return g;
}

const count = (n, one) => `${n} ${one}${n === 1 ? "" : "s"}`;

// numbersWords says a grade's numbers as the school does.
export function numbersWords(g) {
  let text = `Found ${g.found.length} of ${g.found.length + g.missed.length}, ${count(g.false, "false call")}, in ${clockWords(g.took_ms)}.`;
  if (g.order > 0) text += ` Out of order: ${g.order}.`;
  if (g.unplaced > 0) text += ` True and not planted: ${g.unplaced}.`;
  return text;
}
