// Walks the pocket in a real browser with the network off: put on the phone, plan, log, advice, debrief, copies; tabs killed while they
// log, two tabs at once, a full store, a new edition. Screenshots: target/screenshots/phone-*.
// usage: [ONLY=theDay,kills] node phone.mjs [FARHOP [ENGINE [KILLS]]]
import { execFileSync } from "node:child_process";
import { copyFileSync, appendFileSync, existsSync, mkdirSync, readFileSync, readdirSync, rmSync } from "node:fs";
import { join, resolve } from "node:path";
import { gzipSync } from "node:zlib";
import { Host } from "./phone-server.mjs";
import { accessible, check, ended, farhop, fault, launched, root, serve, shots, sleep, up, watched, workFolder } from "./walking.mjs";

const engine = resolve(process.argv[3] ?? join(root, "target/pocket/farhop-engine.wasm"));
const KILLS = Number(process.argv[4] ?? 40);
// What a first plan waits for (the goal was 1.2 MB), and all of the engine: neither may grow unnoticed.
const MOST_GZIPPED = 1_080_000, MOST_WHOLE_GZIPPED = 1_790_000;
const work = workFolder("phone");
const say = (words) => console.log(words);

const restOf = (file) => file.replace(/\.wasm$/, "-rest.wasm");
const gzippedOf = (file) => gzipSync(readFileSync(file), { level: 9 }).length;
const gzipped = gzippedOf(engine), rest = existsSync(restOf(engine)) ? gzippedOf(restOf(engine)) : 0;
say(`engine, gzipped: ${gzipped} bytes that a first plan waits for, ${gzipped + rest} in all`);
check(gzipped < MOST_GZIPPED, `the engine has grown to ${gzipped} bytes gzipped; at most ${MOST_GZIPPED} were to be`);
check(gzipped + rest < MOST_WHOLE_GZIPPED, `all of the engine has grown to ${gzipped + rest} bytes gzipped; at most ${MOST_WHOLE_GZIPPED} were to be`);

const folder = join(work, "host");
execFileSync(farhop, ["pocket", "-o", folder, "--engine", engine], { stdio: "pipe" });
const host = new Host(folder, Number(process.env.PORT ?? 8921));
sizes();
await host.on();
const browser = await launched();
const context = await browser.newContext({ viewport: { width: 360, height: 740 }, bypassCSP: true, acceptDownloads: true });
context.setDefaultTimeout(120_000);

const planned = (page) => page.waitForFunction(() => document.querySelector("main h1") && !document.getElementById("waiting") && !document.getElementById("line"));
async function lines(page) {
  const text = await page.evaluate(async () => (await fetch("/log/journal.jsonl")).text());
  return text.split("\n").filter(Boolean).map((line) => JSON.parse(line));
}
const post = (page, key, words) => page.evaluate(async ([key, words]) => {
  const answer = await fetch("/field/entry", { method: "POST", headers: { "Content-Type": "application/json", Accept: "application/json" }, body: JSON.stringify({ key, words }) });
  return { status: answer.status, data: await answer.json() };
}, [key, words]);

try {
  const only = process.env.ONLY?.split(",");
  for (const part of [firstVisit, everyPage, card, editAndBack, sameNumbers, theDay, handedOver, forOthers, whereAmI, battery, twoTabs, fullStore, kills, newEdition, oneFile]) {
    if (!only || part === firstVisit || only.includes(part.name)) await part();
  }
} finally {
  await browser.close();
  rmSync(work, { recursive: true, force: true });
}
ended("the pocket holds");

// What has to come over the network: the engine, what else the first plan of the demo (in the middle of December) needs, and all of it.
function sizes() {
  const all = readdirSync(folder, { recursive: true, withFileTypes: true }).filter((f) => f.isFile()).map((f) => join(f.parentPath ?? f.path, f.name));
  const sum = (files) => files.reduce((total, file) => total + gzipSync(readFileSync(file), { level: 9 }).length, 0);
  const late = /engine-rest-.*\.wasm$|month-(?!11|12|01)\d\d\.bin$|card-\d+\.woff2$|icon-\d+\.png$/;
  const kB = (files) => `${(sum(files) / 1000).toFixed(0)} kB`;
  say(`to be loaded, gzipped: ${kB(all.filter((f) => !late.test(f)))} for the first plan, ${kB(all)} in all`);
}

