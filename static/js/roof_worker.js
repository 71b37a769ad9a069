// Keeps the page for notes and the day sheet on the device, so that they open without a connection.
// Nothing else is touched: no price, no other page, no request to anywhere but our own server.
"use strict";

const VERSION = "{{version}}";
const SHELL = `roof-shell-${VERSION}`;
const PAGES = "roof-pages";
const KEPT_PATHS = /^\/jobs\/\d+\/(?:notes|day-sheet)$/;
const LONGEST_KEPT_MS = 3 * 24 * 3600 * 1000;
const ASSETS = {{assets}};

const dropPages = () => caches.delete(PAGES);

self.addEventListener("install", (event) => {
  event.waitUntil(caches.open(SHELL).then((shell) => shell.addAll(ASSETS)).then(() => self.skipWaiting()));
});

self.addEventListener("activate", (event) => {
  const old = (name) => name.startsWith("roof-shell-") && name !== SHELL;
  event.waitUntil(
    caches.keys()
      .then((names) => Promise.all(names.filter(old).map((name) => caches.delete(name))))
      .then(() => self.clients.claim()),
  );
});

const keep = async (request, answer) => {
  if (answer.ok && answer.type === "basic" && !answer.redirected) {
    // Whole before it is kept: a connection that drops half-way must not cost what was there.
    const whole = await answer.clone().arrayBuffer();
    const { status, headers } = answer;
    await (await caches.open(PAGES)).put(request, new Response(whole, { status, headers }));
  } else if (answer.type === "opaqueredirect" || answer.redirected || answer.status === 401 || answer.status === 403) {
    await dropPages(); // signed out, or no longer allowed: nothing of it stays on the device
  }
  return answer;
};

const kept = async (request) => {
  const pages = await caches.open(PAGES);
  const found = (await pages.match(request, { ignoreVary: true }))
    || (await pages.match(request, { ignoreVary: true, ignoreSearch: true }));
  const at = found ? Date.parse(found.headers.get("date")) : NaN;
  if (!found || !(Date.now() - at < LONGEST_KEPT_MS)) {
    return Response.error();
  }
  const when = new Date(at).toLocaleString();
  const words = `No connection: this is the page as it was on ${when}. What you note waits on this device.`;
  const html = (await found.text()).replace(/(<p class="said"[^>]*>)[^<]*/, `$1${words}`);
  const headers = new Headers(found.headers);
  ["content-encoding", "content-length"].forEach((name) => headers.delete(name));
  return new Response(html, { status: 200, headers });
};

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const address = new URL(request.url);
  if (request.method !== "GET" || address.origin !== self.location.origin) {
    return;
  }
  if (request.mode === "navigate" && KEPT_PATHS.test(address.pathname)) {
    event.respondWith(fetch(request).then((answer) => keep(request, answer), () => kept(request)));
  } else if (ASSETS.includes(address.pathname)) {
    event.respondWith(fetch(request).catch(async () => (await caches.match(request)) || Response.error()));
  }
});

self.addEventListener("message", (event) => {
  const paths = (event.data?.keep || []).filter((path) => KEPT_PATHS.test(path));
  event.waitUntil(Promise.all(paths.map(async (path) => {
    try {
      await keep(path, await fetch(path, { redirect: "manual", credentials: "same-origin" }));
    } catch {
      // Without a connection what is kept stays as it is.
    }
  })));
});
