// The field page on small screens, lying and at twice the size: nothing lies over text, nothing is too small for a cold finger.
import { join } from "node:path";
import { check } from "./field-server.mjs";

const SIZES = [[360, 640], [740, 360], [180, 320], [370, 180]];
const LEAST_PX = 48;

// Runs in the page: what is wrong with the layout, in words.
function wrongs(least) {
  const found = [];
  const wide = document.documentElement.scrollWidth - document.documentElement.clientWidth;
  if (wide > 1) found.push(`${wide} px wider than the screen`);
  const sticks = [...document.querySelectorAll("body *")].filter((e) => ["fixed", "sticky"].includes(getComputedStyle(e).position));
  const allowed = (e) => e.id === "status" || e.classList.contains("ways") || e.id === "more";
  for (const e of sticks.filter((e) => !allowed(e))) found.push(`${e.tagName} ${e.id} ${e.className} sticks`);
  const covers = sticks.filter((e) => allowed(e) && getComputedStyle(e).position === "fixed" && e.offsetParent === null && e.getBoundingClientRect().height > 0);
  const covered = covers.reduce((sum, e) => sum + e.getBoundingClientRect().height, 0);
  const free = innerHeight - covered;
  if (free < innerHeight / 3) found.push(`only ${free} px of ${innerHeight} are free of what sticks`);
  for (const e of document.querySelectorAll("button, summary, select, input:not([type=hidden]), label.pick, label.tick")) {
    if (e.matches("label input")) continue;
    const box = e.getBoundingClientRect();
    if (box.width > 0 && e.checkVisibility() && box.height < least - 0.5) found.push(`${e.tagName} ${e.id} "${e.textContent.trim().slice(0, 20)}" is ${box.height.toFixed(0)} px high`);
  }
  // Every text can be brought to where nothing lies over it.
  const walk = document.createTreeWalker(document.querySelector("main"), NodeFilter.SHOW_TEXT);
  while (walk.nextNode()) {
    const parent = walk.currentNode.parentElement;
    if (!walk.currentNode.data.trim() || !parent.checkVisibility() || parent.closest("#status")) continue;
    parent.scrollIntoView({ block: "nearest" });
    const range = document.createRange();
    range.selectNodeContents(walk.currentNode);
    const last = () => [...range.getClientRects()].at(-1);
    // A text that is longer than the screen is read by scrolling further.
    if (last() && (last().top < 0 || last().bottom > innerHeight - covered)) scrollBy(0, last().top - free / 2);
    const box = last();
    if (!box || box.width === 0) continue;
    const over = document.elementFromPoint(Math.min(innerWidth - 1, box.x + box.width / 2), box.y + box.height / 2);
    if (over && covers.some((c) => c.contains(over))) found.push(`"${walk.currentNode.data.trim().slice(0, 30)}" lies under what sticks`);
  }
  return found;
}

export async function layout(browser, server, shots) {
  for (const [width, height] of SIZES) {
    const context = await browser.newContext({ viewport: { width, height } });
    const page = await context.newPage();
    await page.goto(`${server.url}/field`);
    await page.waitForSelector("#say");
    await page.evaluate(() => { document.getElementById("another").open = true; });
    await page.fill("#words", "vlot 12.4");
    await page.press("#words", "Enter");
    await page.waitForSelector(".note.wrong");
    for (const wrong of await page.evaluate(wrongs, LEAST_PX)) check(false, `${width}x${height}: ${wrong}`);
    await page.evaluate(() => scrollTo(0, 0));
    await page.screenshot({ path: join(shots, `field-${width}x${height}.png`) });
    if (process.env.FARHOP_WHOLE) await page.screenshot({ path: join(shots, `field-${width}x${height}-whole.png`), fullPage: true });
    await context.close();
  }
}
