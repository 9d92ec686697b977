// Pages that can be looked at without the laptop as they were when last fetched:
// kept as they come, marked with when that was, and then without what changes
// anything.
const name = "hangtrue-look";

// keepPage fetches a page and keeps it; mark is what its tag begins with.
export async function keepPage(address, mark) {
  const answer = await fetch(address, { signal: AbortSignal.timeout(10000) });
  if (!answer.ok || answer.redirected) return false;
  const headers = new Headers(answer.headers);
  headers.delete("Content-Length");
  const text = (await answer.text()).replace(mark, `${mark} data-kept="${new Date().toISOString()}"`);
  await (await caches.open(name)).put(address, new Response(text, { headers }));
  return true;
}

// asFetched says on a page that comes from the tablet when it was fetched and takes
// away what needs the laptop; it tells whether this is one.
export function asFetched(root, words) {
  if (!root.dataset.kept) return false;
  const p = document.createElement("p");
  p.className = "notice inspect-asfetched";
  p.setAttribute("role", "status");
  const at = new Date(root.dataset.kept).toLocaleString("en-GB", { day: "numeric", month: "long", hour: "2-digit", minute: "2-digit" });
  p.textContent = `The laptop is out of reach. As fetched at ${at}. ${words}`;
  (root.querySelector(".status") ?? root.querySelector("h1")).after(p);
  for (const form of root.querySelectorAll("form")) form.remove();
  return true;
}

// worker registers what answers while the laptop is out of reach, in the place of
// those that answered for a part of the pages.
export async function worker() {
  for (const r of await navigator.serviceWorker.getRegistrations()) if (new URL(r.scope).pathname !== "/") await r.unregister();
  return navigator.serviceWorker.register("/worker.js");
}

// keepShell keeps the style and scripts that pages need, where signing out has
// taken them off the tablet and the worker does not put them back by itself.
export async function keepShell(addresses) {
  const shell = await caches.open("hangtrue-shell-" + addresses[0].split("/")[2]);
  const has = new Set((await shell.keys()).map((r) => new URL(r.url).pathname));
  await shell.addAll(addresses.filter((a) => !has.has(a)));
}