async function firstVisit() {
  const page = await context.newPage();
  watched(page, "first visit");
  const began = Date.now();
  await page.goto(host.url);
  await planned(page);
  const seconds = (Date.now() - began) / 1000;
  await page.waitForFunction(async () => (await fetch("/whole")).ok && !document.getElementById("coming"));
  say(`first plan, from the first visit on: ${seconds.toFixed(1)} s on this machine as it is now; all of the pages: ${((Date.now() - began) / 1000).toFixed(1)} s`);
  await host.off();
  await page.reload();
  await planned(page);
  check((await page.textContent("h1")).includes("get through"), "no plan with the network off");
  await page.close();
}

async function everyPage() {
  for (const path of ["", "hours", "field", "fault", "antennas", "energy", "kit", "debrief", "edit", "phone", "log", "log/codes", "here"]) {
    const page = await context.newPage();
    const name = path.replace("/", "-") || "outing";
    watched(page, name);
    const answer = await page.goto(`${host.url}/${path}`);
    await planned(page);
    check(answer.ok(), `${name}: ${answer.status()}`);
    check(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), `${name}: wider than the phone`);
    await accessible(page, name);
    await page.screenshot({ path: join(shots, `phone-${name}.png`), fullPage: true });
    await page.close();
  }
}

// The card with the network off, as the browser prints it: as many sides as the PDF of the program, on the same paper.
async function card() {
  const page = await context.newPage();
  watched(page, "card");
  await page.goto(`${host.url}/phone`);
  await page.click("a[href='/card']");
  await page.waitForURL(/card\/a4$/);
  await accessible(page, "card");
  const pagesOf = (file) => {
    const text = readFileSync(file, "latin1");
    const boxes = [...text.matchAll(/\/MediaBox ?\[ ?([\d.]+) ([\d.]+) ([\d.]+) ([\d.]+) ?\]/g)].map((m) => [Number(m[3]), Number(m[4])]);
    return { count: text.match(/\/Type ?\/Page\b(?!s)/g)?.length ?? 0, boxes };
  };
  for (const [paper, flags, [width, height]] of [["a4", [], [595.28, 841.89]], ["a5", ["--a5"], [419.53, 595.28]], ["letter", ["--letter"], [612, 792]]]) {
    const answer = await page.goto(`${host.url}/card/${paper}`);
    check(answer.ok(), `card ${paper}: ${answer.status()}`);
    await page.evaluate(() => document.fonts.ready);
    check(await page.evaluate(() => [...document.fonts].filter((f) => f.status === "loaded").length) === 2, `card ${paper}: its letters are not loaded`);
    const sides = await page.locator(".side svg").count();
    await page.screenshot({ path: join(shots, `phone-card-${paper}.png`), fullPage: true });
    const printed = join(shots, `phone-card-${paper}.pdf`);
    await page.pdf({ path: printed, preferCSSPageSize: true });
    const native = join(work, `card-${paper}.pdf`);
    execFileSync(farhop, ["card", join(root, "examples/demo.toml"), "-o", native, "--replace", ...flags], { stdio: "pipe" });
    const [here, there] = [pagesOf(printed), pagesOf(native)];
    check(here.count === sides, `card ${paper}: ${sides} sides come out of the printer as ${here.count} pages`);
    check(there.count === sides, `card ${paper}: ${sides} sides here, ${there.count} in the PDF of the program`);
    // Chromium rounds a page to whole pixels of 1/96 inch.
    const off = here.boxes.filter(([w, h]) => Math.abs(w - width) > 0.75 || Math.abs(h - height) > 0.75);
    check(here.boxes.length > 0 && off.length === 0, `card ${paper}: pages of ${JSON.stringify(off[0])} points`);
    say(`card on ${paper}: ${sides} sides, ${here.count} printed pages`);
  }
  await page.close();
}

// Another text is another plan; the text of before has its plan still.
async function editAndBack() {
  const page = await context.newPage();
  watched(page, "edit");
  await page.goto(`${host.url}/edit`);
  const before = await page.inputValue("#file");
  await page.fill("#file", before.replace("power_w = 5", "power_w = 4"));
  await page.click("form[action='/edit/text'] button");
  await page.waitForSelector("form[action='/edit/undo'] button");
  await page.goto(`${host.url}/`);
  await planned(page);
  // Back to the demo as a text of its own, and forth again: that plan is kept.
  for (const text of [before, before.replace("power_w = 5", "power_w = 4")]) {
    await page.goto(`${host.url}/edit`);
    await page.click("form[action='/edit/undo'] button");
    await page.waitForFunction((text) => document.getElementById("file")?.value === text, text);
    const answer = await page.goto(`${host.url}/`);
    const waits = (await answer.text()).includes('id="waiting"');
    check(text === before || !waits, "a plan that was made is made again");
    await planned(page);
  }
  await page.goto(`${host.url}/edit`);
  await page.click("form[action='/edit/undo'] button");
  await page.waitForFunction((text) => document.getElementById("file")?.value === text, before);
  await page.close();
}

