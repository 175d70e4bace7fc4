// Keeps the last Field page with its style and scripts, and shows it when the computer does not answer in time. Nothing else.
const CACHE = "farhop-field", PAGE = "/field", PATIENCE_MS = 5000;

self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));

self.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  if (event.request.method !== "GET" || url.origin !== self.location.origin) return;
  const wantsPage = event.request.mode === "navigate" || event.request.headers.get("Accept")?.startsWith("text/html");
  if (url.pathname === PAGE && wantsPage) event.respondWith(page(event));
  else if (url.pathname.startsWith("/assets/")) event.respondWith(asset(event.request));
});

// The page names its own files once it is there; those of other editions go. It is told when all that it needs is here.
self.addEventListener("message", (event) => {
  const done = keep(event.data.keep ?? []).then(() => true, () => false);
  event.waitUntil(done.then((kept) => event.ports[0]?.postMessage({ kept })));
});

async function keep(files) {
  const cache = await caches.open(CACHE);
  const wanted = new Set(files);
  for (const request of await cache.keys()) {
    if (new URL(request.url).pathname.startsWith("/assets/") && !wanted.has(request.url)) await cache.delete(request);
  }
  for (const file of wanted) if (!(await cache.match(file))) await cache.add(file);
  if (await cache.match(PAGE)) return;
  const answer = await fetch(PAGE, { headers: { Accept: "text/html" } });
  if (answer.status !== 200 || answer.redirected) throw new Error("no page to keep");
  await cache.put(PAGE, answer);
}

async function page(event) {
  const cache = await caches.open(CACHE);
  const late = new Promise((done) => setTimeout(() => done(null), PATIENCE_MS));
  const asked = fetch(event.request).catch(() => null);
  const answer = await Promise.race([asked, late]);
  if (answer?.status === 200 && !answer.redirected) {
    // A page that breaks off is not kept; the last whole one stays.
    event.waitUntil(cache.put(PAGE, answer.clone()).catch(() => {}));
  }
  if (answer) return answer;
  const known = await cache.match(PAGE);
  return known ?? new Response("The computer does not answer, and this phone has no copy of the page yet.", {
    status: 503,
    headers: { "Content-Type": "text/plain; charset=utf-8" },
  });
}

async function asset(request) {
  const cache = await caches.open(CACHE);
  return (await cache.match(request)) ?? fetch(request);
}
