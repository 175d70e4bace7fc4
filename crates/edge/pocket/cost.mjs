// What the engine costs: processor time of a first plan with nothing known and with all known, of the next advice after entries, and memory.
// usage: node cost.mjs [FARHOP] [ENGINE]      as ./check names them
import { execFileSync } from "node:child_process";
import { copyFileSync, existsSync, mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";

const farhop = resolve(process.argv[2] ?? "target/debug/farhop");
const engineFile = resolve(process.argv[3] ?? "target/pocket/farhop-engine.wasm");
const work = mkdtempSync(join(tmpdir(), "farhop-cost-"));
process.on("exit", () => rmSync(work, { recursive: true, force: true }));
const run = (...words) => execFileSync(farhop, words, { cwd: work, stdio: "pipe", env: { ...process.env, XDG_DATA_HOME: join(work, "data") } });
run("pocket", "-o", "files", "--engine", engineFile);
copyFileSync("examples/demo.toml", join(work, "outing.toml"));

// A bad afternoon: silence, a reading, silence again, a link.
const entries = [
  ["12:20", "call", "kowhai", "10.1455", "no"], ["12:24", "volt", "12.4"], ["12:36", "call", "kowhai", "10.1455", "no"],
  ["12:50", "call", "alder", "7.0515", "no"], ["13:20", "volt", "12.2"], ["13:25", "call", "kowhai", "10.1455", "ok", "arrived"],
];
for (const [time, ...words] of entries) run("log", "--outing", "outing.toml", "--at", `2026-12-12T${time}`, ...words);
const lines = readFileSync(join(work, "outing.journal.jsonl"), "utf8").split("\n").filter((line) => line.startsWith('{"number"'));

const shell = readFileSync(join(work, "files", "engine.js"), "utf8");
const { started, answerOf } = new Function(`${shell}; return { started, answerOf };`)();
const restFile = engineFile.replace(/\.wasm$/, "-rest.wasm");
const parts = { main: await WebAssembly.compile(readFileSync(engineFile)) };
if (existsSync(restFile)) parts.rest = await WebAssembly.compile(readFileSync(restFile));
const month = (number) => readFileSync(join(work, "files", `month-${String(number).padStart(2, "0")}.bin`));
const text = readFileSync("examples/demo.toml", "utf8");
// The demo is in New Zealand's summer: 13 hours before UTC.
const at = (time) => Date.parse(`2026-12-12T${time}:30+13:00`);

async function timed(work) {
  const before = process.cpuUsage();
  const value = await work();
  const used = process.cpuUsage(before);
  return [value, (used.user + used.system) / 1e6];
}

async function first(known) {
  const engine = await started(parts, null);
  for (const bytes of known) engine.take(bytes);
  const content = { record: { slot: "demo", text }, lines: [], slots: [{ slot: "demo", text: null, entries: 0 }] };
  const get = (path, now_ms) => answerOf(engine, { method: "GET", path, headers: [], content, now_ms }, new Uint8Array(), month);
  await get("/", at("11:00"));
  const [made, shared_s] = await timed(() => { if (engine.wanting() > 0) engine.share(0, 1); return engine.made(); });
  const [rest, alone_s] = await timed(() => { engine.work(); return engine.made(); });
  return { engine, content, get, made: [made, rest], shared_s, alone_s };
}

const told = (what, ...seconds) => console.log(`${what}: ${seconds.map((s) => `${s.toFixed(2)} s`).join(", ")}; four times slowed ${seconds.map((s) => `${(4 * s).toFixed(1)} s`).join(", ")}`);
const cold = await first([]);
told("first plan, nothing known: antennas and tables, the plan", cold.shared_s, cold.alone_s);
const again = [];
let last = cold;
for (let turn = 0; turn < 3; turn += 1) {
  last = await first(cold.made);
  again.push(last.shared_s + last.alone_s);
}
told("first plan, all known, three times", ...again);
const advice = [];
for (const [place, [time]] of entries.entries()) {
  last.content.lines.push(lines[place]);
  const [{ told: answer }, seconds] = await timed(() => last.get("/field", at(time)));
  if (answer.status !== 200) throw new Error(`/field is answered with ${answer.status}`);
  advice.push(seconds);
}
told("field page with the next advice, entry by entry", ...advice);
console.log(`memory of the engine in the end: ${(last.engine.memory().byteLength / 1e6).toFixed(0)} MB`);
