// The field log on a phone, in a real browser, with a server that is gone, restarted, hanging, busy, refusing, and killed between keep
// and answer: nothing that was tapped is lost, nothing stands twice, and the page says what is so.
// usage: node field.mjs [FARHOP]      FARHOP_KILLS=200 for the full count of kills
import { mkdirSync, rmSync } from "node:fs";
import { join } from "node:path";
import { chromium } from "playwright-core";
import { check, faults, makeWork, outingFile, root, Server, sleep } from "./field-server.mjs";
import { layout } from "./field-layout.mjs";
import { kills } from "./field-kills.mjs";

const KILLS = Number(process.env.FARHOP_KILLS ?? 8);
const phoneSize = { width: 360, height: 640 };
const shots = join(root, "target/screenshots");
mkdirSync(shots, { recursive: true });
const work = makeWork();
const browser = await chromium.launch({ executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium", args: ["--no-sandbox"] });

const told = (page) => page.textContent("#told");
const says = (page, words, ms = 12_000) => page.waitForFunction((w) => document.getElementById("told").textContent.includes(w), words, { timeout: ms });
const online = (page) => page.evaluate(() => dispatchEvent(new Event("online")));
const waits = (page) => page.locator("#waiting-list li").count();

async function type(page, words) {
  await page.fill("#words", words);
  await page.press("#words", "Enter");
  await page.waitForFunction((w) => document.getElementById("told").textContent.includes(w), words);
}

// The first page loads itself anew when its plan is ready: a navigation that falls into that moment is asked for again.
async function go(page, url) {
  for (let left = 3; ; left -= 1) {
    try {
      return await page.goto(url);
    } catch (error) {
      if (left === 0 || !/interrupted by another navigation/.test(error.message)) throw error;
      await page.waitForLoadState();
    }
  }
}

async function open(context, server, path = "/field") {
  const page = await context.newPage();
  page.on("pageerror", (e) => check(false, `page: ${e.message}`));
  if (server.phrase && !(await context.cookies()).some((c) => c.name === "farhop_session")) {
    await page.goto(`${server.url}/enter#${server.phrase}`);
    await page.waitForURL((url) => url.pathname === "/");
  }
  await go(page, server.url + path);
  if (path === "/field") await page.waitForSelector("#say");
  return page;
}

// Nothing lies over the line that says how things are.
async function lineIsSeen(page, when) {
  const seen = await page.evaluate(() => {
    const box = document.getElementById("told").getBoundingClientRect();
    const at = document.elementFromPoint(box.x + box.width / 2, box.y + box.height / 2);
    return box.top >= 0 && box.bottom <= innerHeight && at?.closest("#told") !== null;
  });
  check(seen, `${when}: the line is not on the screen`);
}

async function goneAndBack(context, server, how) {
  let page = await open(context, server);
  await page.waitForFunction(() => /opens again|not encrypted/.test(document.getElementById("holds").textContent));
  await page.waitForFunction(() => document.getElementById("holds").textContent.includes("opens again"), null, { timeout: 20_000 });
  await type(page, "volt 12.9");
  await says(page, "is kept");
  server.kill();
  for (const volts of ["12.8", "12.7", "12.6"]) await type(page, `volt ${volts}`);
  await says(page, "3 entries wait");
  await lineIsSeen(page, `${how}, gone`);
  // Undo of exactly the entry that was meant, not of the newest that is stored.
  await page.click("#back button");
  await says(page, "2 entries wait");
  check((await told(page)).includes("Taken back: volt 12.6"), `${how}: undo while gone says ${await told(page)}`);
  await page.screenshot({ path: join(shots, `field-gone-${how}.png`) });
  await page.reload();
  await page.waitForSelector("#say");
  await says(page, "2 entries wait");
  await page.close();
  page = await open(context, server);
  await says(page, "2 entries wait");
  check((await waits(page)) === 2, `${how}: the list of what waits has ${await waits(page)} lines`);
  await server.start();
  await online(page);
  await says(page, "is kept", 20_000);
  await page.waitForFunction(() => document.getElementById("waiting-list").hidden);
  const notes = server.told();
  for (const volts of ["12.9", "12.8", "12.7"]) check(server.times(notes, `battery at ${volts} V`) === 1, `${how}: ${volts} V stands ${server.times(notes, `battery at ${volts} V`)} times`);
  check(server.times(notes, "12.6 V") === 0, `${how}: what was taken back while gone is in the journal`);
  await page.close();
}

async function hanging(context, server, how) {
  const page = await open(context, server);
  await sleep(500);
  server.hang();
  const start = Date.now();
  await type(page, "volt 12.51");
  await says(page, "does not answer", 9000);
  const seconds = (Date.now() - start) / 1000;
  check(seconds < 7, `${how}: a hanging computer is noticed after ${seconds} s`);
  await type(page, "volt 12.52");
  server.goOn();
  await online(page);
  await page.waitForFunction(() => document.getElementById("waiting-list").hidden, null, { timeout: 20_000 });
  await says(page, "is kept");
  const notes = server.told();
  for (const volts of ["12.51", "12.52"]) check(server.times(notes, `battery at ${volts} V`) === 1, `${how}: hanging: ${volts} V stands ${server.times(notes, `battery at ${volts} V`)} times`);
  await page.close();
}

// Answers that a page can get, given by the browser in place of the server, then the server again.
async function answers(context, server, how) {
  const page = await open(context, server);
  const refused = (kind, reason) => JSON.stringify({ refused: { kind, reason, remedy: "" } });
  const cases = [
    [429, refused("temporary", "Too many requests."), "Too many requests."],
    [500, "broken", "busy"],
    [503, refused("temporary", "The journal is locked."), "locked"],
    [200, "<p>Welcome to this network</p>", "does not answer"],
    [401, refused("phrase", "The computer does not know this device."), "pass phrase"],
  ];
  for (const [status, body, words] of cases) {
    // Who is not known may not ask either.
    const where = status === 401 ? /\/field\/(entry|here)/ : /\/field\/entry/;
    await page.route(where, (route) => route.fulfill({ status, body, contentType: "application/json" }));
    await type(page, `note answer ${status}`);
    await says(page, words);
    check((await waits(page)) === 1, `${how}: after ${status} ${await waits(page)} entries wait`);
    check((await page.isVisible("#come-in")) === (status === 401), `${how}: ${status} and the phrase is asked for: ${await page.isVisible("#come-in")}`);
    await page.unroute(where);
    await online(page);
    await says(page, "is kept");
    check(server.times(server.told(), `note: answer ${status}`) === 1, `${how}: the entry after ${status} is not there once`);
  }
  // One entry on which the computer fails does not hold up the next.
  await page.route("**/field/entry", (route) => (route.request().postData().includes("stubborn") ? route.fulfill({ status: 500, body: "" }) : route.continue()));
  await type(page, "note stubborn");
  await type(page, "note willing");
  await says(page, "note willing");
  await says(page, "is kept");
  check(server.times(server.told(), "note: willing") === 1, `${how}: an entry that fails holds up the next`);
  await page.unroute("**/field/entry");
  await online(page);
  await page.waitForFunction(() => document.getElementById("waiting-list").hidden);
  check(server.times(server.told(), "note: stubborn") === 1, `${how}: the stubborn entry is lost`);
  await page.close();
}

// Refused entries step aside where they can be seen, changed and discarded; the others go on.
async function aside(context, server, how) {
  const page = await open(context, server);
  await type(page, "vlot 12.4");
  await says(page, "Not entered: vlot 12.4");
  const near = await page.evaluate(() => document.querySelector(".note.wrong")?.getBoundingClientRect());
  check(near && near.top >= 0 && near.top < phoneSize.height, `${how}: the refusal stands at ${near?.top} px`);
  await type(page, "volt 12.41");
  await says(page, "is kept: volt 12.41");
  // More than any field takes: the server itself says that it is too long.
  await page.evaluate(() => { document.getElementById("words").value = `note ${"x".repeat(1_100_000)}`; });
  await page.press("#words", "Enter");
  await page.waitForFunction(() => document.querySelectorAll("#aside li").length === 2, null, { timeout: 15_000 });
  await page.click("#aside li:nth-child(2) button[data-do=discard]");
  await page.waitForFunction(() => document.querySelectorAll("#aside li").length === 1);
  await page.click("#back button");
  await page.waitForFunction(() => document.querySelectorAll("#aside li").length === 2);
  await page.click("#aside li:nth-child(2) button[data-do=discard]");
  await page.click("#aside li:first-child button[data-do=change]");
  await page.waitForFunction(() => document.getElementById("words").value === "vlot 12.4");
  await type(page, "volt 12.42");
  await says(page, "is kept: volt 12.42");
  await page.waitForFunction(() => document.getElementById("aside").hidden);
  await page.close();
}

// Any station and channel, several messages in one link: one entry, with the ids.
async function calls(context, server, how) {
  const page = await open(context, server);
  if (!(await page.evaluate(() => document.getElementById("another").open))) await page.click("#another > summary");
  await page.click("#any .outcomes button[value=no-answer]");
  await page.waitForSelector("#any :invalid, .note.wrong", { state: "attached" });
  await page.click("label.pick:has(#any-alder-7\\.0515)");
  const ticks = await page.$$eval("#any [name=message]", (list) => list.map((box) => box.value));
  for (const id of ticks.slice(0, 2)) await page.check(`#any-message-${id}`);
  await page.fill(`#any-part-${ticks[1]}`, "70");
  await page.click("#any button[value=sent]");
  await says(page, "is kept: Alder on 7.0515 MHz: sent");
  const sent = server.events().filter((e) => e.called?.station === "alder").at(-1)?.called.outcome.session?.sent;
  check(JSON.stringify(sent?.map((s) => [s.message, s.whole])) === JSON.stringify([[ticks[0], true], [ticks[1], false]]), `${how}: the link holds ${JSON.stringify(sent)}`);
  for (const value of ["no-answer", "busy-channel", "linked"]) {
    if (!(await page.evaluate(() => document.getElementById("another").open))) await page.click("#another > summary");
    await page.click("label.pick:has(#any-coral-10\\.1475), label.pick:has([id^=any-coral])");
    const before = server.events().length;
    await page.click(`#any .outcomes button[value=${value}]`);
    await says(page, "is kept: Coral");
    await page.waitForFunction(() => document.getElementById("waiting-list").hidden);
    // The words may still be those of the call before: what counts is the entry, and that no second one follows.
    for (let waited = 0; server.events().length === before && waited < 5_000; waited += 50) await sleep(50);
    await sleep(200);
    check(server.events().length === before + 1, `${how}: ${value} is not one entry`);
  }
  // Taking back one that is stored, from the list, while newer ones stand.
  const before = server.events().length;
  await page.waitForSelector(".entries li:nth-child(2) button");
  await page.click(".entries li:nth-child(2) button");
  await says(page, "Taken back");
  await page.waitForFunction(() => document.getElementById("waiting-list").hidden);
  check(server.events().length === before - 1, `${how}: taking back from the list`);
  await page.close();
}

// A queue of one outing does not go into another's journal, and comes home.
async function otherOuting(context, server, how) {
  const page = await open(context, server);
  server.kill();
  await type(page, "volt 12.31");
  await says(page, "entry waits");
  await server.start(server.other);
  await online(page);
  await says(page, "Not entered: volt 12.31");
  check((await page.textContent("#aside")).includes("another outing"), `${how}: ${await page.textContent("#aside")}`);
  check(server.told().every((line) => !line.includes("12.31")), `${how}: the entry is in another outing's journal`);
  const fresh = await open(context, server);
  check(await fresh.isVisible("#aside"), `${how}: the page of the other outing does not show what waits for the first`);
  await fresh.close();
  server.kill();
  await server.start(server.own);
  await online(page);
  await page.waitForFunction(() => document.getElementById("aside").hidden, null, { timeout: 20_000 });
  await says(page, "is kept: volt 12.31");
  check(server.times(server.told(), "battery at 12.31 V") === 1, `${how}: the entry did not come home`);
  await page.close();
}

// Packing ticks stay with their outing.
async function ticks(context, server, how) {
  const kit = await open(context, server, "/kit");
  const ticked = () => kit.locator("[data-tick]:checked").count();
  await kit.waitForSelector("#packing", { timeout: 60_000 });
  await kit.click("[data-tick] >> nth=0");
  check((await ticked()) === 1, `${how}: the tick does not stand`);
  server.kill();
  await server.start(server.other);
  await kit.reload();
  await kit.waitForSelector("#packing", { timeout: 60_000 });
  check((await ticked()) === 0, `${how}: ${await ticked()} ticks of one outing stand in another`);
  check(await kit.evaluate(() => Object.keys(localStorage).filter((k) => k.startsWith("farhop-ticks:")).length === 1), `${how}: the tick is lost`);
  server.kill();
  await server.start(server.own);
  await kit.close();
}

// Two phones, and two pages of one phone.
async function together(_, server) {
  const contexts = await Promise.all([1, 2].map(() => browser.newContext({ viewport: phoneSize })));
  const pages = [];
  for (const context of contexts) {
    server.newPhrase();
    pages.push(await open(context, server));
  }
  const second = await open(contexts[0], server);
  await Promise.all(pages.map((page, i) => type(page, `note phone ${i}`)));
  server.kill();
  await Promise.all([type(pages[0], "note page one"), type(second, "note page two"), type(pages[1], "note phone two")]);
  await server.start();
  await Promise.all([...pages, second].map(online));
  for (const page of [...pages, second]) await page.waitForFunction(() => document.getElementById("waiting-list").hidden, null, { timeout: 20_000 });
  for (const page of [pages[0], second]) await says(page, "is kept");
  const notes = server.told();
  for (const words of ["phone 0", "phone 1", "page one", "page two", "phone two"]) check(server.times(notes, `note: ${words}`) === 1, `two phones: "${words}" stands ${server.times(notes, `note: ${words}`)} times`);
  await Promise.all(contexts.map((context) => context.close()));
}

// The server does not know the phone any more: nothing is lost, the phrase is asked for in place.
async function forgotten(context, server) {
  const page = await open(context, server);
  server.kill();
  server.forget();
  await server.start();
  await type(page, "note after the phrase");
  await says(page, "pass phrase");
  await page.close();
  // Loaded anew, the page leads by way of the door back to where entries wait.
  const again = await context.newPage();
  await again.goto(`${server.url}/field`);
  await again.fill("#enter #phrase", server.phrase);
  await again.click("#enter button");
  await again.waitForURL((url) => url.pathname === "/field");
  await says(again, "is kept", 20_000);
  check(server.times(server.told(), "note: after the phrase") === 1, "the entry that met a 401 is lost");
  server.kill();
  server.forget();
  await server.start();
  await type(again, "note in place");
  await again.waitForSelector("#come-in:not([hidden])");
  await again.fill("#phrase", server.phrase);
  await again.click("#come-in button");
  await says(again, "is kept");
  check(server.times(server.told(), "note: in place") === 1, "the entry is not kept after the phrase in place");
  await again.close();
}

// A clock an hour ahead: said, and not believed; the age counts, also over a reload.
async function wrongClock(_, server) {
  const context = await browser.newContext({ viewport: phoneSize });
  await context.addInitScript(() => { const now = Date.now.bind(Date); Date.now = () => now() + 3_600_000; });
  server.newPhrase();
  const page = await open(context, server);
  await page.waitForSelector("#clocks:not([hidden])");
  check((await page.textContent("#clocks")).includes("60 minutes ahead"), `clock: ${await page.textContent("#clocks")}`);
  server.kill();
  const at = Date.now();
  await type(page, "volt 12.21");
  await sleep(3000);
  await server.start();
  await online(page);
  await says(page, "is kept");
  const entry = server.list().find((e) => e.sentence.includes("12.21 V"));
  const off = Math.abs(Date.parse(entry?.account.at) - at) / 1000;
  check(off <= 2, `clock: the entry stands ${off} s from the tap`);
  await context.close();
}

// Plain http on the network: no copy of the page, and the page says so; entries wait all the same.
async function plainNetwork(_, server) {
  const address = server.addresses.find((a) => !a.includes("127.0.0.1"));
  if (!address) { console.log("no address on a network: that case was not tried"); return; }
  const context = await browser.newContext({ viewport: phoneSize });
  server.newPhrase();
  const page = await open(context, { url: address, phrase: server.phrase });
  await page.waitForFunction(() => document.getElementById("holds").textContent.includes("keep it open"));
  server.kill();
  await type(page, "volt 12.11");
  await says(page, "entry waits");
  // Going back to the page shows the browser's own copy.
  await page.goto("about:blank");
  await page.goBack();
  await says(page, "entry waits");
  await server.start();
  const second = await open(context, { url: address, phrase: server.phrase });
  await page.close();
  await second.waitForFunction(() => document.getElementById("waiting-list").hidden, null, { timeout: 20_000 });
  await sleep(500);
  check(server.times(server.told(), "battery at 12.11 V") === 1, "plain http: an entry of a closed page is lost");
  await context.close();
}

const started = Date.now();
const servers = [];

// Some cases with a server of their own.
async function mode(how, share, port, parts) {
  const server = new Server(work, how, share, port, outingFile(work, `${how}-own`, 0), outingFile(work, `${how}-other`, 1));
  servers.push(server);
  await server.start();
  const context = await browser.newContext({ viewport: phoneSize });
  for (const part of parts) {
    const since = Date.now();
    await part(context, server, how).catch((e) => check(false, `${how}, ${part.name}: ${e.message.split("\n").slice(0, 3).join(" ")}`));
    console.log(`${how}: ${part.name} ${((Date.now() - since) / 1000).toFixed(1)} s`);
    for (const page of context.pages()) await page.close();
    server.goOn();
    if (!server.child) await server.start(server.own);
  }
  await context.close();
  server.kill();
}

const screens = (context, server) => layout(browser, server, shots);
const killed = (context, server) => kills(context, server, open, KILLS);
try {
  // Much of it is waiting: it goes on side by side.
  await Promise.all([
    mode("alone", false, 8921, [goneAndBack, hanging, otherOuting, ticks, killed]),
    mode("alone2", false, 8922, [answers, aside, calls, screens]),
    mode("shared", true, 8923, [goneAndBack, hanging, otherOuting, forgotten]),
    mode("shared2", true, 8924, [answers, aside, calls, together, wrongClock, plainNetwork]),
  ]);
} finally {
  await browser.close();
  servers.forEach((server) => server.kill());
  rmSync(work, { recursive: true, force: true });
}
console.log(`the field log took ${((Date.now() - started) / 1000).toFixed(0)} s`);
if (faults.length > 0) {
  console.log(`${faults.length} faults`);
  process.exit(1);
}
console.log("The field log is well.");