// Every example gives the same numbers here and in the program.
async function sameNumbers() {
  const page = await context.newPage();
  for (const file of readdirSync(join(root, "examples")).filter((f) => f.endsWith(".toml"))) {
    const path = join(root, "examples", file);
    const native = execFileSync(farhop, ["plan", path, "--json", "--full"], { encoding: "utf8", env: { ...process.env, FARHOP_NO_CACHE: "1" }, maxBuffer: 1e9, stdio: ["ignore", "pipe", "ignore"] });
    await page.goto(`${host.url}/phone`);
    await page.fill("#outing-text", readFileSync(path, "utf8"));
    await page.click("form[action='/phone/outing'] button");
    await planned(page);
    const pocket = await page.evaluate(async () => (await fetch("/out/plan.json")).text());
    check(pocket === native, `${file}: the pocket says something else than the program: ${differing(native, pocket)}`);
    if (pocket === native) say(`${file}: the same bytes as the program, ${pocket.length} of them`);
  }
  await page.goto(`${host.url}/phone`);
  await page.click("form[action='/phone/slot'] button");
  await planned(page);
  await page.close();
}
function differing(a, b) {
  const [one, other] = [a.split("\n"), b.split("\n")];
  const at = one.findIndex((line, i) => line !== other[i]);
  const count = one.filter((line, i) => line !== other[i]).length;
  return `${count} of ${one.length} lines, the first ${at}: ${one[at]} / ${other[at]}`;
}

// A day on the hill, through the page as a hand uses it.
async function theDay() {
  let page = await context.newPage();
  watched(page, "field");
  await page.goto(`${host.url}/field`);
  await page.waitForSelector("#say");
  const before = (await lines(page)).length;
  await page.fill("#words", "volt 12.4");
  await page.click("#say button");
  await page.waitForFunction(() => /is kept/.test(document.getElementById("told").textContent));
  check((await lines(page)).length === before + 1, "the entry is not in the log");
  const calls = page.locator("form.call button[value=no-answer]").first();
  await calls.click();
  await page.waitForFunction(() => /no answer/i.test(document.getElementById("told").textContent) && /is kept/.test(document.getElementById("told").textContent));
  const began = Date.now();
  await page.goto(`${host.url}/field`);
  say(`advice after an entry: ${((Date.now() - began) / 1000).toFixed(2)} s on this machine as it is now`);
  check((await page.textContent(".answer")).length > 10, "no advice");
  await accessible(page, "field with entries");
  await page.screenshot({ path: join(shots, "phone-field-day.png"), fullPage: true });
  await page.close();
  page = await context.newPage();
  watched(page, "debrief");
  await page.goto(`${host.url}/debrief`);
  check(!(await page.textContent("main")).includes("Nothing has been logged"), "the debrief knows nothing of the day");
  await page.screenshot({ path: join(shots, "phone-debrief-day.png"), fullPage: true });
  await page.goto(`${host.url}/fault`);
  await page.locator("label.tick").first().click();
  await page.click("button[value=begin]");
  await page.waitForFunction(() => document.querySelector("h1").textContent.includes("What is broken"));
  await page.goto(`${host.url}/log`);
  const [download] = await Promise.all([page.waitForEvent("download"), page.click("a[href='/log/journal.jsonl']")]);
  const copy = join(work, "journal.jsonl");
  await download.saveAs(copy);
  const exported = readFileSync(copy, "utf8").trim().split("\n");
  check(exported.length === before + 2, `the copy of the log holds ${exported.length} entries`);
  // Over to the laptop.
  copyFileSync(join(root, "examples/demo.toml"), join(work, "outing.toml"));
  const said = execFileSync(farhop, ["log", "--import", copy], { cwd: work, encoding: "utf8", stdio: ["ignore", "pipe", "ignore"] });
  say(`on the laptop: ${said.trim().split("\n").at(-1)}`);
  await page.close();
}

