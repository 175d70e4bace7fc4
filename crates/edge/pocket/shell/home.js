// What the browser keeps, and how the engine is asked: for the worker that answers and for the thread that plans. Nothing is computed
// here.
const CACHE = "farhop-{edition}";
const ENGINE = "/{engine}";
// Nothing where the engine is in one piece.
const REST = "{rest}";
const MONTHS = Array.from({ length: 12 }, (_, k) => `/month-${String(k + 1).padStart(2, "0")}.bin`);
// What no first plan needs.
const LATER = [...(REST ? [REST] : []), ...MONTHS, "/card-400.woff2", "/card-600.woff2", "/icon-192.png", "/icon-512.png"];
const FIRST = "first";

// ---- The store of the browser.
let base = null;
function opened() {
  base ??= new Promise((done, failed) => {
    const asked = indexedDB.open("farhop-phone", 2);
    asked.onupgradeneeded = () => {
      const db = asked.result;
      if (!db.objectStoreNames.contains("records")) {
        db.createObjectStore("records", { keyPath: "slot" });
        const entries = db.createObjectStore("entries", { keyPath: "seq", autoIncrement: true });
        entries.createIndex("slot", "slot");
        entries.createIndex("key", ["slot", "key"], { unique: true });
        db.createObjectStore("facts");
        db.createObjectStore("plans", { keyPath: "key" });
      }
      db.createObjectStore("made", { keyPath: "seq", autoIncrement: true });
    };
    asked.onsuccess = () => {
      asked.result.onversionchange = () => { asked.result.close(); base = null; };
      done(asked.result);
    };
    asked.onerror = () => { base = null; failed(asked.error); };
  });
  return base;
}

const got = (request) => new Promise((done, failed) => {
  request.onsuccess = () => done(request.result);
  request.onerror = () => failed(request.error);
});

// All or nothing, and on the disk when it is done.
async function within(stores, work) {
  const db = await opened();
  return new Promise((done, failed) => {
    const transaction = db.transaction(stores, "readwrite", { durability: "strict" });
    transaction.oncomplete = () => done();
    transaction.onabort = () => failed(transaction.error ?? new Error("the browser could not keep it"));
    work((name) => transaction.objectStore(name));
  });
}

// Everything that the engine needs to know.
async function kept() {
  const db = await opened();
  const from = db.transaction(["records", "entries", "facts"], "readonly");
  const [slot, records, entries] = await Promise.all([
    got(from.objectStore("facts").get("now")),
    got(from.objectStore("records").getAll()),
    got(from.objectStore("entries").getAll()),
  ]);
  const now = slot ?? FIRST;
  const known = records.some((r) => r.slot === now) ? records : [...records, { slot: now }];
  const count = (of) => entries.filter((e) => e.slot === of).length;
  return {
    record: known.find((r) => r.slot === now),
    lines: entries.filter((e) => e.slot === now).map((e) => e.line),
    slots: known.map((r) => ({ slot: r.slot, text: r.text ?? null, entries: count(r.slot) })),
  };
}

// Keeps what an answer says is to be kept.
async function keep(told, slot) {
  if (!told.record && !told.switch && told.added.length === 0) return;
  await within(["records", "entries", "facts"], (store) => {
    if (told.record) store("records").put(told.record);
    for (const { key, line } of told.added) store("entries").add({ slot: told.record?.slot ?? slot, key, line });
    if (told.switch) store("facts").put(told.switch, "now");
  });
}

// ---- Plans, by the content from which they were made: the memory of the engine as it stood when the plan was done.
async function planKey({ record }) {
  const content = JSON.stringify([record.slot, record.text ?? null, record.files ?? {}]);
  const sum = await crypto.subtle.digest("SHA-256", new TextEncoder().encode(content));
  return `${ENGINE} ${[...new Uint8Array(sum)].map((b) => b.toString(16).padStart(2, "0")).join("")}`;
}
async function planOf(key) {
  const db = await opened();
  return got(db.transaction("plans", "readonly").objectStore("plans").get(key));
}
async function planThere(key) {
  const db = await opened();
  return (await got(db.transaction("plans", "readonly").objectStore("plans").count(key))) > 0;
}
// A few stay; those of other engines go.
const MOST_PLANS = 3;
async function keepPlan(key, bytes) {
  const db = await opened();
  const all = await got(db.transaction("plans", "readonly").objectStore("plans").getAllKeys());
  const old = all.filter((k) => !k.startsWith(`${ENGINE} `));
  const ours = all.filter((k) => k.startsWith(`${ENGINE} `) && k !== key);
  const gone = [...old, ...ours.slice(0, Math.max(0, ours.length - MOST_PLANS + 1))];
  await within(["plans"], (store) => {
    gone.forEach((k) => store("plans").delete(k));
    store("plans").put({ key, bytes });
  });
}

// ---- What plans are made of, found by its content: antennas that were solved stay solved for every outing that hangs them so.
async function madeBefore() {
  const db = await opened();
  return (await got(db.transaction("made", "readonly").objectStore("made").getAll())).map((m) => m.bytes);
}
const MOST_MADE_BYTES = 30_000_000;
async function keepMade(bytes, before) {
  if (bytes.length === 0) return;
  const full = before.reduce((sum, b) => sum + b.length, bytes.length) > MOST_MADE_BYTES;
  await within(["made"], (store) => {
    if (full) store("made").clear();
    store("made").add({ bytes });
  });
}

// ---- Files of this edition: some are there before the first page, the others come after it, and all stay for good.
const fileOf = async (path) => {
  const found = (await caches.match(path)) ?? (await fetch(path));
  if (!found.ok) throw new Error(`${path} is not there`);
  return found;
};
async function bring(paths) {
  const cache = await caches.open(CACHE);
  const missing = [];
  for (const path of paths) if (!(await cache.match(path))) missing.push(path);
  await cache.addAll(missing.map((path) => new Request(path, { cache: "no-cache" })));
}

// ---- The engine, compiled once; the rest of it as soon as it is here, or where it is asked for.
let main = null, rest = null;
const compile = (path) => WebAssembly.compileStreaming(fileOf(path));
async function compiled(whole) {
  main ??= compile(ENGINE);
  if (REST && (whole || (await caches.match(REST)))) rest ??= compile(REST);
  try {
    return { main: await main, rest: await rest };
  } catch (error) {
    main = null;
    rest = null;
    throw error;
  }
}

// The tables of a month, 1 for January.
async function month(number) {
  return new Uint8Array(await (await fileOf(MONTHS[number - 1])).arrayBuffer());
}
const asked = (engine, head, body) => answerOf(engine, head, body, month);

const begun = async (bytes, progress, whole = false) => started(await compiled(whole), bytes, progress);
