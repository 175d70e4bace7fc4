// Brings waiting entries to the computer, the oldest first. An entry leaves the phone only when the computer has said, with its key,
// that it is on the disk.
import * as queue from "./queue.js";

const PATIENCE_MS = 5000;
const PAUSES_MS = [1000, 2000, 4000, 8000, 15000, 30000];

// What is known of the computer: state is quiet, up, gone, busy or phrase; since when; its last word about itself.
export const link = { state: "quiet", since: Date.now(), here: null, words: "" };

const told = { change() {}, kept() {}, refused() {}, back() {} };
let running = false, once = false, timer = 0, failures = 0;

// Begins. `on` is told of every change: change(), kept(item, answer), refused(item), back() when the
// computer answers again.
export function begin(on) {
  Object.assign(told, on);
  addEventListener("online", now);
  document.addEventListener("visibilitychange", () => { if (document.visibilityState === "visible") now(); });
  now();
}

// Tries at once, whatever the pause.
export function now() {
  failures = 0;
  return flush();
}

// Asks the computer; status 0 when it does not answer in time.
export async function ask(to, options = {}) {
  const stop = new AbortController();
  const late = setTimeout(() => stop.abort(), PATIENCE_MS);
  try {
    const headers = { Accept: "application/json", ...options.headers };
    const answer = await fetch(to, { ...options, headers, signal: stop.signal, cache: "no-store" });
    const text = await answer.text();
    let data = null;
    try { data = JSON.parse(text); } catch { /* Not our words. */ }
    return { status: answer.redirected ? 0 : answer.status, data };
  } catch {
    return { status: 0, data: null };
  } finally {
    clearTimeout(late);
  }
}

function become(state, words = "") {
  const before = link.state;
  if (before !== state) link.since = Date.now();
  Object.assign(link, { state, words });
  if (state === "up" && before === "gone") told.back();
  told.change();
}

// Where the computer stands. True when it may be given entries.
export async function hello() {
  const before = Date.now();
  const { status, data } = await ask(`/field/here?clock_ms=${before}`);
  if (data?.here) {
    link.here = data.here;
    queue.offset(data.here.clock_ms - (before + Date.now()) / 2);
    await comeHome(data.here);
    // That it can take entries again is said by the first that it keeps.
    const waits = (await queue.all()).some((item) => item.state === "waiting");
    if (link.state !== "busy" || !waits) become("up");
    return true;
  }
  stopped(status, data);
  return false;
}

// Entries that stepped aside because another outing was open go on when theirs is open again.
async function comeHome({ outing, journal }) {
  for (const item of await queue.all()) {
    if (!strayed(item)) continue;
    if (item.outing !== outing || (item.journal && item.journal !== journal)) continue;
    await queue.change(item.key, (i) => ({ ...i, state: "waiting" }));
    once = true;
  }
}

// What an answer without a kept entry means for all that wait.
function stopped(status, data) {
  const said = data?.refused;
  if (said?.kind === "phrase") become("phrase", said.reason);
  else if (status !== 0 && said?.kind === "temporary") become("busy", said.reason);
  else if (status === 429 || status >= 500) become("busy", "The computer is busy.");
  else become("gone");
}

const strayed = (item) => item.state === "aside" && item.kind === "elsewhere";
const down = () => link.state !== "up" && link.state !== "quiet";

async function flush() {
  if (running) { once = true; return; }
  running = true;
  clearTimeout(timer);
  try {
    do {
      once = false;
      // Two pages may send the same entry at once: it is kept once, and both are told so.
      await round();
    } while (once);
  } finally {
    running = false;
  }
  const items = await queue.all();
  if (items.some((item) => item.state === "waiting") || down()) {
    timer = setTimeout(flush, PAUSES_MS[Math.min(failures, PAUSES_MS.length - 1)]);
    failures += 1;
  } else {
    failures = 0;
    if (items.some(strayed)) timer = setTimeout(flush, PAUSES_MS.at(-1));
  }
  told.change();
}

// Everything that waits, once. What the computer fails on does not hold up the rest.
async function round() {
  if (!down() && !(await queue.all()).some((item) => item.state === "waiting" || strayed(item))) return;
  if (!(await hello())) return;
  const tried = new Set();
  for (;;) {
    const items = (await queue.all()).filter((item) => item.state === "waiting");
    const there = new Set(items.map((item) => item.key));
    // An entry is taken back only after it has arrived.
    const item = items.find((i) => !tried.has(i.key) && !(i.what.undo && there.has(i.what.undo)));
    if (!item) return;
    tried.add(item.key);
    if (!(await send(item))) return;
    failures = 0;
  }
}

// Sends one entry. False when the rest need not be tried now.
async function send(waiting) {
  // Counted before it goes out: from now on nobody knows whether it arrived, until the computer says so.
  const item = await queue.change(waiting.key, (i) => (i.state === "waiting" ? { ...i, tries: i.tries + 1 } : undefined));
  if (item?.state !== "waiting") return true;
  const body = { key: item.key, outing: item.outing, journal: item.journal, age_s: queue.ageS(item), clock_ms: Date.now(), ...item.what };
  const { status, data } = await ask("/field/entry", {
    method: "POST",
    headers: { "Content-Type": "application/json" },
    body: JSON.stringify(body),
  });
  if (data?.here) link.here = data.here;
  if (status === 200 && data?.kept?.key === item.key) {
    await queue.change(item.key, () => null);
    become("up");
    told.kept(item, data);
    queue.announce([item, data]);
    return true;
  }
  // A device that may only look waits with its entries for a phrase that lets it log.
  if ([400, 403, 409, 413, 422].includes(status) && data?.refused?.kind !== "phrase") {
    await aside(item, status, data?.refused);
    return true;
  }
  stopped(status, data);
  // A failure may be of this entry alone; a computer that is gone, busy or wants the phrase is so for all.
  return status >= 500 && status !== 503;
}

// A refused entry steps aside. What was to be taken back and never got there is gone with the order to take it back.
async function aside(item, status, refused) {
  if (item.cancelled || (item.what.undo && item.silent)) {
    await queue.change(item.key, () => null);
    return;
  }
  const reasons = { 409: "It belongs to another outing.", 413: "The entry is too long." };
  const reason = refused?.reason ?? reasons[status] ?? `The computer refused it (${status}).`;
  const after = { state: "aside", kind: refused?.kind ?? (status === 409 ? "elsewhere" : "permanent"), reason, remedy: refused?.remedy ?? "", choices: refused?.choices ?? [] };
  await queue.change(item.key, (i) => ({ ...i, ...after }));
  told.refused({ ...item, ...after });
}