// The log goes to another phone as codes would carry it, and to a laptop that shares and back: both then hold both.
async function handedOver() {
  const page = await context.newPage();
  watched(page, "log");
  await page.goto(`${host.url}/log`);
  await post(page, "phone-1", "volt 12.3");
  await page.goto(`${host.url}/log/codes`);
  const codes = await page.locator("figure.code svg").count();
  check(codes >= 1, "no codes of the log");
  // The laptop serves the same outing, and has an entry of its own.
  const laptop = join(work, "laptop");
  mkdirSync(laptop);
  copyFileSync(join(root, "examples/demo.toml"), join(laptop, "outing.toml"));
  const { child, url: there } = serve(laptop, ["outing.toml"], 8931);
  try {
    await up(there);
    const other = await context.newPage();
    await other.goto(`${there}/log`);
    await post(other, "laptop-1", "volt 12.2");
    await page.goto(`${host.url}/log`);
    const ours = await page.evaluate(async () => (await fetch("/log/journal.jsonl")).text());
    await other.goto(`${there}/log`);
    await other.fill("#log-text", ours);
    await other.click("form[action='/log'] button:not([type=button])");
    await other.waitForSelector("section[role=status] .answer");
    const theirs = await other.evaluate(async () => (await fetch("/log/journal.jsonl")).text());
    await page.fill("#log-text", theirs);
    await page.click("form[action='/log'] button:not([type=button])");
    await page.waitForSelector("section[role=status] .answer");
    const keys = (text) => text.split("\n").filter(Boolean).map((line) => JSON.parse(line).key).sort().join();
    const now = await page.evaluate(async () => (await fetch("/log/journal.jsonl")).text());
    check(keys(now) === keys(theirs) && keys(now).includes("laptop-1") && keys(now).includes("phone-1"), "phone and laptop do not hold the same log");
    await other.goto(`${there}/pocket`);
    check((await other.textContent("main")).includes("https"), "serve does not say how it comes onto a phone");
    await accessible(other, "serve: onto this phone");
    await other.close();
  } finally {
    child.kill();
  }
  await page.close();
}

// What goes to other programs: every file is there and has something in it; a bundle goes out and comes in as an outing with its log.
async function forOthers() {
  const page = await context.newPage();
  watched(page, "for others");
  await page.goto(`${host.url}/phone`);
  await post(page, "others-1", "volt 12.1");
  await page.goto(`${host.url}/phone`);
  const begins = { "outing.ics": "BEGIN:VCALENDAR", "outing.gpx": "<?xml", "outing.geojson": "{", "calls.csv": "", "plan.json": "{", "contacts.adi": "Contacts" };
  for (const [name, begin] of Object.entries(begins)) {
    const { status, text } = await page.evaluate(async (name) => { const answer = await fetch(`/out/${name}`); return { status: answer.status, text: await answer.text() }; }, name);
    check(status === 200 && text.startsWith(begin) && text.length > 60, `${name}: ${status}, ${text.slice(0, 80)}`);
  }
  const [download] = await Promise.all([page.waitForEvent("download"), page.click("a[href='/phone/outing.farhop']")]);
  const bundle = join(work, "outing.farhop");
  await download.saveAs(bundle);
  const before = (await lines(page)).length;
  execFileSync(farhop, ["bundle", "--open", bundle, "--into", join(work, "opened")], { stdio: "pipe" });
  await Promise.all([page.waitForURL(`${host.url}/`), page.setInputFiles("#bundle-file", bundle)]);
  await planned(page);
  check((await lines(page)).length === before, "the bundle did not bring its log");
  await page.goto(`${host.url}/phone`);
  await page.click("form[action='/phone/slot'] button");
  await planned(page);
  await page.close();
}

// Position and needle, when tapped for.
async function whereAmI() {
  await context.grantPermissions(["geolocation", "accelerometer", "gyroscope", "magnetometer"], { origin: host.url });
  await context.setGeolocation({ latitude: -43.6, longitude: 170.1, accuracy: 14 });
  const page = await context.newPage();
  watched(page, "here");
  await page.goto(`${host.url}/here`);
  check(!(await page.textContent(".answer")).includes("170.1"), "the position is taken without a tap");
  await page.click("#locate");
  await page.waitForURL(/lat=/);
  check(/within 14 m/.test(await page.textContent(".answer")), `where: ${await page.textContent(".answer")}`);
  await page.click("#needle");
  // The phone is asked whether the needle may be used, and turns until it may.
  await page.waitForFunction(() => {
    dispatchEvent(new DeviceOrientationEvent("deviceorientationabsolute", { alpha: 300, beta: 0, gamma: 0, absolute: true }));
    return /060° on a compass/.test(document.getElementById("heading").textContent);
  });
  say(`compass: ${await page.textContent("#heading")}`);
  await accessible(page, "here with needle");
  await page.screenshot({ path: join(shots, "phone-here-needle.png"), fullPage: true });
  await page.close();
}

