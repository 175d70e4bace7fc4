// Walks every page in a real browser at phone and laptop size: console clean, nothing serious for accessibility, pages light and quick,
// an outing made, a day logged with the server killed in between, two phones at once. Screenshots: target/screenshots/.
import { spawn } from "node:child_process";
import { readFileSync, rmSync } from "node:fs";
import { join } from "node:path";
import { MOST_SHIFT, accessible, check, ended, farhop, fault, launched, serve as serving, shifted, shifting, shots, sleep, up, watched, workFolder } from "./walking.mjs";

const work = workFolder("screens");
const serve = (args, port) => serving(work, args, port);
const browser = await launched();
const sizes = { phone: { width: 360, height: 740 }, laptop: { width: 1366, height: 850 }, wide: { width: 1920, height: 1080 } };
const pages = ["", "hours", "field", "fault", "antennas", "energy", "kit", "debrief", "edit"];
let demo = serve([], 8911);
let own;
try {
  await up(demo.url);
  for (const [size, viewport] of Object.entries(sizes)) {
    const context = await browser.newContext({ viewport, bypassCSP: true });
    await shifting(context);
    for (const path of pages) {
      const name = `${path || "outing"}-${size}`;
      const page = await context.newPage();
      watched(page, name);
      const answer = await page.goto(`${demo.url}/${path}`, { waitUntil: "networkidle" });
      check(answer.status() === 200, `${name}: status ${answer.status()}`);
      const shift = await shifted(page);
      check(shift <= MOST_SHIFT, `${name}: it shifts by ${shift.toFixed(3)} while it is loaded`);
      await page.screenshot({ path: join(shots, `${name}.png`), fullPage: true });
      // A page that stands may ask for itself anew: that is not what it takes to open it.
      const bytes = await page.evaluate(() => [...performance.getEntriesByType("navigation"), ...performance.getEntriesByType("resource").filter((entry) => !entry.name.includes("?now="))]
        .reduce((sum, entry) => sum + entry.decodedBodySize, 0));
      const over = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
      check(over <= 1, `${name}: ${over} px wider than the screen`);
      check(bytes <= 200_000, `${name}: ${bytes} bytes`);
      if (size !== "wide") await accessible(page, name);
      if (size === "laptop") {
        const paint = await page.evaluate(() => performance.getEntriesByName("first-contentful-paint")[0]?.startTime ?? 0);
        console.log(`${name}: ${bytes} bytes, first paint ${paint.toFixed(0)} ms`);
      }
      await page.close();
    }
    await context.close();
  }

  // The three lights on the field page.
  const lights = await browser.newContext({ viewport: sizes.phone, bypassCSP: true });
  const field = await lights.newPage();
  watched(field, "lights");
  for (const theme of ["sun", "night"]) {
    await field.goto(`${demo.url}/field`);
    await field.click(`footer button[value=${theme}]`);
    await field.goto(`${demo.url}/field`);
    check((await field.getAttribute("html", "data-theme")) === theme, `theme ${theme} is not kept`);
    await accessible(field, `field-${theme}`);
    await field.screenshot({ path: join(shots, `field-${theme}.png`), fullPage: true });
  }
  await lights.close();

  // An opened hour with its working, an antenna hung otherwise, and the outing on paper.
  for (const [size, viewport] of [["phone", sizes.phone], ["laptop", sizes.laptop]]) {
    const context = await browser.newContext({ viewport, bypassCSP: true });
    const page = await context.newPage();
    watched(page, `working-${size}`);
    await page.goto(`${demo.url}/hours`);
    await page.click(".strips td.best a");
    await page.waitForSelector("#working");
    await page.screenshot({ path: join(shots, `working-${size}.png`), fullPage: true });
    await accessible(page, `working-${size}`);
    if (size === "laptop") {
      await page.goto(`${demo.url}/antennas`);
      const taken = await page.evaluate(async () => {
        const slider = document.querySelector("input[name=height]");
        const solved = document.getElementById("solved");
        const start = performance.now();
        slider.value = "20";
        slider.dispatchEvent(new Event("input", { bubbles: true }));
        await new Promise((done) => new MutationObserver(done).observe(solved, { childList: true }));
        return performance.now() - start;
      });
      console.log(`antennas: solved again in ${taken.toFixed(0)} ms`);
      await page.goto(demo.url);
      await page.pdf({ path: join(shots, "outing-print.pdf"), format: "A4" });
    }
    await context.close();
  }

  // Keyboard alone: the first stop is the way past the navigation.
  const keys = await browser.newPage();
  await keys.goto(demo.url);
  await keys.keyboard.press("Tab");
  check((await keys.evaluate(() => document.activeElement.className)) === "skip", "the first stop of the keyboard is not the skip link");
  await keys.close();

  // An outing of one's own: made, edited, saved with its remarks, a stale save refused.
  own = serve(["trip/outing.toml"], 8912);
  await sleep(1500);
  const maker = await browser.newPage();
  watched(maker, "edit");
  await maker.goto(`${own.url}/edit`);
  await maker.click("text=Begin with the starter");
  await maker.waitForSelector("textarea#file");
  const before = await maker.inputValue("textarea#file");
  const other = await browser.newPage();
  await other.goto(`${own.url}/edit`);
  await maker.fill('input[name="outing.name"]', "Walk to the tarn");
  await maker.click(".values button.main");
  await maker.waitForSelector("textarea#file");
  const after = await maker.inputValue("textarea#file");
  check(after.includes('name = "Walk to the tarn"'), "the form did not change the file");
  const remarks = (text) => text.split("\n").filter((l) => l.includes("#")).length;
  check(remarks(after) === remarks(before) && after.split("\n").length === before.split("\n").length, "remarks or order were lost");
  await other.fill('input[name="outing.name"]', "Another name");
  await other.click(".values button.main");
  await other.waitForSelector("[role=alert]");
  check(readFileSync(join(work, "trip/outing.toml"), "utf8").includes("Walk to the tarn"), "a stale save overwrote another");
  await other.close();
  await maker.close();

  // A day: an entry, the server killed, three entries on a page that stays open, the server back, everything there once.
  await up(own.url);
  const hill = await browser.newContext({ viewport: sizes.phone });
  const phone = await hill.newPage();
  await phone.goto(`${own.url}/field`);
  await phone.waitForSelector("form.entry.words");
  const enter = async (words) => {
    await phone.fill("#words", words);
    await phone.press("#words", "Enter");
    await sleep(700);
  };
  await enter("volt 12.9");
  await phone.waitForSelector("text=battery at 12.9 V");
  own.child.kill("SIGKILL");
  await sleep(300);
  for (const volts of ["12.8", "12.7", "12.6"]) await enter(`volt ${volts}`);
  check((await phone.textContent("#told")).includes("3 entries wait"), "nothing is said about waiting entries");
  own = serve(["trip/outing.toml"], 8912);
  await up(own.url);
  await phone.waitForSelector("text=battery at 12.6 V", { timeout: 20_000 });
  await sleep(1000);
  const listed = spawn(farhop, ["log", "--outing", "trip/outing.toml", "--list"], { cwd: work });
  let list = "";
  for await (const chunk of listed.stdout) list += chunk;
  for (const volts of ["12.9", "12.8", "12.7", "12.6"]) {
    check(list.split(`battery at ${volts} V`).length === 2, `${volts} V stands ${list.split(`battery at ${volts} V`).length - 1} times in the journal`);
  }
  await phone.goto(`${own.url}/field`);
  await phone.click(".entries form.undo button");
  await phone.waitForFunction(() => document.getElementById("told").textContent.includes("Taken back"));
  await phone.screenshot({ path: join(shots, "field-day.png"), fullPage: true });

  // Two phones at once lose nothing.
  const second = await (await browser.newContext({ viewport: sizes.phone })).newPage();
  await second.goto(`${own.url}/field`);
  await Promise.all([
    phone.fill("#words", "note first phone").then(() => phone.press("#words", "Enter")),
    second.fill("#words", "note second phone").then(() => second.press("#words", "Enter")),
  ]);
  await sleep(2000);
  const story = await (await fetch(`${own.url}/debrief`)).text();
  check(story.includes("first phone") && story.includes("second phone"), "an entry of two phones was lost");

  await phone.fill(".reading input[name=value]", "13.3");
  await phone.click(".reading button");
  await phone.waitForSelector("text=battery at 13.3 V");

  // The story of a day with calls in it, at both sizes.
  await phone.goto(`${own.url}/field`);
  for (const outcome of ["No answer", "Heard, no link", "Linked, nothing sent", "Sent what is ticked"]) {
    const told = phone.waitForResponse((r) => r.url().endsWith("/field/entry"));
    await phone.click(`#advised button:has-text("${outcome}"), #any button:has-text("${outcome}")`);
    check((await told).ok(), `"${outcome}" was not entered`);
    await sleep(900);
  }
  for (const [size, viewport] of [["phone", sizes.phone], ["laptop", sizes.laptop]]) {
    const context = await browser.newContext({ viewport, bypassCSP: true });
    const day = await context.newPage();
    watched(day, `debrief-day-${size}`);
    await day.goto(`${own.url}/debrief`, { waitUntil: "networkidle" });
    const over = await day.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
    check(over <= 1, `debrief-day-${size}: ${over} px wider than the screen`);
    await accessible(day, `debrief-day-${size}`);
    await day.screenshot({ path: join(shots, `debrief-day-${size}.png`), fullPage: true });
    await context.close();
  }

  // The search for a fault: one question a screen.
  await phone.goto(`${own.url}/fault`);
  await phone.check("[data-seen='0']");
  await phone.click("button[value=begin]");
  await phone.waitForSelector("form.answers");
  await phone.click("button[value=ok]");
  await phone.waitForSelector("text=Undo");
  await phone.screenshot({ path: join(shots, "fault-asked.png"), fullPage: true });
  await hill.close();
} finally {
  await browser.close();
  demo.child.kill("SIGKILL");
  own?.child.kill("SIGKILL");
  rmSync(work, { recursive: true, force: true });
}
ended("All pages are well.");
