// A whole bad day on a phone, held upright and lying: nobody answers, the SWR is high, the tuner refuses, the computer is gone for a while,
// a fault is looked for with what the day has shown and is mended, then a link. After each step axe looks, the line of entries is on the
// screen, and the page does not scroll sideways; at the end everything stands in the journal once.
// usage: node bad-day.mjs [FARHOP]
import { rmSync } from "node:fs";
import { join } from "node:path";
import { Server, makeWork, outingFile } from "./field-server.mjs";
import { accessible, check, ended, launched, shots, sleep } from "./walking.mjs";

const work = makeWork();
const browser = await launched();

async function day(how, viewport, port) {
  const server = new Server(work, how, false, port, outingFile(work, how, 0), null);
  await server.start();
  try {
    await hours(server, how, viewport);
  } finally {
    server.kill();
  }
}

async function hours(server, how, viewport) {
  const context = await browser.newContext({ viewport, bypassCSP: true, hasTouch: true });
  const page = await context.newPage();
  page.on("pageerror", (e) => check(false, `${how}: ${e.message}`));
  const says = (words) => page.waitForFunction((w) => document.getElementById("told").textContent.includes(w), words, { timeout: 30_000 });
  let shot = 0;
  const seen = async (what) => {
    const over = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
    check(over <= 1, `${how}, ${what}: ${over} px wider than the screen`);
    await accessible(page, `${how}, ${what}`);
    shot += 1;
    await page.screenshot({ path: join(shots, `bad-day-${how}-${String(shot).padStart(2, "0")}.png`) });
  };
  const lineIsSeen = async (what) => {
    const ok = await page.evaluate(() => {
      const box = document.getElementById("told").getBoundingClientRect();
      const at = document.elementFromPoint(box.x + box.width / 2, box.y + box.height / 2);
      return box.top >= 0 && box.bottom <= innerHeight && at?.closest("#told") !== null;
    });
    check(ok, `${how}, ${what}: the line of entries is not on the screen`);
  };
  const type = async (words) => {
    await page.fill("#words", words);
    await page.press("#words", "Enter");
    await page.waitForFunction((w) => document.getElementById("told").textContent.includes(w), words, { timeout: 30_000 });
    await lineIsSeen(words);
  };
  // The plan first: the day is worked on with it.
  await page.goto(`${server.url}/field`);
  const since = Date.now();
  await page.waitForSelector("#day .clock", { timeout: 120_000 });
  console.log(`${how}: planned after ${((Date.now() - since) / 1000).toFixed(0)} s`);
  await seen("begun");

  // A finger brings what it wants to touch into the middle first.
  const tap = async (what) => {
    const one = page.locator(what).first();
    await one.evaluate((e) => e.scrollIntoView({ block: "center" }));
    await one.tap();
  };
  // Some station by its first channel: the advice may be another thing than a call.
  const call = async (outcome) => {
    if (!(await page.evaluate(() => document.getElementById("another").open))) await tap("#another > summary");
    await tap("#any label.pick");
    await tap(`#any .outcomes button[value=${outcome}]`);
    await says("is kept");
    await lineIsSeen(outcome);
    // The same tap again within a second is a shaking hand.
    await sleep(1100);
  };
  await call("no-answer");
  await call("no-answer");
  await call("heard-but-failed");
  await seen("called in vain");
  await type("swr 7.05 4.2");
  await type("volt 12.4");
  await says("is kept: volt 12.4");
  server.kill();
  await type("volt 12.3");
  await type("note sleet, hands cold");
  await says("2 entries wait");
  await seen("computer gone");
  await server.start();
  await page.evaluate(() => dispatchEvent(new Event("online")));
  await page.waitForFunction(() => document.getElementById("waiting-list").hidden, null, { timeout: 30_000 });
  await says("is kept");

  // From Field to Fault: what the day has shown is ticked, and by what.
  for (let i = 0; i < 300; i += 1) {
    // A page that waits for the plan loads itself anew when it is there.
    await page.goto(`${server.url}/fault`).catch(() => page.waitForLoadState());
    if ((await page.locator("#waiting").count()) === 0 && page.url().endsWith("/fault")) break;
    await sleep(400);
  }
  const ticked = await page.$$eval("[data-seen]:checked", (all) => all.map((box) => box.closest("label").textContent));
  check(ticked.some((t) => t.includes("high SWR") && t.includes("4.2")), `${how}: the SWR of the day is not ticked: ${ticked.join("; ")}`);
  check(ticked.some((t) => t.includes("not heard")), `${how}: that nobody answers is not ticked: ${ticked.join("; ")}`);
  await seen("fault, with what the day has shown");
  await Promise.all([page.waitForNavigation(), page.tap("button[value=begin]")]);
  await seen("fault, the first check");
  await Promise.all([page.waitForNavigation(), page.tap("button[value=bad]")]);
  await seen("fault, found");
  await Promise.all([page.waitForNavigation(), page.tap("button[value=over]")]);
  await page.goto(`${server.url}/field`);
  await page.waitForSelector("#say");
  await type("swr 7.05 1.4");
  await call("linked");
  await seen("linked");
  // A link says that everything works: nothing is ticked any more.
  await page.goto(`${server.url}/fault`);
  check((await page.locator("[data-seen]:checked").count()) === 0, `${how}: after a link symptoms are ticked still`);
  await page.goto(`${server.url}/debrief`);
  await seen("debrief");
  const told = server.told();
  for (const words of ["battery at 12.4 V", "battery at 12.3 V", "note: sleet, hands cold"]) {
    check(server.times(told, words) === 1, `${how}: "${words}" stands ${server.times(told, words)} times`);
  }
  await context.close();
}

try {
  for (const [how, viewport, port] of [["upright", { width: 390, height: 844 }, 8981], ["lying", { width: 844, height: 390 }, 8982]]) {
    await day(how, viewport, port).catch((error) => check(false, `${how} broke off: ${error.stack.split("\n").filter((l, i) => i < 4 || l.includes("bad-day")).join(" ")}`));
    console.log(`${how} done`);
  }
} finally {
  await browser.close();
  rmSync(work, { recursive: true, force: true });
}
ended("bad day: all is well");
