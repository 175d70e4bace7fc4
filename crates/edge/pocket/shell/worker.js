// Stands where a server would stand: every request of a page goes to the engine, and what is to be kept is on the disk before the
// answer leaves. Edition {edition}.
importScripts("/engine.js", "/home.js");

const FILES = [ENGINE, "/engine.js", "/home.js", "/planner.js", "/pocket.js", "/start.js", "/start.css", "/manifest.webmanifest", {assets}];
const POLICY = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; connect-src 'self'; base-uri 'none'; frame-ancestors 'none'";
const PATIENCE_MS = 800;

self.addEventListener("install", (event) => {
  const there = async () => {
    // A new edition comes whole or not at all; the first plan of all waits for nothing that it does not need.
    await bring(self.registration.active ? [...FILES, ...LATER] : FILES);
    await self.skipWaiting();
  };
  event.waitUntil(there());
});
self.addEventListener("activate", (event) => {
  const settle = async () => {
    for (const name of await caches.keys()) if (name !== CACHE && name.startsWith("farhop-")) await caches.delete(name);
    await self.clients.claim();
  };
  event.waitUntil(settle());
});

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (url.origin !== self.location.origin || url.pathname === "/worker.js") return;
  if (FILES.includes(url.pathname) || LATER.includes(url.pathname)) event.respondWith(file(url.pathname));
  else if (url.pathname === "/whole") event.respondWith(whole());
  else if (url.pathname === "/wait") event.respondWith(waited(url.searchParams.get("turn")));
  else event.respondWith(answered(request, url));
});

async function file(path) {
  const known = await fileOf(path);
  const headers = new Headers(known.headers);
  headers.set("Content-Security-Policy", POLICY);
  headers.set("X-Content-Type-Options", "nosniff");
  return new Response(known.body, { status: known.status, headers });
}

// Answers when all is on this phone.
async function whole() {
  const there = await bring(LATER).then(() => true, () => false);
  return Response.json({ whole: there }, { status: there ? 200 : 503, headers: { "Cache-Control": "no-store" } });
}

// ---- The engine, with the plan that it holds.
let engine = null, holds = null;

async function engineFor(content, whole = false) {
  const key = await planKey(content);
  if (engine && holds === key) return key;
  const plan = await planOf(key);
  if (plan) {
    engine = await begun(plan.bytes, undefined, whole);
    holds = key;
  } else {
    engine ??= await begun(null, undefined, whole);
  }
  return key;
}

async function answered(request, url) {
  const body = request.method === "GET" || request.method === "HEAD" ? new Uint8Array() : new Uint8Array(await request.arrayBuffer());
  const headers = [...request.headers];
  if (request.referrer) headers.push(["referer", request.referrer]);
  const theme = await themeOf();
  if (theme) headers.push(["cookie", theme]);
  const path = url.pathname === "/index.html" ? "/" : url.pathname + url.search;
  // One at a time, also over several workers: two tabs never write over each other.
  return navigator.locks.request("farhop-home", async () => {
    try {
      const content = await kept();
      const head = { method: request.method, path, headers, content };
      let key = await engineFor(content);
      const { told, body: document } = await asked(engine, head, body).catch(async (error) => {
        if (!(error instanceof Missing)) throw error;
        // This engine stopped in the middle: another one, with the rest, answers. Nothing was kept yet.
        engine = null;
        key = await engineFor(content, true);
        return asked(engine, head, body);
      });
      const changed = Boolean(told.record || told.switch);
      holds = told.planned && !changed ? key : null;
      await keep(told, content.record.slot);
      return await response(told, document);
    } catch (error) {
      engine = null;
      holds = null;
      return refused(request, error);
    }
  });
}

// A cookie that an answer sets is lost in a worker, so the choice of light is kept with the other facts.
async function themeOf() {
  try {
    const db = await opened();
    return await got(db.transaction("facts", "readonly").objectStore("facts").get("theme"));
  } catch { return null; }
}
async function response(told, document) {
  const headers = new Headers();
  let theme = null;
  for (const [name, value] of told.headers) {
    if (name === "set-cookie") theme = value.split(";")[0];
    else headers.append(name, value);
  }
  if (theme) await within(["facts"], (store) => store("facts").put(theme, "theme"));
  // Where to go next is followed here: a worker's own redirect answers a form like any other.
  const to = headers.get("location");
  if (told.status >= 300 && told.status < 400 && to) return Response.redirect(new URL(to, self.location.origin), 303);
  return new Response(told.status === 204 ? null : document, { status: told.status, headers });
}

function refused(request, error) {
  const full = error.name === "QuotaExceededError";
  const reason = full ? "This phone has no room left." : `This phone could not do it: ${error.message}.`;
  const remedy = full ? "Free some room on the phone; nothing that was kept is lost." : "Nothing that was kept is lost. Load the page again.";
  const status = full ? 507 : 500;
  if (request.headers.get("Accept")?.startsWith("application/json")) {
    return Response.json({ refused: { kind: "temporary", reason, remedy } }, { status: 503 });
  }
  return new Response(`${reason} ${remedy}`, { status, headers: { "Content-Type": "text/plain; charset=utf-8", "Content-Security-Policy": POLICY } });
}

// ---- The plan is made in a thread of the page; it tells here how far it has come.
const planner = new BroadcastChannel("farhop-plan");
let progress = { what: "", done: 0, total: 0 }, listeners = [];
planner.addEventListener("message", ({ data }) => {
  progress = data;
  listeners.forEach((told) => told());
  listeners = [];
});

async function waited(turn) {
  const key = await planKey(await kept());
  if (holds !== key && !(await planThere(key))) {
    await new Promise((done) => { listeners.push(done); setTimeout(done, PATIENCE_MS); });
  }
  const there = holds === key || (await planThere(key));
  const { what, done, total } = progress;
  return Response.json({ working: !there, turn: Number(turn), what, done, total }, { headers: { "Cache-Control": "no-store" } });
}
