// What the field page shows of its entries: the line above the navigation, the lists, the notes where the tap was, the day itself.
import * as queue from "./queue.js";
import { link } from "./deliver.js";

const $ = (id) => document.getElementById(id);
const make = (name, text = "", fields = {}) => Object.assign(document.createElement(name), { textContent: text }, fields);
const hm = (ms) => new Date(ms).toTimeString().slice(0, 5);
const notes = new Map();
let said = { words: "" };

export function begin() {
  // What sticks below never covers the end of the page, however many lines it has.
  const room = () => document.documentElement.style.setProperty("--status", `${$("status").offsetHeight}px`);
  new ResizeObserver(room).observe($("status"));
  lists();
  tick();
  worker();
}

// Says something in the line, with the way back that goes with it: an undo of an entry, or something else.
export function tell(what) {
  said = what;
  lists();
}

export const again = () => said.again;

// The line and both lists, as things are.
let turn = 0;
export async function lists() {
  const mine = turn += 1;
  const items = await queue.all();
  if (mine !== turn) return;
  const waiting = items.filter((i) => i.state === "waiting" && !i.cancelled && !i.silent);
  const under = items.filter((i) => i.state === "waiting").length;
  line(waiting.length, under);
  const undo = said.undo ?? { key: "", label: "" };
  const back = $("back");
  back.hidden = !said.undo && !said.again;
  back.querySelector("[name=of]").value = undo.key;
  back.dataset.label = undo.label;
  $("come-in").hidden = link.state !== "phrase";
  list($("waiting-list"), waiting, (item) => [
    make("span", `${item.label}, ${hm(item.wall)}`),
    action("undo", item, "Undo"),
  ]);
  list($("aside"), items.filter((i) => i.state === "aside"), (item) => [
    make("b", item.label),
    make("span", `, ${hm(item.wall)}${item.name && item.outing !== $("facts").dataset.outing ? `, for “${item.name}”` : ""}`),
    make("p", item.reason, { className: "wrong" }),
    make("p", item.remedy, { className: "remedy" }),
    row(item),
  ]);
}

function row(item) {
  const box = make("div", "", { className: "row" });
  box.append(...choices(item));
  const changeable = item.what.words || item.what.event?.called;
  if (changeable && item.kind !== "elsewhere") box.append(action("change", item, "Change"));
  box.append(action("send", item, item.kind === "elsewhere" ? "Enter it here" : "Send again"), action("discard", item, "Discard"));
  return box;
}

// Words that fit several things: which is meant is one tap.
export function choices(item) {
  return (item.choices ?? []).map((words) => {
    const button = action("pick", item, words);
    button.dataset.words = words;
    return button;
  });
}

function action(what, item, words) {
  const button = make("button", words, { type: "button" });
  Object.assign(button.dataset, { do: what, key: item.key, label: item.label });
  return button;
}

function list(box, items, parts) {
  box.hidden = items.length === 0;
  const focused = box.contains(document.activeElement) ? document.activeElement.dataset : null;
  box.querySelector("ul").replaceChildren(...items.map((item) => {
    const li = make("li");
    li.append(...parts(item));
    return li;
  }));
  if (focused?.do) box.querySelector(`[data-do="${focused.do}"][data-key="${focused.key}"]`)?.focus();
}

function line(waiting, under) {
  const count = waiting === 1 ? "1 entry waits" : `${waiting} entries wait`;
  const why = {
    gone: `The computer does not answer since ${hm(link.since)}.`,
    busy: link.words,
    phrase: "The computer wants the pass phrase.",
  }[link.state];
  let more = "";
  if (waiting > 0) more = `${count} on this phone. ${why ?? ""}`;
  else if (under > 0 && why) more = why;
  else if (link.state === "gone") more = `${why} The page is as it was; entries wait here.`;
  const words = [said.words, more.trim()].filter(Boolean).join(" ");
  const told = $("told");
  if (told.textContent !== words && (words || link.state === "up")) told.textContent = words || "Nothing waits.";
}

// A note beside the form where the tap was.
export function note(form, lines, wrong, buttons = []) {
  notes.get(form)?.remove();
  const box = make("div", "", { className: wrong ? "note wrong" : "note" });
  box.setAttribute("role", wrong ? "alert" : "status");
  box.append(...lines.filter(Boolean).map((text) => make("p", text)), ...buttons);
  notes.set(form, box);
  place(form, box);
}

export function clearNotes() {
  notes.forEach((box) => box.remove());
  notes.clear();
}

function place(form, box) {
  const at = $(form);
  if (!at) return $("day").prepend(box);
  const rows = at.parentElement.closest(".row");
  (rows ?? at).after(box);
}

export function clocks(words) {
  $("clocks").textContent = words ?? "";
  $("clocks").hidden = !words;
}

