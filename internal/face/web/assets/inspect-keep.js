// What a walk needs of the laptop, kept on the tablet.
import { Told } from "./inspect-store.js";
import { keepPage, keepShell, worker } from "./inspect-look.js";

// signMark is how the page to sign on begins.
export const signMark = '<div class="sign" id="sign"';

// loadsMark is how the list of loads begins.
export const loadsMark = '<div class="loads"';

// fetched asks the laptop and keeps the answer; out of reach it is the kept one.
export async function fetched(id, address) {
  const cache = () => (window.caches ? caches.open("hangtrue-walk-" + id) : null);
  try {
    const answer = await fetch(address, { headers: { Accept: "application/json" }, signal: AbortSignal.timeout(6000) });
    if (answer.ok) {
      const copy = answer.clone();
      const data = await answer.json();
      Promise.resolve(cache())
        .then((c) => c?.put(address, copy))
        .catch(() => {});
      return data;
    }
    if (answer.status !== 401 && answer.status < 500) throw new Told(answer.status, (await answer.json()).refused ?? "The laptop says no.");
  } catch (error) {
    if (error instanceof Told) throw error;
  }
  const there = await (await cache())?.match(address);
  if (!there) throw new Error("The laptop is out of reach, and this walk is not kept on the tablet yet. Come into its reach and open it again.");
  return there.json();
}

// canKeep tells whether this browser keeps pages.
export const canKeep = () => Boolean(window.caches && navigator.serviceWorker);

// keep puts page, style, scripts and pictures on the tablet, and tells whether all
// is there.
export async function keep(id, bundle) {
  const quietly = (promise) => Promise.resolve(promise).catch(() => null);
  await quietly(worker());
  await quietly(navigator.storage?.persist?.());
  const own = await caches.open("hangtrue-walk-" + id);
  await quietly(keepShell(bundle.keep));
  await quietly(keepPage(`/inspect/${id}/sign`, signMark));
  await quietly(keepPage("/loads", loadsMark)); // the way back
  const answer = await quietly(fetch(location.pathname));
  if (answer?.ok && !answer.redirected) await quietly(own.put(location.pathname, answer));
  const pictures = await caches.open(bundle.figures);
  const there = new Set((await pictures.keys()).map((r) => r.url));
  const wanted = new Set(bundle.tasks.flatMap((t) => [t.picture, ...t.states.map((x) => x.picture)]).filter(Boolean));
  const missing = [...wanted].filter((address) => !there.has(new URL(address, location.href).href));
  let left = missing.length;
  const one = async () => {
    for (let address; (address = missing.pop()); ) {
      const drawn = await fetch(address);
      if (!drawn.ok) continue;
      await pictures.put(address, drawn);
      left--;
    }
  };
  await quietly(Promise.all([one(), one()]));
  return left === 0 && (await own.match(location.pathname)) !== undefined && (await navigator.serviceWorker.getRegistration("/inspect/"))?.active !== undefined;
}
