// A server that can be killed, hung and started again, and its journal as the command line reads it.
import { spawn, spawnSync } from "node:child_process";
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join, resolve } from "node:path";
import { fileURLToPath } from "node:url";

const here = dirname(fileURLToPath(import.meta.url));
export const root = join(here, "../../../..");
export const farhop = resolve(process.argv[2] ?? join(root, "target/debug/farhop"));
export const faults = [];
export const check = (ok, words) => { if (!ok) { faults.push(words); console.log(`FAULT ${words}`); } };
export const sleep = (ms) => new Promise((go) => setTimeout(go, ms));
export const makeWork = () => mkdtempSync(join(tmpdir(), "farhop-field-"));

// The kind day on today's days, so that the clock counts; `later` days later.
export function outingFile(work, name, later) {
  const day = (k) => new Intl.DateTimeFormat("sv-SE", { timeZone: "Pacific/Auckland" }).format(Date.now() + (k + later) * 86_400_000);
  const text = readFileSync(join(root, "crates/dev/vectors/outings/kind-day.toml"), "utf8").replaceAll("2026-12-12", "TODAY").replaceAll("2026-12-13", day(1)).replaceAll("TODAY", day(0));
  // Fewer stations are enough here, and planned sooner.
  const rest = text.split(/^(?=\[)/m).filter((block) => !/^\[\[station\]\]\s+id = "(wattle|kowhai)"/.test(block)).join("");
  const folder = join(work, name);
  mkdirSync(folder, { recursive: true });
  writeFileSync(join(folder, "outing.toml"), rest);
  return join(folder, "outing.toml");
}

export class Server {
  constructor(work, name, share, port, own, other) {
    Object.assign(this, { work, share, port, own, other, outing: own, addresses: [], phrase: null, child: null });
    this.data = join(work, `${name}-data`);
    this.url = `http://127.0.0.1:${port}`;
  }

  async start(outing = this.outing) {
    await this.ended;
    this.outing = outing;
    const args = ["serve", outing, "--port", String(this.port), "--no-open", ...(this.share ? ["--share"] : [])];
    this.out = "";
    const child = spawn(farhop, args, { cwd: this.work, stdio: ["ignore", "pipe", "pipe"], env: { ...process.env, XDG_DATA_HOME: this.data } });
    this.child = child;
    this.ended = new Promise((done) => child.once("exit", done));
    for (const stream of [child.stdout, child.stderr]) stream.on("data", (text) => { this.out += text; this.read(); });
    for (let i = 0; i < 200; i += 1) {
      try {
        await fetch(`${this.url}/worker.js`);
        this.read();
        return;
      } catch { await sleep(25); }
    }
    throw new Error(`the server does not come up: ${this.out}`);
  }

  // Addresses and the phrase that lets the next device do everything, as they were said last.
  read() {
    const phrases = [...this.out.matchAll(/to edit:?\s+(\w{4}(?:-\w{4}){3})/g)];
    if (phrases.length > 0) this.phrase = phrases.at(-1)[1];
    const addresses = [...this.out.matchAll(/http:\/\/[\d.]+:\d+/g)].map((m) => m[0]);
    if (addresses.length > 0) this.addresses = [...new Set(addresses)];
  }

  newPhrase() { this.read(); }
  kill() { this.child?.kill("SIGKILL"); this.child = null; }
  hang() { this.child?.kill("SIGSTOP"); }
  goOn() { this.child?.kill("SIGCONT"); }
  forget() { rmSync(join(this.data, "farhop/sessions"), { force: true }); }

  // The entries that count.
  list() {
    const { stdout } = spawnSync(farhop, ["log", "--outing", this.outing, "--list", "--json"], { cwd: this.work, encoding: "utf8" });
    try { return JSON.parse(stdout).entries; } catch { return []; }
  }

  told() { return this.list().map((entry) => entry.sentence); }
  events() { return this.list().map((entry) => entry.account.event); }
  times(lines, words) { return lines.filter((line) => line === words || line.includes(words)).length; }
}