// What an hour on the hill costs: the field page open and looked at, an entry every ten minutes. Processor time of the browser's own
// processes for pages and workers, from the system's books.
async function battery() {
  const parent = (pid) => Number(readFileSync(`/proc/${pid}/stat`, "utf8").split(") ").at(-1).split(" ")[1]);
  const ours = (pid) => { for (let at = pid; at > 1; at = parent(at)) if (at === process.pid) return true; return false; };
  const spent = () => readdirSync("/proc").filter((name) => /^\d+$/.test(name)).reduce((sum, pid) => {
    try {
      if (!readFileSync(`/proc/${pid}/cmdline`, "utf8").includes("--type=renderer") || !ours(Number(pid))) return sum;
      const fields = readFileSync(`/proc/${pid}/stat`, "utf8").split(") ").at(-1).split(" ");
      return sum + (Number(fields[11]) + Number(fields[12])) / 100;
    } catch { return sum; }
  }, 0);
  const page = await context.newPage();
  await page.goto(`${host.url}/field`);
  await page.waitForSelector("#say");
  await sleep(5_000);
  const before = spent();
  await sleep(60_000);
  const idle = spent() - before;
  const start = spent();
  for (let i = 0; i < 3; i += 1) {
    await post(page, `battery-${i}`, `volt 12.${i}`);
    await page.goto(`${host.url}/field`);
    await page.waitForSelector("#say");
  }
  await sleep(2_000);
  const entry = (spent() - start) / 3;
  say(`an hour of field use: ${(60 * idle + 6 * entry).toFixed(0)} s of processor time (idle ${(60 * idle).toFixed(0)} s, an entry with its advice ${entry.toFixed(1)} s, six an hour)`);
  await page.close();
}

async function twoTabs() {
  const [a, b] = [await context.newPage(), await context.newPage()];
  await Promise.all([a.goto(`${host.url}/phone`), b.goto(`${host.url}/phone`)]);
  const before = (await lines(a)).length;
  const all = [];
  for (let i = 0; i < 25; i += 1) all.push(post(a, `tab-a-${i}`, `volt 12.${i}`), post(b, `tab-b-${i}`, `volt 11.${i}`));
  const answers = await Promise.all(all);
  check(answers.every((r) => r.status === 200 && r.data.kept), "an entry of two tabs was not kept");
  const numbers = new Set(answers.map((r) => r.data.kept?.number));
  check(numbers.size === 50, `${numbers.size} numbers for 50 entries of two tabs`);
  check((await lines(b)).length === before + 50, "two tabs lost an entry");
  await a.close();
  await b.close();
}

async function fullStore() {
  const page = await context.newPage();
  await page.goto(`${host.url}/phone`);
  const cdp = await context.newCDPSession(page);
  const before = (await lines(page)).length;
  await cdp.send("Storage.overrideQuotaForOrigin", { origin: host.url, quotaSize: 1 });
  let refused = null;
  for (let i = 0; i < 400 && !refused; i += 1) {
    const answer = await post(page, `full-${i}`, `note ${"x".repeat(200)}`);
    if (!answer.data.kept) refused = answer;
  }
  const there = (await lines(page)).length;
  if (refused) {
    check(refused.data.refused?.kind === "temporary" && /room/.test(refused.data.refused.reason), `a full store says: ${JSON.stringify(refused.data)}`);
    say(`full store: ${refused.data.refused?.reason} ${refused.data.refused?.remedy}`);
  } else say("full store: this browser took 400 entries beyond the quota that it was given; not tried");
  await cdp.send("Storage.overrideQuotaForOrigin", { origin: host.url });
  const after = await post(page, "full-again", "volt 12.0");
  check(after.data.kept, `after room was made: ${JSON.stringify(after.data)}`);
  check((await lines(page)).length === there + 1 && there >= before, "a full store lost an entry");
  await page.close();
}

