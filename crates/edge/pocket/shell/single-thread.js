// The thread of the single file: it holds the engine and all that is kept, until the file is closed.
let engine = null, months = [], cookie = "";
const bytesOf = (base64) => Uint8Array.from(atob(base64), (c) => c.charCodeAt(0));
const content = { record: { slot: "first" }, lines: [], slots: [{ slot: "first", text: null, entries: 0 }] };
const others = new Map();

async function ask(method, path, body) {
  const headers = [["content-type", "application/x-www-form-urlencoded"]];
  if (cookie) headers.push(["cookie", cookie]);
  const { told, body: bytes } = await answerOf(engine, { method, path, headers, content }, new TextEncoder().encode(body), (month) => bytesOf(months[month - 1]));
  const at = content.record.slot;
  if (told.switch && told.switch !== at) {
    others.set(at, { record: content.record, lines: content.lines });
    const known = others.get(told.switch);
    Object.assign(content, known ?? { record: told.record, lines: [] });
    if (!known) content.slots.push({ slot: told.switch, text: told.record.text, entries: 0 });
  } else if (told.record) content.record = told.record;
  content.lines.push(...told.added.map((a) => a.line));
  const slot = content.slots.find((s) => s.slot === content.record.slot);
  Object.assign(slot, { text: content.record.text ?? null, entries: content.lines.length });
  const header = (name) => told.headers.find(([n]) => n === name)?.[1];
  cookie = header("set-cookie")?.split(";")[0] ?? cookie;
  const saved = header("content-disposition");
  return { bytes: saved && bytes, status: told.status, location: header("location"), saved, text: new TextDecoder().decode(bytes), added: told.added.length };
}

async function begin(first, more) {
  const [main, rest] = await Promise.all([first, more].map((base64) => base64 && WebAssembly.compile(bytesOf(base64))));
  engine = await started({ main, rest }, null, (what, done, total) => postMessage({ progress: { what, done, total } }));
}

self.addEventListener("message", async ({ data }) => {
  try {
    if (data.months) months = data.months;
    if (data.engine) await begin(data.engine, data.rest);
    let { method = "GET", path = "/", body = "" } = data;
    let added = 0;
    for (let step = 0; step < 5; step += 1) {
      const answer = await ask(method, path, body);
      added += answer.added;
      if (answer.status >= 300 && answer.status < 400) { [method, path, body] = ["GET", answer.location, ""]; continue; }
      postMessage({ answer: { ...answer, path, added } });
      // A page that waits for the plan gets it, and is shown anew.
      if (!/id="(waiting|making)"/.test(answer.text)) return;
      engine.work();
      added = 0;
    }
  } catch (error) {
    postMessage({ error: error.message });
  }
});
