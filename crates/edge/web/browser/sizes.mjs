// Every page at every size: from 360 to 1920 px, a phone lying, 400 % of a small laptop, Field at twice the size of a lying phone, colours
// forced. The page never scrolls sideways, nothing is hidden behind what sticks. With FARHOP_SHOTS=1 also a picture of every page, size
// and theme: target/screenshots/sizes/.
// usage: node sizes.mjs [FARHOP]
import { mkdirSync, rmSync } from "node:fs";
import { join } from "node:path";
import { check, ended, forceColours, launched, serve, shots, up, workFolder } from "./walking.mjs";

const pages = ["", "hours", "field", "fault", "antennas", "energy", "kit", "debrief", "edit"];
const SIZES = [
  ["360", { width: 360, height: 740 }],
  ["390", { width: 390, height: 844 }],
  ["lying", { width: 740, height: 360 }],
  ["tablet", { width: 820, height: 1180 }],
  ["laptop", { width: 1366, height: 768 }],
  ["wide", { width: 1920, height: 1080 }],
  // 1280 × 1024 at 400 %, the size of WCAG 2.2, criterion 1.4.10.
  ["400-percent", { width: 320, height: 256 }],
  // A lying phone at 200 %.
  ["lying-200-percent", { width: 370, height: 180 }],
];
const THEMES = ["paper", "sun", "night"];
const pictures = Boolean(process.env.FARHOP_SHOTS);
const folder = join(shots, "sizes");
if (pictures) mkdirSync(folder, { recursive: true });

// Runs in the page: what is wrong with the layout, in words.
function wrongs() {
  const found = [];
  const wide = document.documentElement.scrollWidth - document.documentElement.clientWidth;
  if (wide > 1) {
    const out = [...document.querySelectorAll("main *, footer *, nav *")].filter((e) => e.getBoundingClientRect().right > innerWidth + 1 && !e.closest(".scroll, .strips, .graph"));
    found.push(`${wide} px wider than the screen: ${out.slice(-2).map((e) => `${e.tagName} ${e.id} ${e.className} "${e.textContent.trim().slice(0, 20)}"`).join("; ")}`);
  }
  const fixed = [...document.querySelectorAll("body *")].filter((e) => getComputedStyle(e).position === "fixed" && e.checkVisibility() && e.getBoundingClientRect().height > 0);
  const below = fixed.reduce((top, e) => Math.min(top, e.getBoundingClientRect().top), innerHeight);
  if (below < innerHeight / 3) found.push(`only ${below.toFixed(0)} px of ${innerHeight} are free of what sticks`);
  for (const e of document.querySelectorAll("main p, main h1, main h2, main a, main button, main input, main select, main summary, footer p, footer button")) {
    if (!e.checkVisibility() || fixed.some((f) => f.contains(e))) continue;
    e.scrollIntoView({ block: "nearest", behavior: "instant" });
    let box = e.getBoundingClientRect();
    if (box.width === 0 || box.height > below) continue;
    // As far as the page scrolls, by hand.
    if (box.bottom > below) scrollBy({ top: box.bottom - below + 1, behavior: "instant" });
    box = e.getBoundingClientRect();
    const over = document.elementFromPoint(Math.min(innerWidth - 1, Math.max(0, box.x + box.width / 2)), box.y + Math.min(box.height / 2, 10));
    if (over && fixed.some((f) => f.contains(over))) found.push(`${e.tagName} "${e.textContent.trim().slice(0, 30)}" lies under what sticks`);
  }
  scrollTo(0, 0);
  return found.slice(0, 5);
}

const work = workFolder("sizes");
const demo = serve(work, ["--demo"], 8951);
const browser = await launched();
let looked = 0;
try {
  await up(demo.url);
  for (const forced of [false, true]) {
    for (const [size, viewport] of SIZES) {
      const context = await browser.newContext({ viewport });
      const page = await context.newPage();
      for (const path of pages) {
        const name = `${path || "outing"}-${size}${forced ? "-forced" : ""}`;
        await page.goto(`${demo.url}/${path}`, { waitUntil: "networkidle" });
        // The browser forgets it with every page.
        if (forced) await forceColours(page);
        // The bars of the hours are no shadows then, which nobody would see.
        if (forced && path === "hours") {
          const bars = await page.$$eval(".strips td a", (all) => all.map((a) => parseFloat(getComputedStyle(a).borderBottomWidth)));
          check(new Set(bars).size > 1 && Math.max(...bars) > 10, `${name}: the bars of the hours are not seen`);
        }
        for (const wrong of await page.evaluate(wrongs)) check(false, `${name}: ${wrong}`);
        looked += 1;
        if (!pictures) continue;
        if (forced) { await page.screenshot({ path: join(folder, `${name}.png`), fullPage: true }); continue; }
        for (const theme of THEMES) {
          await page.evaluate((t) => { document.documentElement.dataset.theme = t; }, theme);
          await page.screenshot({ path: join(folder, `${name}-${theme}.png`), fullPage: true });
        }
      }
      await context.close();
    }
  }
} catch (error) {
  check(false, `broke off: ${error.stack}`);
} finally {
  await browser.close();
  demo.child.kill();
  rmSync(work, { recursive: true, force: true });
}
ended(`sizes: ${looked} pages are well`);
