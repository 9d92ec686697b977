// What if: what a count that is off, or another single fault, would do to the
// load. The laptop has worked all of it out; the tablet keeps the table and looks
// it up, with the network or without.
import { button, fill, h } from "./inspect-parts.js";

// fetchedTable returns the table, kept or from the laptop, or what stands in its
// place: { later }, words, while it is worked out or out of reach; { none }, words,
// where there will be none.
export async function fetchedTable(id) {
  const address = `/inspect/${id}/whatif`;
  const cache = await (window.caches ? caches.open("hangtrue-walk-" + id) : null)?.catch(() => null);
  const kept = await cache?.match(address);
  if (kept) return kept.json(); // it is of one version of the rig, which does not change
  try {
    const answer = await fetch(address, { headers: { Accept: "application/json" }, signal: AbortSignal.timeout(15000) });
    if (answer.status === 200) {
      const copy = new Response(await answer.clone().blob(), { headers: { "Content-Type": "application/json" } });
      await cache?.put(address, copy).catch(() => {});
      return answer.json();
    }
    const said = await answer.json();
    if (answer.status === 202) return { later: `Not computed yet${said.listed ? `: ${said.tried} of ${said.listed} changes are` : ""}. It comes by itself while the laptop is in reach.` };
    if (answer.status === 401 || answer.status >= 500) return { later: "Not on the tablet yet, and the laptop does not send it now." };
    return { none: said.refused ?? "There is none for this load." };
  } catch {
    return { later: "Not on the tablet yet, and the laptop is out of reach." };
  }
}

const SVG = "http://www.w3.org/2000/svg";

function s(tag, attributes, ...children) {
  const e = document.createElementNS(SVG, tag);
  for (const [key, value] of Object.entries(attributes)) e.setAttribute(key, value);
  e.append(...children);
  return e;
}

// turned places a point of a body's frame by its pose.
function turned([w, x, y, z], p, at) {
  const c = [y * p[2] - z * p[1] + w * p[0], z * p[0] - x * p[2] + w * p[1], x * p[1] - y * p[0] + w * p[2]];
  return [p[0] + 2 * (y * c[2] - z * c[1]) + at[0], p[1] + 2 * (z * c[0] - x * c[2]) + at[1], p[2] + 2 * (x * c[1] - y * c[0]) + at[2]];
}

// hull is the outline of points in a plane.
function hull(points) {
  const sorted = [...points].sort((a, b) => a[0] - b[0] || a[1] - b[1]);
  const half = (list) => {
    const out = [];
    for (const p of list) {
      while (out.length > 1 && (out.at(-1)[0] - out.at(-2)[0]) * (p[1] - out.at(-2)[1]) - (out.at(-1)[1] - out.at(-2)[1]) * (p[0] - out.at(-2)[0]) <= 0) out.pop();
      out.push(p);
    }
    return out.slice(0, -1);
  };
  return [...half(sorted), ...half(sorted.reverse())];
}

// drawn is the load from one side with a change, the plan behind it in outline.
function drawn(table, row, words, across) {
  const flat = (p) => [p[across], -p[2]];
  const shapes = (r) => table.bodies.map((b, i) => hull(b.outline_m.map((p) => flat(turned(r.turn_wxyz[i], p, r.at_m[i])))));
  const now = shapes(row);
  const plan = shapes(table.plan);
  const lines = row.lines_m.map((line) => line.map(flat));
  const all = [...now.flat(), ...plan.flat(), ...lines.flat()];
  const [xs, ys] = [all.map((p) => p[0]), all.map((p) => p[1])];
  const [left, top] = [Math.min(...xs), Math.min(...ys)];
  const size = Math.max(Math.max(...xs) - left, Math.max(...ys) - top, 0.1);
  const scale = 200 / size; // one picture unit is the same on every load, so that strokes are
  const at = (p) => `${((p[0] - left) * scale).toFixed(1)},${((p[1] - top) * scale).toFixed(1)}`;
  const list = (points) => points.map(at).join(" ");
  const box = `-6 -6 ${((Math.max(...xs) - left) * scale + 12).toFixed(1)} ${((Math.max(...ys) - top) * scale + 12).toFixed(1)}`;
  return h(
    "figure",
    { class: "inspect-if-picture" },
    s(
      "svg",
      { viewBox: box, role: "img", "aria-label": words },
      ...plan.map((p) => s("polygon", { class: "plan", points: list(p) })),
      ...lines.map((line, i) => s("polyline", { class: row.pull_n[i] === 0 ? "line slack" : "line", points: list(line) })),
      ...now.map((p) => s("polygon", { class: "body", points: list(p) })),
    ),
    h("figcaption", {}, words),
  );
}

