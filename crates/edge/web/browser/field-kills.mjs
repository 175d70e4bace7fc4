// Kills of the server between keep and answer: no acknowledged entry is lost, none stands twice.
import { watch } from "node:fs";
import { basename, dirname } from "node:path";
import { check, sleep } from "./field-server.mjs";

// Kills so many ms after the entry was on the disk: the roll-back file of the database, which comes before an entry, is gone again.
// Timers are too coarse for that: it counts the time itself.
function killAfterKeep(server, afterMs) {
  return new Promise((done) => {
    const rollBack = `${basename(server.outing, ".toml")}.journal-journal`;
    let renames = 0;
    const end = () => { clearTimeout(timer); watcher.close(); server.kill(); done(); };
    const watcher = watch(dirname(server.outing), (what, file) => {
      if (what !== "rename" || file !== rollBack || !server.child) return;
      renames += 1;
      if (renames !== 2) return;
      for (const since = performance.now(); performance.now() - since < afterMs;);
      end();
    });
    const timer = setTimeout(end, 3000);
  });
}

export async function kills(context, server, open, count) {
  const acknowledged = new Set();
  // The delay is led to where the entry is on the disk and the phone does not know it yet.
  let between = 0, before = 0, made = 0, afterMs = 0.3;
  const since = Date.now();
  const page = await open(context, server);
  // The day is not asked for again after each entry: here only the entries count.
  await page.route(/\/field(\?|$)/, (route) => route.abort());
  page.on("response", async (answer) => {
    if (!answer.url().endsWith("/field/entry") || answer.status() !== 200) return;
    const data = await answer.json().catch(() => null);
    if (data?.kept) acknowledged.add(data.kept.key);
  });
  const counted = () => server.list().filter((e) => e.sentence.startsWith("note: kill ")).length;
  // Counts those kills after which the entry was on the disk and the phone did not know.
  for (let tries = 0; between < count && tries < 4 * count + 10; tries += 1) {
    made += 1;
    const known = acknowledged.size;
    const killed = killAfterKeep(server, afterMs);
    await page.fill("#words", `note kill ${made} x`);
    await page.press("#words", "Enter");
    await killed;
    await sleep(5);
    const stored = counted() === made, answered = acknowledged.size > known;
    if (stored && !answered) between += 1;
    if (!stored) before += 1;
    if (!stored) afterMs = afterMs * 1.15 + 0.02;
    if (answered) afterMs *= 0.8;
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
  console.log(`${made} kills, ${before} before the entry was on the disk, ${between} between keep and answer: ${acknowledged.size} acknowledged, ${list.filter((e) => e.sentence.startsWith("note: kill ")).length} in the journal, ${((Date.now() - since) / 1000).toFixed(0)} s`);
  await page.close();
}
