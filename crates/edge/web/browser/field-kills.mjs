// Kills of the server between keep and answer: no acknowledged entry is lost, none stands twice.
import { watch } from "node:fs";
import { basename, dirname } from "node:path";
import { check, sleep } from "./field-server.mjs";

// Kills when the journal has been written, or after a moment; gives whether the write was seen.
function killAtWrite(server, latest) {
  return new Promise((done) => {
    const name = basename(server.outing, ".toml");
    let timer = 0;
    const end = (seen) => { clearTimeout(timer); watcher.close(); server.kill(); done(seen); };
    // The roll-back file goes when the entry is on the disk.
    const watcher = watch(dirname(server.outing), (what, file) => { if (what === "rename" && file?.startsWith(`${name}.journal`)) setTimeout(() => end(true), Math.random() * latest); });
    timer = setTimeout(() => end(false), 3000);
  });
}

export async function kills(context, server, open, count) {
  const acknowledged = new Set();
  let between = 0, made = 0;
  const since = Date.now();
  const page = await open(context, server);
  // The day is not asked for again after each entry: here only the entries count.
  await page.route("**/field", (route) => route.abort());
  page.on("response", async (answer) => {
    if (!answer.url().endsWith("/field/entry") || answer.status() !== 200) return;
    const data = await answer.json().catch(() => null);
    if (data?.kept) acknowledged.add(data.kept.key);
  });
  const counted = () => server.list().filter((e) => e.sentence.startsWith("note: kill ")).length;
  // Counts those kills after which the entry was on the disk and the phone did not know.
  for (let tries = 0; between < count && tries < 3 * count; tries += 1) {
    made += 1;
    const known = acknowledged.size;
    const killed = killAtWrite(server, 4);
    await page.fill("#words", `note kill ${made} x`);
    await page.press("#words", "Enter");
    await killed;
    await sleep(5);
    if (counted() === made && acknowledged.size === known) between += 1;
    await server.start();
    await page.evaluate(() => dispatchEvent(new Event("online")));
    await page.waitForFunction(() => document.getElementById("waiting-list").hidden && document.getElementById("told").textContent.includes("is kept"), null, { timeout: 30_000 });
  }
  const list = server.list();
  for (let i = 1; i <= made; i += 1) {
    const times = list.filter((e) => e.sentence === `note: kill ${i} x`).length;
    check(times === 1, `kills: entry ${i} stands ${times} times`);
  }
  const keys = new Set(list.map((e) => e.key));
  for (const key of acknowledged) check(keys.has(key), `kills: ${key} was acknowledged and is lost`);
  check(between >= count, `kills: only ${between} of ${made} fell between keep and answer`);
  console.log(`${made} kills, ${between} of them between keep and answer: ${acknowledged.size} acknowledged, ${list.filter((e) => e.sentence.startsWith("note: kill ")).length} in the journal, ${((Date.now() - since) / 1000).toFixed(0)} s`);
  await page.close();
}