const angle = (x) => Math.abs(x).toFixed(1) + " deg";

function attitude(pitch, roll) {
  if (pitch === null) return "hangs on nothing";
  const nose = pitch > 0.05 ? "nose up " + angle(pitch) : pitch < -0.05 ? "nose down " + angle(pitch) : "level fore and aft";
  const side = roll > 0.05 ? "right side down " + angle(roll) : roll < -0.05 ? "left side down " + angle(roll) : "level sideways";
  return nose + ", " + side;
}

const linked = (by) => (by === 0 ? "as planned" : `${Math.abs(by)} ${Math.abs(by) === 1 ? "link" : "links"} ${by > 0 ? "more" : "fewer"} than planned`);
const sentence = (text) => (text ? text[0].toUpperCase() + text.slice(1) + (/[.!?]$/.test(text) ? "" : ".") : "");

// result is what one row says, with where it is from.
function result(table, row) {
  const force = (n) => (n === null ? "lost" : n === 0 ? "slack" : `${(n / table.force.newtons).toFixed(table.force.digits)} ${table.force.unit}`);
  const use = (r, i) => (r.use?.[i] === null || r.use?.[i] === undefined ? "" : `, worst ${(100 * r.use[i]).toFixed(1)} % of rating`);
  const pull = (r, i) => force(r.pull_n[i]) + (r.pull_n[i] === null ? "" : use(r, i));
  const line = (name, plan, then) => h("tr", { class: plan === then ? undefined : "differs" }, h("th", { scope: "row" }, name), h("td", { "data-head": "As planned" }, plan), h("td", { "data-head": "Then" }, then));
  const few = table.bodies.length === 1;
  const findings = (row.findings ?? []).map((i) => sentence(table.texts[i]));
  return h(
    "div",
    { class: "inspect-if-result", "data-row": row.id ?? "plan", "data-result": row.result },
    // What it may end in comes first: limits that are kept by what is left of the
    // rig are no comfort.
    (row.ends ?? []).map((i) => h("p", { class: "inspect-verdict inspect-if-end" }, `May end so: ${table.texts[i]}.`)),
    // And so does this: a load may keep every limit and not be the one that was planned.
    row !== table.plan && h("p", { class: "inspect-verdict inspect-if-not" }, h("b", {}, "Still not the plan"), row.leg ? `: leg ${row.leg} has ${linked(row.by)}.` : row.what ? `: ${row.what}.` : "."),
    h("p", { class: "inspect-verdict" }, sentence(`${row.words}: ${table.texts[row.reason]}`)),
    h("div", { class: "inspect-if-pictures" }, drawn(table, row, "From its right side; its front is to the right. Dashed: as planned.", 0), drawn(table, row, "From its front. Dashed: as planned.", 1)),
    h(
      "table",
      {},
      h("thead", {}, h("tr", {}, h("td", {}), h("th", { scope: "col" }, "As planned"), h("th", { scope: "col" }, "Then"))),
      h(
        "tbody",
        {},
        table.bodies.map((b, i) => line(few ? "Hangs" : b.id, attitude(table.plan.pitch_deg[i], table.plan.roll_deg[i]), attitude(row.pitch_deg[i], row.roll_deg[i]))),
        table.legs.map((l, i) => line("Leg " + l.id, pull(table.plan, i), pull(row, i))),
      ),
    ),
    row.runs && h("p", {}, `If the chain runs through its points, it is worse: ${row.runs}.`),
    findings.length > 0 && h("ul", {}, findings.map((x) => h("li", {}, x))),
    row.note !== undefined && h("p", {}, sentence(table.texts[row.note])),
  );
}

