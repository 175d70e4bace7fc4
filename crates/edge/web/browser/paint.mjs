// How soon a page is seen: first paint of a page in a new tab, largest paint of each page with the processor four times slowed, and the
// weight. A measure, told in a table; the times hang on the machine and on what else it does, so nothing fails here.
// usage: node paint.mjs [FARHOP] [RUNS]
import { rmSync } from "node:fs";
import { launched, serve, up, workFolder } from "./walking.mjs";

const RUNS = Number(process.argv[3] ?? 5);
const SLOWED = 4;
const pages = ["", "hours", "field", "fault", "antennas", "energy", "kit", "debrief", "edit"];
const phone = { width: 390, height: 844 };

// Runs in the page before anything else: the paints and shifts as the browser tells them.
function listen() {
  const seen = { largest: 0, shift: 0, what: "" };
  globalThis.seen = seen;
  new PerformanceObserver((list) => { for (const e of list.getEntries()) { seen.largest = e.startTime; seen.what = (e.element?.className || e.element?.tagName || "").toString(); } })
    .observe({ type: "largest-contentful-paint", buffered: true });
  new PerformanceObserver((list) => { for (const e of list.getEntries()) if (!e.hadRecentInput) seen.shift += e.value; })
    .observe({ type: "layout-shift", buffered: true });
}

const median = (list) => [...list].sort((a, b) => a - b)[Math.floor(list.length / 2)];

async function measured(browser, url, slowed) {
  const context = await browser.newContext({ viewport: phone });
  await context.addInitScript(listen);
  const page = await context.newPage();
  if (slowed > 1) {
    const client = await context.newCDPSession(page);
    await client.send("Emulation.setCPUThrottlingRate", { rate: slowed });
  }
  await page.goto(url, { waitUntil: "networkidle" });
  const found = await page.evaluate(() => {
    const [navigation] = performance.getEntriesByType("navigation");
    return {
      first: performance.getEntriesByName("first-contentful-paint")[0]?.startTime ?? NaN,
      ...globalThis.seen,
      begun: navigation.responseStart,
      whole: navigation.responseEnd,
      sent: [navigation, ...performance.getEntriesByType("resource")].reduce((sum, e) => sum + e.transferSize, 0),
    };
  });
  await context.close();
  return found;
}

const work = workFolder("paint");
const server = serve(work, ["--demo"], 8931);
const browser = await launched();
try {
  await up(server.url);
  console.log(`median of ${RUNS} (least to most), new tab with an empty cache, 390 × 844; slowed: processor ${SLOWED} times`);
  console.log("page      first paint ms   slowed: first   largest (what)               answer whole ms   shift   sent kB");
  for (const path of pages) {
    const quick = [], slow = [];
    for (let run = 0; run < RUNS; run += 1) {
      quick.push(await measured(browser, `${server.url}/${path}`, 1));
      slow.push(await measured(browser, `${server.url}/${path}`, SLOWED));
    }
    const told = (list, of) => `${median(list.map(of)).toFixed(0)} (${Math.min(...list.map(of)).toFixed(0)}–${Math.max(...list.map(of)).toFixed(0)})`;
    console.log([
      (path || "outing").padEnd(9),
      told(quick, (f) => f.first).padEnd(16),
      told(slow, (f) => f.first).padEnd(15),
      `${told(slow, (f) => f.largest)} ${slow[0].what}`.padEnd(28),
      told(slow, (f) => f.whole).padEnd(17),
      Math.max(...slow.map((f) => f.shift), ...quick.map((f) => f.shift)).toFixed(3).padEnd(7),
      (quick[0].sent / 1000).toFixed(0),
    ].join(" "));
  }
} finally {
  await browser.close();
  server.child.kill();
  rmSync(work, { recursive: true, force: true });
}
