// What is seen: the answer of each page stands in its first part and is the one of the plan, no letter of a picture is too small, the
// night page gives red light only, colours may be forced, and somebody who has never seen the file makes an outing from nothing.
// Screenshots: target/screenshots/.
import { execFileSync } from "node:child_process";
import { rmSync } from "node:fs";
import { join } from "node:path";
import { accessible, check, ended, farhop, forceColours, launched, serve, shots, sleep, up, workFolder } from "./walking.mjs";

const work = workFolder("seen");

// Text of a page whose box ends above a height.
const above = (page, height) => page.evaluate((most) => {
  const words = [];
  const walker = document.createTreeWalker(document.querySelector("main"), NodeFilter.SHOW_TEXT);
  for (let node = walker.nextNode(); node; node = walker.nextNode()) {
    const range = document.createRange();
    range.selectNodeContents(node);
    const box = range.getBoundingClientRect();
    if (box.height > 0 && box.bottom <= most) words.push(node.textContent);
  }
  return words.join(" ").replace(/[\s\u00a0]+/g, " ");
}, height);

const browser = await launched();
const demo = serve(work, ["--demo"], 8921);
let own;
try {
  await up(demo.url);
  const plan = JSON.parse(execFileSync(farhop, ["plan", "--demo", "--json"], { maxBuffer: 1 << 26 }));
  const bottom = plan.bottom_line;
  const chance = `${bottom.percent} %`;

  // Three seconds: number, word and time of the answer stand in the first part, and are those of the plan.
  for (const [size, viewport, height] of [["phone", { width: 390, height: 844 }, 400], ["laptop", { width: 1366, height: 768 }, 500]]) {
    const context = await browser.newContext({ viewport, bypassCSP: true });
    const page = await context.newPage();
    await page.goto(demo.url);
    const outing = await above(page, height);
    check(outing.includes(chance) && outing.includes(bottom.word) && /\d\d:\d\d/.test(outing), `outing-${size}: ${chance} ${bottom.word} and its time are not in the first ${height} px: ${outing}`);
    check(outing.includes(bottom.message), `outing-${size}: the message is not named`);
    for (const [path, what] of [["hours", /\d+ % (very unlikely|unlikely|about even|likely|very likely)/], ["energy", /\d+ % left|runs dry/], ["kit", /\d+ %/], ["antennas", /\d+ calls|no call|All calls/], ["field", /\d\d:\d\d/], ["fault", /see|broken/], ["debrief", /logged|through|call/i], ["edit", /outing|draft|sound|demo/i]]) {
      await page.goto(`${demo.url}/${path}`, { waitUntil: "load" });
      const words = await above(page, height);
      check(what.test(words), `${path}-${size}: no answer in the first ${height} px: ${words}`);
    }
    await context.close();
  }

  // No letter of a picture is smaller than 12 px on a phone.
  const phone = await browser.newContext({ viewport: { width: 390, height: 844 }, bypassCSP: true });
  const page = await phone.newPage();
  const letters = () => page.evaluate(() => [...document.querySelectorAll("svg text")].flatMap((text) => {
    const svg = text.ownerSVGElement;
    const box = svg.getBoundingClientRect();
    const size = parseFloat(getComputedStyle(text).fontSize) * box.width / svg.viewBox.baseVal.width;
    return box.width > 0 && size < 11.95 ? [`${size.toFixed(1)} px "${text.textContent}" in "${svg.getAttribute("aria-label")}"`] : [];
  }));
  for (const path of ["", "hours", "antennas", "energy", "field", "kit", "debrief"]) {
    await page.goto(`${demo.url}/${path}`, { waitUntil: "load" });
    if (path === "hours") {
      await page.click(".strips td.best a");
      await page.waitForSelector("#working");
    }
    await page.evaluate(() => document.querySelectorAll("details").forEach((fold) => { fold.open = true; }));
    const small = await letters();
    check(small.length === 0, `${path || "outing"}: small letters: ${small.slice(0, 3).join("; ")} (${small.length})`);
    await accessible(page, `${path || "outing"}-unfolded`);
  }
  await phone.close();

  // Night: red light only. Forced colours: still readable.
  for (const mode of ["night", "forced"]) {
    const context = await browser.newContext({ viewport: { width: 390, height: 844 }, bypassCSP: true });
    const page = await context.newPage();
    if (mode === "night") {
      await page.goto(`${demo.url}/kit`);
      await page.click("footer button[value=night]");
    }
    for (const path of ["", "hours", "antennas", "energy", "field", "fault", "kit", "debrief", "edit"]) {
      await page.goto(`${demo.url}/${path}`, { waitUntil: "load" });
      if (mode === "forced") await forceColours(page);
      const shot = await page.screenshot({ path: join(shots, `${path || "outing"}-${mode}.png`), fullPage: true });
      if (mode === "forced") { await accessible(page, `${path || "outing"}-forced`); continue; }
      const shining = await page.evaluate(async (data) => {
        const image = await createImageBitmap(await (await fetch(`data:image/png;base64,${data}`)).blob());
        const canvas = new OffscreenCanvas(image.width, image.height);
        const paint = canvas.getContext("2d");
        paint.drawImage(image, 0, 0);
        const { data: pixels } = paint.getImageData(0, 0, image.width, image.height);
        let count = 0;
        let first = "";
        for (let i = 0; i < pixels.length; i += 4) {
          if (pixels[i + 1] > 8 || pixels[i + 2] > 8) { count += 1; first ||= `at ${(i / 4) % image.width}, ${Math.floor(i / 4 / image.width)}: ${pixels.slice(i, i + 3).join(" ")}`; }
        }
        return { count, first };
      }, shot.toString("base64"));
      check(shining.count === 0, `${path || "outing"} at night: ${shining.count} points are not red, ${shining.first}`);
    }
    await context.close();
  }

  // Somebody who has never seen the file makes an outing from nothing, by forms alone.
  own = serve(work, ["trip/outing.toml"], 8922);
  await sleep(1500);
  const maker = await browser.newContext({ viewport: { width: 1366, height: 850 }, bypassCSP: true });
  const edit = await maker.newPage();
  const begun = Date.now();
  let touches = 0;
  const press = async (name) => { await Promise.all([edit.waitForNavigation(), edit.click(name)]); touches += 1; };
  const fill = async (name, value) => { await edit.fill(`[name="${name}"]`, value); touches += 1; };
  const unfold = () => edit.evaluate(() => document.querySelectorAll("details").forEach((fold) => { fold.open = true; }));
  await edit.goto(`${own.url}/edit`);
  await press("text=Begin from nothing");
  await accessible(edit, "edit-from-nothing");
  await fill("outing.name", "Two days at the tarn");
  await fill("outing.start", "2026-12-12T08:00");
  await fill("outing.end", "2026-12-13T16:00");
  await fill("outing.time_zone", "Pacific/Auckland");
  await fill("outing.callsign", "Q3HUT");
  await press('button[value="site"]');
  await unfold();
  await fill("site.0.name", "Tarn");
  await fill("site.0.place", "-43.432, 170.835");
  await press(".values .main");
  await unfold();
  await edit.fill("#table", "callsign,lat,lon,khz\nQ0LAR,-42.96,170.69,5356\nQ0LAR,-42.96,170.69,7049.5\nQ2BEE,-45.1,170.2,3593.5");
  touches += 1;
  await press("text=Add these stations");
  await unfold();
  await edit.check("input[name=kind][value=inverted-v]");
  touches += 1;
  await press('button[value="kit.antenna"]');
  await press('button[value="kit.battery"]');
  await unfold();
  await fill("kit.battery.0.capacity_ah", "6");
  await press('button[value="message"]');
  await unfold();
  await fill("message.0.bytes", "300");
  await press(".values .main");
  await edit.screenshot({ path: join(shots, "edit-newcomer.png"), fullPage: true });
  check((await edit.textContent(".answer")).includes("sound"), `the newcomer's outing is not sound: ${await edit.textContent("main")}`);
  await up(own.url);
  await edit.goto(own.url);
  const planned = await edit.textContent(".answer");
  check(/\d+\s%/.test(planned), `the newcomer has no plan: ${planned}`);
  console.log(`newcomer: from nothing to a plan in ${touches} touches and ${((Date.now() - begun) / 1000).toFixed(0)} s by script`);

  // A draft that is not sound takes nothing away: the plan stays, and says so.
  await edit.goto(`${own.url}/edit`);
  await unfold();
  await fill("site.0.place", "somewhere");
  await press(".values .main");
  check(/draft/i.test(await edit.textContent(".answer")), "a file with errors is not called a draft");
  check((await edit.$$("[aria-invalid=true]")).length > 0, "the wrong field is not marked");
  await edit.goto(own.url);
  check(/\d+\s%/.test(await edit.textContent(".answer")) && (await edit.textContent("main")).includes("last sound version"), "the last sound version is not in use");
  await maker.close();
} catch (error) {
  check(false, `broke off: ${error.stack}`);
} finally {
  demo.child.kill();
  own?.child.kill();
  await browser.close();
  rmSync(work, { recursive: true, force: true });
}
ended("seen: all is well");
