// Answers for the school's pages while the server is out of reach, with what the
// pages have kept on the tablet, and says what that is where it has not the page
// that is asked for. What it is put behind by the server: hash, shell and policy,
// which are the addresses of style, scripts and fonts and what a page may use; and
// the text of inspect-held.js.

const patience = 5000; // ms that a page is waited for before the kept one is shown

self.addEventListener("install", (event) => {
  event.waitUntil(
    caches
      .open("hangtrue-shell-" + hash)
      .then((cache) => cache.addAll(shell))
      .then(() => self.skipWaiting()),
  );
});

self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));

self.addEventListener("fetch", (event) => {
  const request = event.request;
  const address = new URL(request.url);
  if (address.origin !== location.origin) return;
  if (request.mode === "navigate" && request.method === "POST" && address.pathname === "/signout") event.respondWith(signOut());
  else if (request.method !== "GET") return;
  else if (request.mode === "navigate") event.respondWith(page(request, address));
  else if (address.pathname.startsWith("/asset/") || address.pathname.startsWith("/figure/")) event.respondWith(kept(request));
});

async function kept(request) {
  return (await caches.match(request.url)) ?? fetch(request);
}

// ---- Signing out ----

// Somebody signed out and the server has not heard of it: the mark lies in waits.
// It has, and nobody was seen to be signed in since: in ended. That one goes with
// all else that is kept, once all is sent.
const waits = "signed-out";
const ended = "hangtrue-out";

async function signedOut() {
  return (await caches.has(waits)) ? waits : (await caches.has(ended)) ? ended : "";
}

async function mark(name) {
  await (await caches.open(name)).put("/signed-out", new Response(new Date().toISOString()));
}

// told ends the session at the server and tells whether it could.
async function told() {
  try {
    const answer = await fetch("/signout", { method: "POST", redirect: "manual", signal: AbortSignal.timeout(patience) });
    if (answer.type !== "opaqueredirect" && !answer.ok) return false;
  } catch {
    return false;
  }
  await mark(ended);
  await caches.delete(waits);
  return true;
}

async function signOut() {
  await mark(waits); // first of all: whatever comes next, nothing kept is shown
  for (const key of await caches.keys()) if (key === "hangtrue-look" || key.startsWith("hangtrue-grade-")) await caches.delete(key);
  if (!(await told())) for (const other of await self.clients.matchAll({ type: "window" })) other.navigate("/signin").catch(() => {});
  return Response.redirect(location.origin + "/signin", 303);
}

// ---- Pages ----

// Pages that are there only for who is signed in: what is kept is theirs again.
const inside = /^\/(|today|account|(loads|inspect|grade)(\/.*)?)$/;

async function page(request, address) {
  let out = await signedOut();
  if (out === waits) {
    if (!(await told())) return written("Signed out", signedOutWords, true);
    out = ended;
  }
  let there = out ? undefined : await caches.match(address.origin + address.pathname);
  if (there && stale(there)) there = undefined;
  const control = new AbortController();
  const timer = there || inside.test(address.pathname) ? setTimeout(() => control.abort(), patience) : 0;
  try {
    const answer = await fetch(request, { signal: control.signal });
    if (out && answer.ok && answer.type === "basic" && !answer.redirected && inside.test(address.pathname)) await caches.delete(ended);
    return answer;
  } catch {
    if (there) return there;
    return written("The laptop is out of reach", out ? "<p>This page is not kept on the tablet for who is not signed in. Sign in in reach of the laptop; what was not sent is there then.</p>" : await elsewhere(address.pathname), false);
  } finally {
    clearTimeout(timer);
  }
}

const signedOutWords = `<p class="notice" role="status">You are signed out on this tablet. The laptop is out of reach and is told as soon as it is in reach, before this tablet shows anything else of the school. Until then nothing that was kept here is shown.</p>
<p><a class="button main" href="/signin">Try again</a></p>`;

const text = (s) => String(s).replace(/[&<>"']/g, (c) => `&#${c.charCodeAt(0)};`);

// elsewhere says what is on the tablet in the place of a page that is not.
async function elsewhere(path) {
  const { walks, lanes } = await held().catch(() => ({ walks: [], lanes: [] }));
  const list = (head, of) => (of.length === 0 ? "" : `<h2>${head}</h2><ul class="bare held">${of.map((x) => `<li>${x.address ? `<a class="button" href="${text(x.address)}">${text(x.words)}</a>` : `<b>${text(x.words)}</b> (opens in reach of the laptop)`} <span>${unsentWords(x.unsent)}</span></li>`).join("")}</ul>`);
  const parts = [list("Walks", walks), list("Lanes to grade", lanes)];
  if (path.startsWith("/grade")) parts.reverse();
  if ((await caches.match(location.origin + "/loads")) !== undefined) parts.push('<p><a class="button" href="/loads">Loads, as fetched last</a></p>');
  const some = parts.some(Boolean);
  return `<p>This page is not kept on the tablet. ${some ? "These are:" : "Nothing else is either: a walk or a lane is, once it was opened here in reach of the laptop."}</p>${parts.join("")}<p>Nothing that was entered is lost. <a href="${text(path)}">Try again</a></p>`;
}

// written is a page of the worker's own. That of who signed out tidies up.
function written(title, words, out) {
  const script = out ? `<script type="module" src="/asset/${hash}/inspect-out.js"></script>` : "";
  return new Response(
    `<!doctype html><html lang="en"${out ? ' data-signed-out="yes"' : ""}><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1"><meta name="color-scheme" content="light dark"><title>${title} – Hangtrue</title><link rel="icon" href="/asset/${hash}/icon.svg" type="image/svg+xml"><link rel="stylesheet" href="/asset/${hash}/page.css">${script}<body><header class="top"><a class="home" href="/">Hangtrue</a></header><main id="content"><h1>${title}</h1>${words}</main></body></html>`,
    { status: 503, headers: { "Content-Type": "text/html; charset=utf-8", "Content-Security-Policy": policy, "Cache-Control": "no-store" } },
  );
}