// A tab dies at any moment while it logs; what it was told to be kept is there afterwards.
async function kills() {
  const kept = new Set();
  let acked = 0, inflight = 0;
  for (let kill = 0; kill < KILLS; kill += 1) {
    const page = await context.newPage();
    await page.exposeFunction("acked", (key) => { kept.add(key); acked += 1; });
    await page.goto(`${host.url}/phone`);
    await page.evaluate((kill) => {
      (async () => {
        for (let i = 0; ; i += 1) {
          const key = `kill-${kill}-${i}`;
          const answer = await fetch("/field/entry", { method: "POST", headers: { "Content-Type": "application/json", Accept: "application/json" }, body: JSON.stringify({ key, words: `volt 12.${i}` }) });
          if ((await answer.json()).kept) globalThis.acked(key);
        }
      })();
    }, kill);
    await sleep(20 + Math.random() * 180);
    inflight += 1;
    const cdp = await context.newCDPSession(page);
    const crashed = page.waitForEvent("crash");
    cdp.send("Page.crash").catch(() => {});
    await crashed;
    await page.close();
    if (kill % 10 === 9 || kill === KILLS - 1) {
      const look = await context.newPage();
      await look.goto(`${host.url}/phone`);
      const there = new Set((await lines(look)).map((l) => l.key));
      const lost = [...kept].filter((key) => !there.has(key));
      check(lost.length === 0, `${lost.length} kept entries are lost after ${kill + 1} kills: ${lost.slice(0, 3)}`);
      await look.close();
    }
  }
  say(`kills: ${inflight} tabs killed while they logged, ${acked} entries told to be kept, all looked for afterwards`);
}

// A new edition takes over by its content; what was kept stays.
async function newEdition() {
  const before = await context.newPage();
  await before.goto(`${host.url}/phone`);
  const old = (await lines(before)).length;
  await before.close();
  const next = join(work, "next.wasm");
  copyFileSync(engine, next);
  if (existsSync(restOf(engine))) copyFileSync(restOf(engine), restOf(next));
  // An empty section of its own kind: the same engine with another content.
  appendFileSync(next, Buffer.from([0, 1, 0]));
  execFileSync(farhop, ["pocket", "-o", folder, "--engine", next, "--replace"], { stdio: "pipe" });
  await host.on();
  const page = await context.newPage();
  await page.goto(`${host.url}/phone`);
  await page.evaluate(async () => { await (await navigator.serviceWorker.getRegistration()).update(); });
  const edition = /Edition (\w+)/.exec(readFileSync(join(folder, "worker.js"), "utf8"))[1];
  await page.waitForFunction(async (name) => { const all = await caches.keys(); return all.length === 1 && all[0] === name; }, `farhop-${edition}`);
  await page.reload();
  check((await lines(page)).length === old, "the new edition lost entries");
  await host.off();
  await page.goto(`${host.url}/`);
  await planned(page);
  check((await page.textContent("h1")).includes("get through"), "no plan by the new edition");
  await page.close();
}

// The single file, opened as a file: it reads and logs, says that it keeps nothing, and gives the log out.
async function oneFile() {
  const file = join(work, "farhop.html");
  execFileSync(farhop, ["pocket", "--single", file, "--engine", engine], { stdio: "pipe" });
  const page = await context.newPage();
  watched(page, "single file");
  await page.goto(`file://${file}`);
  await page.waitForFunction(() => document.querySelector("h1")?.textContent.includes("get through"));
  check((await page.textContent("aside")).includes("A file keeps nothing"), "the single file does not say that it keeps nothing");
  await accessible(page, "single file");
  await page.click("nav a[href='/field']");
  await page.waitForSelector("#say");
  await page.fill("#words", "volt 12.4");
  await page.click("#say button");
  await page.waitForFunction(() => document.getElementById("told")?.textContent.includes("Kept"));
  check((await page.textContent("aside")).includes("1 entry is lost"), "the single file does not count what is not saved");
  const [download] = await Promise.all([page.waitForEvent("download"), page.click("aside a")]);
  const copy = join(work, "single.jsonl");
  await download.saveAs(copy);
  check(readFileSync(copy, "utf8").trim().split("\n").length === 1, "the log of the single file");
  await page.screenshot({ path: join(shots, "phone-single.png") });
  await page.goBack();
  await page.waitForFunction(() => !document.getElementById("told")?.textContent.includes("Kept"));
  await page.close();
}
