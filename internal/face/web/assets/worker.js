// Answers for the walk's pages, or the grader's, while the server is out of reach, with what the
// pages have kept on the tablet. What it is put behind by the server: hash and
// shell, the addresses of style, scripts and fonts.

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
  if (request.method !== "GET" || address.origin !== location.origin) return;
  if (request.mode === "navigate") event.respondWith(page(request));
  else if (address.pathname.startsWith("/asset/") || address.pathname.startsWith("/figure/")) event.respondWith(kept(request));
});

async function kept(request) {
  return (await caches.match(request.url)) ?? fetch(request);
}

async function page(request) {
  const control = new AbortController();
  const timer = setTimeout(() => control.abort(), patience);
  try {
    return await fetch(request, { signal: control.signal });
  } catch {
    const address = new URL(request.url);
    const there = await caches.match(address.origin + address.pathname);
    // A page that is for one person's eyes is kept no longer than their session.
    const until = there?.headers.get("X-Kept-Until");
    if (there && !(until && Date.now() > Date.parse(until))) return there;
    return new Response(
      '<!doctype html><html lang="en"><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1"><title>Out of reach – Hangtrue</title><h1>The laptop is out of reach</h1><p>This page is not kept on the tablet. A walk or a lane that was opened here before may be: go back to it. Nothing that was entered is lost.</p>',
      { status: 503, headers: { "Content-Type": "text/html; charset=utf-8" } },
    );
  } finally {
    clearTimeout(timer);
  }
}
