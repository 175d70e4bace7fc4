// From a form of the field page to the typed event that it stands for.

// { what: { event } | { words } | { undo } } or { wrong: words for the person }.
export function eventOf(form, button) {
  const fields = new FormData(form);
  const text = (name) => String(fields.get(name) ?? "").trim();
  if (form.classList.contains("undo")) return { what: { undo: text("of") } };
  switch (form.dataset.kind) {
    case "event": return { what: { event: JSON.parse(text("event")) } };
    case "reading": {
      const value = text("value");
      return value ? { what: { words: text("reading").replace("{}", value) } } : { wrong: "Write the value first." };
    }
    case "call": return call(fields, text, button);
    default: return text("words") ? { what: { words: text("words") } } : { wrong: "Write something first." };
  }
}

function call(fields, text, button) {
  const channel = text("channel");
  if (!channel) return { wrong: "Choose the station and its channel first." };
  const cut = channel.lastIndexOf(" ");
  const plain = { "busy-gateway": { busy: { what: "gateway" } }, "busy-channel": { busy: { what: "channel" } } };
  let outcome = plain[button?.value] ?? button?.value;
  if (!outcome) return { wrong: "Press how it ended." };
  if (outcome === "sent") {
    const { session, wrong } = sessionOf(fields, text);
    if (wrong) return { wrong };
    outcome = { session };
  }
  return { what: { event: { called: { station: channel.slice(0, cut), freq_mhz: Number(channel.slice(cut + 1)), outcome } } } };
}

function sessionOf(fields, text) {
  const session = {};
  const sent = [];
  for (const message of fields.getAll("message")) {
    const size = Number(text(`size-${message}`)), part = text(`part-${message}`);
    if (part && !/^\d+$/.test(part)) return { wrong: `“${part}” is no number of bytes of ${message}. Leave the field empty when all of it went.` };
    if (Number(part) > size) return { wrong: `${part} bytes are more than all of ${message}, which has ${size}.` };
    const whole = !part || Number(part) === size;
    sent.push({ message, bytes: whole ? size : Number(part), whole });
  }
  if (sent.length > 0) session.sent = sent;
  if (text("received")) session.received = [{ words: text("received") }];
  if (sent.length === 0 && !session.received) return { wrong: "Nothing is ticked. Tick what went, or press “Linked, nothing sent”." };
  return { session };
}

// A few words by which a person knows the entry again.
export function labelOf(form, button, what) {
  const label = wordsOf(form, button, what);
  return label.length > 90 ? `${label.slice(0, 90)} …` : label;
}

function wordsOf(form, button, what) {
  if (what.undo) return form.dataset.name ?? form.dataset.label ?? "the last entry";
  if (what.words) return what.words;
  const { called } = what.event;
  if (!called) return form.dataset.name;
  const name = form.dataset.name ?? form.querySelector("input[name=channel]:checked")?.dataset.name ?? called.station;
  const { session } = called.outcome;
  if (!session) return `${name}: ${button.textContent.trim().toLowerCase()}`;
  const sent = (session.sent ?? []).map((s) => (s.whole ? s.message : `${s.bytes} bytes of ${s.message}`));
  const received = (session.received ?? []).map((r) => `received ${r.words}`);
  return `${name}: ${[sent.length > 0 ? `sent ${sent.join(", ")}` : "", ...received].filter(Boolean).join("; ")}`;
}
