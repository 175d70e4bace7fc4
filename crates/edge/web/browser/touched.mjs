// What a hand does on each page, one thing after the other, and after each of them nothing is in the way of somebody who does not see or
// point: axe runs again. An outing is made by map, file and table, an antenna is turned by its compass, a fault is looked for.
// usage: node touched.mjs [FARHOP]
import { rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { accessible, check, ended, launched, serve, shots, up, watched, workFolder } from "./walking.mjs";

const work = workFolder("touched");
const phone = { width: 390, height: 844 };
const browser = await launched();
const demo = serve(work, ["--demo"], 8961);
const own = serve(work, ["trip/outing.toml"], 8962);

// Does a thing, and lets the judge look.
async function then(page, name, doing) {
  await doing();
  await accessible(page, name);
}
const focused = (page) => page.evaluate(() => document.activeElement.id || document.activeElement.tagName);

async function open(viewport, name) {
  const context = await browser.newContext({ viewport, bypassCSP: true });
  const page = await context.newPage();
  watched(page, name);
  return page;
}

const unfold = (page) => page.evaluate(() => document.querySelectorAll("details").forEach((fold) => { fold.open = true; }));

// Presses what sends a form, and waits for the page that comes.
const sends = (page, what) => Promise.all([page.waitForNavigation(), page.click(what)]);

// A place by touching the map, by words, by a file; what is wrong has a way to its field.
async function making() {
  const page = await open(phone, "making");
  await page.goto(`${own.url}/edit`);
  await then(page, "edit-begun", () => sends(page, "text=Begin from nothing"));
  check((await page.inputValue("#file")).includes("[kit.modem]"), "an outing from nothing has no modem");
  await then(page, "edit-place", () => sends(page, "button[value=site]"));
  await page.waitForFunction(() => document.activeElement.id === "site.0.place" || document.activeElement.id === "site.0.name", null, { timeout: 5000 })
    .catch(async () => check(false, `after a place is added the focus is at ${await focused(page)}`));
  const place = page.locator('[id="site.0.place"]');
  await then(page, "edit-map", async () => {
    await page.locator("details.point summary").first().click();
    await page.waitForSelector(".spot svg");
  });
  // South-east of the middle of a map of the whole Earth, then the same spot nearer and nearer.
  const touch = async (right, down) => {
    const before = await place.inputValue();
    const box = await page.locator(".spot svg").boundingBox();
    await page.mouse.click(box.x + box.width * right, box.y + box.height * down);
    await page.waitForFunction((old) => document.getElementById("site.0.place").value !== old, before);
    return (await place.inputValue()).split(",").map(Number);
  };
  await page.locator(".spot svg").scrollIntoViewIfNeeded();
  const [lat, lon] = await touch(0.7, 0.6);
  check(lat < 0 && lon > 0, `a touch to the south-east of 0,0 is ${lat}, ${lon}`);
  const [nearLat] = await touch(0.5, 0.4);
  check(nearLat > lat, `a touch to the north went from ${lat} to ${nearLat}`);
  const moved = await place.inputValue();
  await then(page, "edit-map-keys", async () => {
    await page.locator(".spot button", { hasText: "East" }).focus();
    await page.keyboard.press("Enter");
    await page.waitForFunction((old) => document.getElementById("site.0.place").value !== old, moved);
  });
  for (const words of ["43°25.92'S 170°50.1'E", "-43.432 170.835", "RE56kn"]) {
    await unfold(page);
    await page.fill('[id="site.0.place"]', words);
    await sends(page, ".values .main");
    const said = await page.evaluate(() => document.getElementById("site.0.place").closest("label").textContent);
    check(said.includes("-43.4") && said.includes("170.8"), `"${words}" is understood as ${said}`);
  }
  await page.waitForFunction(() => document.activeElement.id === "problems", null, { timeout: 5000 })
    .catch(async () => check(false, `after a save with errors the focus is at ${await focused(page)}`));
  await then(page, "edit-problem", () => page.click('#problems a[href="#outing.start"]'));
  check((await focused(page)) === "outing.start", `the way of a problem leads to ${await focused(page)}`);
  await page.screenshot({ path: join(shots, "edit-problems.png"), fullPage: true });
  // A GPX file of this device, with a remark in the outing that must stay.
  const file = join(work, "walk.gpx");
  writeFileSync(file, '<gpx><wpt lat="-43.48" lon="170.9"><ele>1720</ele><name>Kea ridge</name></wpt></gpx>');
  const text = await page.inputValue("#file");
  await page.fill("#file", `# mine to keep\n${text}`);
  await sends(page, "#text .main");
  await unfold(page);
  await page.setInputFiles("[data-fill=gpx]", file);
  await page.waitForFunction(() => document.getElementById("gpx").value.includes("Kea ridge"));
  await then(page, "edit-gpx", () => sends(page, "text=Add these places"));
  const after = await page.inputValue("#file");
  check(after.includes("# mine to keep") && after.includes("Kea ridge") && after.includes("1720"), `after GPX: ${after}`);
  await unfold(page);
  check((await page.locator(".kind svg").count()) >= 9, "the kinds of antenna are not drawn");
  await page.check("input[name=kind][value=end-fed]");
  await then(page, "edit-antenna", () => sends(page, 'button[value="kit.antenna"]'));
  check((await page.locator(".hung svg").count()) === 1, "the antenna that was added is not drawn");
  await page.selectOption("select[name=common]", "tuner");
  await then(page, "edit-common", () => sends(page, "button[value=common]"));
  check((await page.inputValue("#file")).includes("[kit.tuner]"), "the common part is not in the kit");
  await page.context().close();
}

// The compass on the drawing and the slider say the same.
async function turning() {
  for (const [name, viewport] of [["phone", phone], ["laptop", { width: 1366, height: 850 }]]) {
    const page = await open(viewport, `turning-${name}`);
    // The first antenna that has a direction, wherever it hangs.
    const pages = await (await fetch(`${demo.url}/antennas`)).text();
    const ids = (list) => [...pages.match(new RegExp(`name="${list}".*?</select>`, "s"))[0].matchAll(/value="([^"]+)"/g)].map((m) => m[1]);
    let found = false;
    for (const site of ids("site")) {
      for (const antenna of ids("antenna")) {
        await page.goto(`${demo.url}/antennas?site=${site}&antenna=${antenna}`);
        found = (await page.locator(".compass").count()) > 0;
        if (found) break;
      }
      if (found) break;
    }
    if (!found) { console.log("no antenna of the demo has a direction: turning was not tried"); return; }
    await page.locator(".compass").first().scrollIntoViewIfNeeded();
    const slider = page.locator("input[name=direction]");
    const before = Number(await slider.inputValue());
    const at = await page.evaluate(() => {
      const box = document.querySelector(".compass circle:last-of-type").getBoundingClientRect();
      const all = document.querySelector(".compass circle:nth-of-type(2)").getBoundingClientRect();
      return { x: box.x + box.width / 2, y: box.y + box.height / 2, mx: all.x + all.width / 2, my: all.y + all.height / 2 };
    });
    // A quarter turn to the right around the middle.
    const [dx, dy] = [at.x - at.mx, at.y - at.my];
    await then(page, `turned-${name}`, async () => {
      await page.mouse.move(at.x, at.y);
      await page.mouse.down();
      for (let step = 1; step <= 9; step += 1) {
        const turn = (step * Math.PI) / 18;
        await page.mouse.move(at.mx + dx * Math.cos(turn) - dy * Math.sin(turn), at.my + dx * Math.sin(turn) + dy * Math.cos(turn));
      }
      await page.mouse.up();
      await page.waitForFunction((deg) => document.querySelector(".compass").dataset.deg === `${deg}.0`, await slider.inputValue());
    });
    const after = Number(await slider.inputValue());
    check((after - before + 360) % 360 === 90, `${name}: a quarter turn went from ${before} to ${after}`);
    // The same by the keyboard.
    await slider.focus();
    await page.keyboard.press("ArrowLeft");
    await page.waitForFunction((deg) => document.querySelector(".compass").dataset.deg === `${deg}.0`, String((after + 355) % 360));
    await page.waitForFunction(() => document.querySelector("#effect table"), null, { timeout: 60_000 });
    await accessible(page, `turned-keys-${name}`);
    await page.context().close();
  }
}

// Hours, energy, kit, the map of the outing: each control that changes the page.
async function others() {
  for (const [name, viewport] of [["phone", phone], ["laptop", { width: 1366, height: 850 }]]) {
    const page = await open(viewport, `others-${name}`);
    await page.goto(demo.url);
    await then(page, `outing-hour-${name}`, async () => {
      const part = page.waitForResponse((r) => r.url().includes("/map?hour="));
      await page.locator("#map + .row a, .map .row a").last().click();
      await part;
    });
    await then(page, `outing-why-${name}`, () => unfold(page));
    await page.goto(`${demo.url}/hours`);
    await then(page, `hour-open-${name}`, async () => { await page.click(".strips td.best a"); await page.waitForSelector("#detail.open"); });
    // Beside the table nothing needs to be closed.
    if (name === "phone") await then(page, "hour-closed", () => page.click("#detail .close"));
    if (name === "phone") check(await page.evaluate(() => document.activeElement.matches(".strips td a")), `${name}: the focus does not return to the hour`);
    await page.goto(`${demo.url}/energy`);
    await page.evaluate(() => { const slider = document.querySelector("input[name=moved]"); slider.value = 2; slider.dispatchEvent(new Event("input", { bubbles: true })); });
    await then(page, `energy-moved-${name}`, () => sends(page, "main form button:has-text('See')"));
    await page.goto(`${demo.url}/kit`);
    await then(page, `kit-ticked-${name}`, () => page.locator("[data-tick]").first().check());
    if (name === "phone") {
      await page.goto(demo.url);
      await then(page, "more-open", () => page.click(".ways .more"));
    }
    await page.context().close();
  }
}

// A search for a fault: nothing ticked is said in place; answers, undo, begin again.
async function fault() {
  const page = await open(phone, "fault");
  await page.goto(`${demo.url}/fault`);
  if (await page.locator("button[value=over]").count()) await sends(page, "button[value=over]");
  page.removeAllListeners("console");
  await then(page, "fault-nothing", () => sends(page, "button[value=begin]"));
  check((await page.textContent("fieldset.choices")).includes("one box or more"), "nothing ticked is not said in place");
  await page.check("[data-seen='2']");
  await then(page, "fault-begun", () => sends(page, "button[value=begin]"));
  check(/This first, because/.test(await page.textContent("main")), "no word says why this check comes first");
  check((await page.locator("form.answers button[value=undo], form.answers button[value=over]").count()) === 0, "undo stands among the answers");
  await then(page, "fault-answered", () => sends(page, "button[value=ok]"));
  await then(page, "fault-undone", () => sends(page, "button[value=undo]"));
  await then(page, "fault-over", () => sends(page, "button[value=over]"));
  await page.context().close();
}

try {
  await up(demo.url);
  for (const part of [making, turning, others, fault]) {
    await part().catch((error) => check(false, `${part.name} broke off: ${error.message.split("\n").slice(0, 4).join(" ")}`));
    console.log(`${part.name} done`);
  }
} finally {
  await browser.close();
  demo.child.kill();
  own.child.kill();
  rmSync(work, { recursive: true, force: true });
}
ended("touched: all is well");
