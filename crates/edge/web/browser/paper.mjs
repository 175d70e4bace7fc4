// On paper: every page is one sheet of A4 or two, and white: nothing is printed behind the words. PDFs: target/screenshots/.
// usage: node paper.mjs [FARHOP]
import { readFileSync, rmSync } from "node:fs";
import { join } from "node:path";
import { check, ended, launched, serve, shots, up, workFolder } from "./walking.mjs";

const MOST_SHEETS = 2;
// Of the pixels of a page as it is printed, so many at least are pure white: paper without ink.
const LEAST_WHITE = 0.75;
const pages = ["", "hours", "field", "fault", "antennas", "energy", "kit", "debrief", "edit"];
const A4 = { width: 794, height: 1123 };

// The share of white of a picture, and whether its four corners are white.
const whiteness = (page, data) => page.evaluate(async (base64) => {
  const image = await createImageBitmap(await (await fetch(`data:image/png;base64,${base64}`)).blob());
  const canvas = new OffscreenCanvas(image.width, image.height);
  const paint = canvas.getContext("2d");
  paint.drawImage(image, 0, 0);
  const { data: pixels } = paint.getImageData(0, 0, image.width, image.height);
  let white = 0;
  for (let i = 0; i < pixels.length; i += 4) if (pixels[i] === 255 && pixels[i + 1] === 255 && pixels[i + 2] === 255) white += 1;
  return white / (pixels.length / 4);
}, data.toString("base64"));

const work = workFolder("paper");
const demo = serve(work, ["--demo"], 8941);
const browser = await launched();
try {
  await up(demo.url);
  for (const theme of ["paper", "night"]) {
    const context = await browser.newContext({ viewport: A4, bypassCSP: true });
    const page = await context.newPage();
    await page.goto(demo.url);
    await page.click(`footer button[value=${theme}]`);
    for (const path of pages) {
      const name = `${path || "outing"}, ${theme}`;
      await page.emulateMedia({ media: null });
      await page.goto(`${demo.url}/${path}`, { waitUntil: "networkidle" });
      const file = join(shots, `${path || "outing"}-${theme}.pdf`);
      await page.pdf({ path: file, format: "A4", preferCSSPageSize: true });
      const sheets = readFileSync(file, "latin1").match(/\/Type \/Page\b(?!s)/g)?.length ?? 0;
      check(sheets >= 1 && sheets <= MOST_SHEETS, `${name}: ${sheets} sheets`);
      await page.emulateMedia({ media: "print" });
      const shot = await page.screenshot({ fullPage: true });
      const white = await whiteness(page, shot);
      check(white >= LEAST_WHITE, `${name}: only ${(100 * white).toFixed(0)} % of the paper is white`);
      console.log(`${name}: ${sheets} sheets, ${(100 * white).toFixed(0)} % white`);
      const hidden = await page.evaluate(() => [...document.querySelectorAll(".ways, footer, button, .button")].filter((e) => e.checkVisibility()).length);
      check(hidden === 0, `${name}: ${hidden} things to press are printed`);
    }
    await context.close();
  }
} catch (error) {
  check(false, `broke off: ${error.stack}`);
} finally {
  await browser.close();
  demo.child.kill();
  rmSync(work, { recursive: true, force: true });
}
ended("paper: all is well");
