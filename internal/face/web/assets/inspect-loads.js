// The list of loads, kept for where the laptop is out of reach.
import { held, unsentWords } from "./inspect-held.js";
import { asFetched, keepPage, keepShell, worker } from "./inspect-look.js";
import { loadsMark } from "./inspect-keep.js";
import { h } from "./inspect-parts.js";

const root = document.querySelector(".loads");

async function keep() {
  await worker();
  await keepShell(root.dataset.shell.split(" "));
  if (await keepPage("/loads", loadsMark)) root.dataset.ready = "yes";
}

// here lists the walks that this tablet holds: all of them where the list is an old
// one, else those of which something was not sent.
async function here(old) {
  const { walks, lanes } = await held();
  const list = walks.filter((x) => old || x.unsent > 0);
  if (list.length > 0) {
    const item = (x) => h("li", {}, h("div", { class: "loads-words" }, h("b", {}, x.words), h("span", {}, unsentWords(x.unsent))), h("div", { class: "loads-do" }, x.address ? h("a", { class: "button main", href: x.address }, "Go on with the walk") : "opens in reach of the laptop"));
    const first = root.querySelector(".loads-group");
    first.before(h("section", { class: "loads-group", id: "loads-here" }, h("h2", {}, "On this tablet"), h("ul", { class: "loads-list" }, list.map(item))));
    if (old && first.querySelector(".empty")) first.remove(); // it would say that no walk is under way
  }
  if (old && lanes.length > 0) root.append(h("h2", {}, "Lanes to grade, on this tablet"), h("ul", { class: "bare" }, lanes.map((x) => h("li", {}, x.address ? h("a", { class: "button", href: x.address }, x.words) : x.words, " ", unsentWords(x.unsent)))));
}

const words = "A signature may have lapsed since, and a load may be inspected by somebody else. A walk that was opened on this tablet goes on; nothing can be begun here.";
const old = asFetched(root, words);
if (old) for (const e of root.querySelectorAll("#begin, .loads-rigs")) e.remove();
else if (window.caches && navigator.serviceWorker) keep().catch(() => {});
if (window.caches && window.indexedDB) here(old).catch(() => {});
