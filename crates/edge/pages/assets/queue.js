// Entries that wait on this phone, in the browser's own database: they outlive the page, and several pages may use them at once.
const BASE = "farhop", STORE = "entries";
const OLD = "farhop-entries"; // Where earlier pages kept them.
const LOAD = random();
const others = "BroadcastChannel" in globalThis ? new BroadcastChannel("farhop-entries") : null;
const watchers = new Set();
let base = null;
let memory = null; // Only where the browser keeps nothing.

export function random() {
  return [...crypto.getRandomValues(new Uint8Array(12))].map((b) => b.toString(16).padStart(2, "0")).join("");
}

// Whether entries outlive this page.
export const outlives = () => memory === null;

// Tells of every change, also by another page.
export function watch(told) {
  watchers.add(told);
  others?.addEventListener("message", told);
}

// Another page of this phone has brought an entry to the computer: said here too.
export function announce(kept) {
  others?.postMessage({ kept });
}

export function heard(told) {
  others?.addEventListener("message", ({ data }) => { if (data?.kept) told(...data.kept); });
}

function changed() {
  watchers.forEach((told) => told());
  others?.postMessage("changed");
}

function opened() {
  base ??= new Promise((done) => {
    const nothing = () => { memory ??= []; done(null); };
    let asked;
    try { asked = indexedDB.open(BASE, 1); } catch { return nothing(); }
    asked.onupgradeneeded = () => {
      const store = asked.result.createObjectStore(STORE, { keyPath: "seq", autoIncrement: true });
      store.createIndex("key", "key", { unique: true });
    };
    asked.onsuccess = () => done(asked.result);
    asked.onerror = nothing;
    asked.onblocked = nothing;
  });
  return base;
}

// One transaction; what `work` gives comes back when all of it is on the disk.
async function within(mode, work) {
  const db = await opened();
  return new Promise((done, failed) => {
    const transaction = db.transaction(STORE, mode, { durability: "strict" });
    let result;
    transaction.oncomplete = () => done(result);
    transaction.onabort = () => failed(transaction.error ?? new Error("the browser could not keep it"));
    work(transaction.objectStore(STORE), (value) => { result = value; });
  });
}

// Keeps an entry. It is on the disk when this is done.
export async function add(item) {
  await opened();
  if (memory) memory.push({ ...item, seq: memory.length + 1 });
  else await within("readwrite", (store) => store.add(item));
  changed();
}

// All entries, in the order in which they were made.
export async function all() {
  await opened();
  if (memory) return [...memory];
  return within("readonly", (store, give) => { store.getAll().onsuccess = (e) => give(e.target.result); });
}

// Changes one entry at once, whatever other pages do: `how` gives the new entry, null to delete it, undefined to leave it. Gives the
// entry as it was.
export async function change(key, how) {
  await opened();
  if (memory) return changeInMemory(key, how);
  const before = await within("readwrite", (store, give) => {
    store.index("key").openCursor(key).onsuccess = (e) => {
      const cursor = e.target.result;
      if (!cursor) return;
      give(cursor.value);
      const after = how({ ...cursor.value });
      if (after === null) cursor.delete();
      else if (after !== undefined) cursor.update(after);
    };
  });
  changed();
  return before;
}

function changeInMemory(key, how) {
  const index = memory.findIndex((item) => item.key === key);
  if (index < 0) return undefined;
  const before = memory[index];
  const after = how({ ...before });
  if (after === null) memory.splice(index, 1);
  else if (after !== undefined) memory[index] = after;
  changed();
  return before;
}

// By how much the computer's clock is ahead of the phone's, ms, as last heard; none before the first answer.
export function offset(ms) {
  try {
    if (ms !== undefined) localStorage.setItem("farhop-offset", String(Math.round(ms)));
    const known = localStorage.getItem("farhop-offset");
    return known === null ? null : Number(known);
  } catch { return ms ?? null; }
}

// When an entry is made: by the clock that nobody sets, and by the one that goes on while the phone sleeps.
export function stamp() {
  return { load: LOAD, mono: performance.now(), wall: Date.now(), offset: offset() };
}

// Seconds since an entry was made. The clock that nobody sets is a lower bound: it stops while a phone sleeps, and begins anew with
// each page. The other one may have been set meanwhile; then the computer's clock, heard before and after, says by how much.
export function ageS(item) {
  const mono = item.load === LOAD ? performance.now() - item.mono : 0;
  const now = offset();
  const set = item.offset === null || now === null ? 0 : now - item.offset;
  // Answers take their time: less than two seconds are not a clock that was set.
  const wall = Date.now() - item.wall + (Math.abs(set) > 2000 ? set : 0);
  return Math.max(0, mono, wall) / 1000;
}

// Entries of an earlier edition of this page named no outing: they are shown, not sent.
export async function takeOver() {
  let old = [];
  try { old = JSON.parse(localStorage.getItem(OLD) ?? "[]"); } catch { return; }
  for (const { to, fields } of old) {
    const words = fields?.words ?? "";
    if (to !== "/field/log" || !words) continue;
    const item = { key: fields.key || `web-${random()}`, outing: "", journal: null, what: { words }, label: words.slice(0, 90), from: "say", tries: 1,
      ...stamp(), wall: Number(fields.at) * 1000 || Date.now(), state: "aside", kind: "elsewhere",
      reason: "This was kept by an earlier edition of this page, which did not say for which outing.", remedy: "Enter it here, if it belongs here." };
    await add(item).catch(() => { /* Taken over already. */ });
  }
  try { localStorage.removeItem(OLD); } catch { /* Nothing was there. */ }
}
