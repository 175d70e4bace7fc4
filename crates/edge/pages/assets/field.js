// The field page: a tap becomes an entry that is kept on this phone at once and brought to the computer by deliver.js.
import * as queue from "./queue.js";
import * as deliver from "./deliver.js";
import { ask, link } from "./deliver.js";
import { eventOf, labelOf } from "./tap.js";
import * as view from "./field-view.js";

const SAME_TAP_MS = 1000; // A hand that shakes taps twice.
const REFRESH_MS = 60000;
let last = { what: "", at: -Infinity };
let shown = performance.now();

const facts = () => document.getElementById("facts").dataset;

// A tap: kept on this phone first, then brought on.
async function tapped(form, button) {
  view.clearNotes();
  const { what, wrong } = eventOf(form, button);
  if (wrong) return view.note(form.id, [wrong], true);
  const label = labelOf(form, button, what);
  const text = JSON.stringify([form.id, what]);
  if (text === last.what && performance.now() - last.at < SAME_TAP_MS) return undefined;
  last = { what: text, at: performance.now() };
  if (what.undo) return takeBack({ key: what.undo, label });
  const kept = await keep({ what, label, from: form.id });
  if (!kept) return undefined;
  form.reset();
  const replaced = form.dataset.replaces;
  delete form.dataset.replaces;
  if (replaced) await queue.change(replaced, (item) => (item.state === "aside" ? null : undefined));
  view.tell({ words: `On this phone: ${label}.`, undo: { key: kept, label } });
  return deliver.now();
}

// Keeps an entry on this phone. Gives its key, or nothing when it could not be kept.
async function keep(item) {
  const key = `web-${queue.random()}`;
  const { outing, name, journal } = facts();
  try {
    await queue.add({ key, outing, name, journal: journal ?? null, tries: 0, state: "waiting", ...queue.stamp(), ...item });
    return key;
  } catch (error) {
    view.note(item.from, [`Not entered: this phone could not keep it (${error.message}).`, "Write it on paper, and free some room on the phone."], true);
    return null;
  }
}

// Undo of exactly one entry: on this phone it is removed; when it has gone out, or may have, the computer is told to take it back.
async function takeBack({ key, label }) {
  const item = await queue.change(key, (i) => {
    if (i.state === "aside" || i.tries === 0) return null;
    return { ...i, cancelled: true };
  });
  if (item && (item.state === "aside" || item.tries === 0)) {
    return view.tell({ words: `Taken back: ${label}. It had not gone out.` });
  }
  const order = { what: { undo: key }, label, from: "", silent: Boolean(item) };
  const origin = item ? { outing: item.outing, journal: item.journal } : {};
  if (!(await keep({ ...order, ...origin }))) return undefined;
  view.tell({ words: `To be taken back: ${label}.` });
  return deliver.now();
}

function kept(item, { kept: entry, here }) {
  if (here?.clocks !== undefined) view.clocks(here.clocks);
  if (here?.journal) document.getElementById("facts").dataset.journal = here.journal;
  if (item.cancelled) return;
  if (item.what.undo) {
    view.tell({ words: `Taken back: ${item.label}.` });
    refreshSoon();
    return;
  }
  const lines = [entry.sentence];
  if (entry.taken.length > 0) lines.push(`Taken: ${entry.taken.join("; ")}.`);
  lines.push(...entry.cautions.map((caution) => `Caution: ${caution}.`));
  view.note(item.from, lines, false);
  view.tell({ words: `Entry ${entry.number} is kept: ${item.label}.`, undo: { key: entry.key, label: item.label } });
  refreshSoon();
}

function refused(item) {
  view.note(item.from, [`Not entered: ${item.reason}`, item.remedy], true, view.choices(item));
  view.tell({ words: `Not entered: ${item.label}. ${item.reason}` });
}

// What stands in the list of refused entries can be changed, sent here, or discarded; discarding can be undone.
async function choose({ do: action, key, words }) {
  const item = (await queue.all()).find((i) => i.key === key);
  if (!item) return;
  if (action === "change") return view.fill(item);
  if (action === "pick") {
    view.clearNotes();
    const picked = await keep({ what: { words }, label: words, from: item.from });
    if (!picked) return undefined;
    await queue.change(key, () => null);
    view.tell({ words: `On this phone: ${words}.`, undo: { key: picked, label: words } });
    return deliver.now();
  }
  if (action === "send") {
    const { outing, name, journal } = facts();
    const anew = { outing, name, journal: link.here?.journal ?? journal ?? null, state: "waiting" };
    await queue.change(key, (i) => ({ ...i, ...anew }));
    return deliver.now();
  }
  await queue.change(key, () => null);
  const { seq, ...again } = item;
  view.tell({ words: `Discarded: ${item.label}.`, again: () => queue.add(again) });
}

// The day as it is now stands in the page, when nothing waits any more.
let planned = 0;
function refreshSoon() {
  clearTimeout(planned);
  planned = setTimeout(async () => {
    if ((await queue.all()).some((item) => item.state === "waiting")) return;
    if (await view.refresh()) shown = performance.now();
  }, 150);
}

// While the plan is made the page asks for it, and takes it when it is there.
async function whilePlanned() {
  for (;;) {
    const box = document.getElementById("making");
    if (!box) return;
    const { data } = await ask(`/wait?turn=${box.dataset.turn}`);
    if (data && (!data.working || String(data.turn) !== box.dataset.turn)) await view.refresh();
    else await new Promise((go) => setTimeout(go, data ? 200 : 3000));
  }
}

async function comeIn(form) {
  const wrong = form.querySelector("[role=alert]");
  wrong.textContent = "";
  const { status, data } = await ask("/enter", { method: "POST", body: new URLSearchParams(new FormData(form)) });
  if (status === 200) { form.reset(); return deliver.hello().then(deliver.now); }
  wrong.textContent = data?.refused?.reason ?? "The computer does not answer.";
}

document.addEventListener("submit", (event) => {
  const form = event.target;
  if (form.matches("form.entry, #back")) {
    event.preventDefault();
    const again = form.id === "back" && view.again();
    if (again) again().then(() => view.tell({ words: "It is back in the list." }));
    else tapped(form, event.submitter);
  } else if (form.id === "come-in") {
    event.preventDefault();
    comeIn(form);
  }
});
document.addEventListener("click", (event) => {
  const button = event.target.closest?.("button[data-do]");
  if (!button) return;
  if (button.dataset.do === "undo") takeBack({ key: button.dataset.key, label: button.dataset.label });
  else choose(button.dataset);
});
// The key Enter in a field of a call would press the first outcome.
document.addEventListener("keydown", (event) => {
  if (event.key === "Enter" && event.target.matches?.("form.call input")) event.preventDefault();
});
document.getElementById("send-now").addEventListener("click", () => deliver.now());
document.addEventListener("visibilitychange", () => {
  if (document.visibilityState === "visible" && performance.now() - shown > REFRESH_MS) {
    deliver.hello().then((up) => { if (up) { shown = performance.now(); refreshSoon(); } });
  }
});

await queue.takeOver();
queue.watch(() => view.lists());
queue.heard(kept);
deliver.begin({ change: () => view.lists(), kept, refused, back: refreshSoon });
view.begin();
whilePlanned();
// The page came at once with the step of some minutes ago: the newest is taken after it.
if ("earlier" in facts()) refreshSoon();
deliver.hello().then((up) => { if (up) { view.clocks(link.here.clocks); if (view.stale()) refreshSoon(); } });
