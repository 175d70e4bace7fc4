// What the walks share: the program to be tried, a place to work, faults, a server of the program, and the two judges of a page.
import { spawn } from "node:child_process";
import { mkdirSync, mkdtempSync, readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { dirname, join, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { chromium } from "playwright-core";

export const root = join(dirname(fileURLToPath(import.meta.url)), "../../../..");
export const farhop = resolve(process.argv[2] ?? join(root, "target/debug/farhop"));
export const shots = join(root, "target/screenshots");
mkdirSync(shots, { recursive: true });
const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

export const faults = [];
export const fault = (words) => { faults.push(words); console.log(`FAULT ${words}`); };
export const check = (ok, words) => { if (!ok) fault(words); };
export const sleep = (ms) => new Promise((go) => setTimeout(go, ms));
export const workFolder = (name) => mkdtempSync(join(tmpdir(), `farhop-${name}-`));
export const launched = () => chromium.launch({ executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium", args: ["--no-sandbox"] });

export function serve(work, args, port) {
  const child = spawn(farhop, ["serve", ...args, "--port", String(port), "--no-open"], { cwd: work, stdio: "ignore" });
  return { child, url: `http://127.0.0.1:${port}` };
}

// The server answers, and its plan is there.
export async function up(url) {
  for (let i = 0; i < 600; i += 1) {
    try { const answer = await fetch(`${url}/kit`); if (answer.ok && !(await answer.text()).includes('id="waiting"')) return; } catch { /* not yet */ }
    await sleep(200);
  }
  throw new Error(`${url} does not come up`);
}

export function watched(page, name) {
  page.on("console", (m) => { if (["error", "warning"].includes(m.type())) fault(`${name}: console: ${m.text()}`); });
  page.on("pageerror", (e) => fault(`${name}: ${e.message}`));
}

export async function accessible(page, name) {
  await page.evaluate(axe);
  const found = await page.evaluate(async () => (await globalThis.axe.run(document, { runOnly: ["wcag2a", "wcag2aa", "wcag21aa", "wcag22aa"] })).violations);
  for (const v of found.filter((v) => ["serious", "critical"].includes(v.impact))) {
    fault(`${name}: ${v.id}: ${v.help}: ${v.nodes.slice(0, 3).map((n) => n.target.join(" ")).join(" | ")}`);
  }
}

// The most that a page may shift while it is loaded: the bar of the layout, in the browser's own measure (share of the screen times way).
export const MOST_SHIFT = 0.02;

// Counts the shifts of every page of a context; `shifted` gives what came together so far.
export const shifting = (context) => context.addInitScript(() => {
  globalThis.shift = 0;
  new PerformanceObserver((list) => { for (const e of list.getEntries()) if (!e.hadRecentInput) globalThis.shift += e.value; }).observe({ type: "layout-shift", buffered: true });
});
export const shifted = (page) => page.evaluate(() => globalThis.shift);

// Forced colours, as somebody has set them for all pages. The browser forgets it with every navigation, and says when it holds.
export async function forceColours(page) {
  await page.emulateMedia({ forcedColors: "none" });
  await page.emulateMedia({ forcedColors: "active" });
  check(await page.evaluate(() => matchMedia("(forced-colors: active)").matches), "colours are not forced");
}

// The end of a walk.
export function ended(well) {
  if (faults.length > 0) {
    console.log(`${faults.length} faults`);
    process.exit(1);
  }
  console.log(well);
}
