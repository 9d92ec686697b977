// The list of loads, kept for where the laptop is out of reach.
import { asFetched, keepPage, keepShell } from "./inspect-look.js";

const root = document.querySelector(".loads");

async function keep() {
  await navigator.serviceWorker.register("/loads/worker.js", { scope: "/loads" });
  await keepShell(root.dataset.shell.split(" "));
  if (await keepPage("/loads", '<div class="loads"')) root.dataset.ready = "yes";
}

const words = "A signature may have lapsed since, and a load may be inspected by somebody else. A walk that was opened on this tablet goes on; nothing can be begun here.";
if (asFetched(root, words)) for (const e of root.querySelectorAll("#begin, .loads-rigs")) e.remove();
else if (window.caches && navigator.serviceWorker) keep().catch(() => {});