// whatIf is the screen: from is where it was opened, with the leg, by how many
// links it is off, and the deficiency, where these are known there. may says which
// legs a blind count lets it tell of.
export function whatIf(table, from, may) {
  const legs = table.legs.filter((l) => l.chain && table.rows.some((r) => r.leg === l.id) && may(l.id));
  const others = table.rows.filter((r) => !r.leg);
  const deficiency = from.deficiency ? table.deficiencies[from.deficiency] : null;
  let leg = legs.find((l) => l.id === from.leg) ?? null;
  let by = from.by ?? 0;
  let other = "";
  const row = () => (other ? table.rows.find((r) => r.id === other) : by === 0 ? table.plan : table.rows.find((r) => r.leg === leg?.id && r.by === by));
  const by0 = deficiency?.row ? table.rows.find((r) => r.id === deficiency.row) : null;
  if (by0?.leg && legs.some((l) => l.id === by0.leg)) [leg, by] = [legs.find((l) => l.id === by0.leg), by0.by];
  else if (by0 && !by0.leg) other = by0.id;
  const choice = h("div", { class: "inspect-if-choice" });
  const place = h("div", { "aria-live": "polite" });
  const select = h("select", { id: "inspect-if-fault" }, h("option", { value: "" }, "choose"), others.map((r) => h("option", { value: r.id }, r.what)));
  select.addEventListener("change", () => {
    other = select.value;
    show();
  });
  const ends = () => table.rows.filter((r) => r.leg === leg.id).map((r) => r.by);
  function show() {
    select.value = other;
    const steps = leg ? ends() : [];
    const step = (n) => button(n < 0 ? "−" : "+", () => ((by += n), (other = ""), show()), { id: n < 0 ? "inspect-if-fewer" : "inspect-if-more", "aria-label": n < 0 ? "One link fewer" : "One link more", disabled: n < 0 ? by <= Math.min(0, ...steps) : by >= Math.max(0, ...steps) });
    fill(choice, [
        legs.length > 0 && h("p", { class: "inspect-if-legs", role: "group", "aria-label": "Leg" }, legs.map((l) => button("Leg " + l.id, () => ((by = leg === l ? by : 0), (leg = l), (other = ""), show()), { "data-leg": l.id, "aria-pressed": String(!other && leg === l) }))),
        leg && !other && h("p", { class: "inspect-if-count" }, step(-1), h("output", { id: "inspect-if-count" }, leg.count !== undefined && leg.count !== null ? h("b", {}, `link ${leg.count + by}`) : "", h("span", {}, linked(by))), step(1)),
    ]);
    const now = row();
    const gone = table.omitted.find((o) => o.leg === leg?.id && o.by === by);
    fill(place, now && (other || leg) ? result(table, now) : h("p", {}, leg && gone ? sentence(table.texts[gone.why]) : "Choose a leg and the count as found, or a fault."));
  }
  show();
  return [
    h("h2", {}, "What if"),
    deficiency && h("div", { class: "inspect-if-deficiency" }, h("p", {}, h("b", {}, from.text ?? "What was found"), ": ", sentence(table.texts[deficiency.text])), deficiency.ends && h("p", {}, `May end so: ${deficiency.ends}.`), !deficiency.row && h("p", {}, "It is not among the changes that are hung and judged; nothing here says that it does no harm.")),
    choice,
    others.length > 0 && h("p", { class: "inspect-if-other" }, h("label", { for: "inspect-if-fault" }, "Another single fault"), select),
    place,
    h("p", { class: "inspect-if-from" }, h("b", {}, table.single), ` Computed on ${new Date(table.computed).toLocaleDateString("en-GB", { day: "numeric", month: "long", year: "numeric" })} for rig ${table.rig_sha256.slice(0, 8)}${table.invented ? ", INVENTED" : ""}; ${table.status}. ${table.caution}`),
  ];
}