// A refused entry comes back into the form that it is from; it leaves the list when the changed one is entered.
export function fill(item) {
  const called = item.what.event?.called;
  const form = $(called ? "any" : "say");
  if (called) {
    $("another").open = true;
    const channel = $(`any-${called.station}-${called.freq_mhz}`);
    if (channel) channel.checked = true;
    for (const sent of called.outcome.session?.sent ?? []) {
      const box = $(`any-message-${sent.message}`);
      if (box) box.checked = true;
    }
  } else {
    $("words").value = item.what.words;
  }
  form.dataset.replaces = item.key;
  form.scrollIntoView({ block: "center" });
  (called ? form.querySelector("input:checked") ?? form.querySelector("input") : $("words")).focus();
}

// A copy that the phone has kept is older than a page that came just now.
export const stale = () => Math.abs((link.here?.clock_ms ?? 0) - Number($("facts").dataset.clock)) > 30000;

// Takes the day from the computer as it is now, and leaves alone what a hand is at. True when it came.
export async function refresh() {
  try {
    const answer = await fetch("/field?now=1", { headers: { Accept: "text/html" }, signal: AbortSignal.timeout?.(60000) });
    if (!answer.ok || answer.redirected) return false;
    const fresh = new DOMParser().parseFromString(await answer.text(), "text/html");
    if (!fresh.getElementById("day")) return false;
    const hand = atHand();
    document.documentElement.dataset.theme = fresh.documentElement.dataset.theme;
    for (const part of ["#day", "#facts", "main > p.answer:not(.meanwhile)"]) {
      const [old, now] = [document.querySelector(part), fresh.querySelector(part)];
      if (old && now) old.replaceWith(document.adoptNode(now));
    }
    hand();
    notes.forEach((box, form) => place(form, box));
    lists();
    tick();
    return true;
  } catch {
    return false;
  }
}

// What a hand is at: what was typed, ticked and opened, and where the cursor stands. Gives what puts it back.
function atHand() {
  const day = $("day");
  const typed = [...day.querySelectorAll("input[id]:not([type=hidden])")].filter((i) => i.value !== i.defaultValue || i.checked !== i.defaultChecked);
  const chosen = [...day.querySelectorAll("select[id]")].map((s) => [s.id, s.selectedIndex]);
  const opened = [...day.querySelectorAll("details[id]")].map((d) => [d.id, d.open]);
  const replacing = [...day.querySelectorAll("form[data-replaces]")].map((f) => [f.id, f.dataset.replaces]);
  const touched = new Set(typed.map((i) => i.form?.id));
  const { id, selectionStart } = document.activeElement ?? {};
  return () => {
    for (const old of typed) {
      const now = $(old.id);
      if (now) Object.assign(now, { value: old.value, checked: old.checked });
    }
    for (const [form, key] of replacing) if ($(form)) $(form).dataset.replaces = key;
    for (const [select, index] of chosen) if ($(select)) $(select).selectedIndex = Math.max(0, index);
    for (const [box, open] of opened) if ($(box) && (open || touched.has("any"))) $(box).open = open;
    const focus = id ? $(id) : null;
    if (focus && focus !== document.activeElement) {
      focus.focus({ preventScroll: true });
      if (selectionStart !== null && focus.type === "text") focus.setSelectionRange(selectionStart, selectionStart);
    }
  };
}

// The clock, local to the outing and UTC.
let ticking = 0;
function tick() {
  clearTimeout(ticking);
  ticking = setTimeout(tick, 60000 - (Date.now() % 60000));
  const clock = document.querySelector(".clock");
  if (!clock) return;
  const utc = (ms) => new Date(ms).toISOString().slice(11, 16);
  const now = Date.now() + (queue.offset() ?? 0);
  clock.querySelector("[data-clock=local]").textContent = `${utc(now + Number(clock.dataset.offset) * 1000)} local`;
  clock.querySelector("[data-clock=utc]").textContent = `${utc(now)} UTC`;
}

// Where the browser allows it, the page opens again without the computer. What holds on this connection is said.
async function worker() {
  const holds = $("holds");
  const waits = queue.outlives()
    ? "Entries wait on this phone, also when the page is closed, and go out when it is open again."
    : "This browser keeps nothing: entries wait only while this page stays open.";
  if (!$("facts").dataset.worker) {
    holds.textContent = "Everything is on this phone. No computer and no network is needed.";
    return;
  }
  const closed = `This connection is not encrypted, so the page cannot be loaded again while the computer is gone: keep it open. ${waits}`;
  const secure = globalThis.isSecureContext && navigator.serviceWorker;
  holds.textContent = secure ? waits : closed;
  if (!secure) return;
  try {
    await navigator.serviceWorker.register($("facts").dataset.worker, { scope: "/field" });
    const { active } = await navigator.serviceWorker.ready;
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = ({ data }) => { if (data.kept) holds.textContent = `This page opens again on this device without the computer. ${waits}`; };
    const files = performance.getEntriesByType("resource").map((r) => r.name).filter((name) => name.includes("/assets/"));
    active.postMessage({ keep: files }, [port2]);
  } catch { /* It stays as it is without. */ }
}
