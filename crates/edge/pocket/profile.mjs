// Runs an engine that counts, as wasm-split makes it, through first plans, and writes down which of its functions were asked for.
// usage: node profile.mjs ENGINE FOLDER-OF-THE-POCKET PROFILE OUTING...
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";

const [engineFile, folder, profileFile, ...outings] = process.argv.slice(2);
const shell = readFileSync(join(folder, "engine.js"), "utf8");
const { started, answerOf } = new Function(`${shell}; return { started, answerOf };`)();
let counted = null;
const main = await WebAssembly.compile(readFileSync(engineFile));
const instantiate = WebAssembly.instantiate;
WebAssembly.instantiate = async (...all) => { const instance = await instantiate(...all); counted = instance.exports; return instance; };
const month = (number) => readFileSync(join(folder, `month-${String(number).padStart(2, "0")}.bin`));
const engine = await started({ main }, null);

for (const [place, outing] of outings.entries()) {
  const slot = `outing-${place}`;
  const content = { record: { slot, text: readFileSync(outing, "utf8") }, lines: [], slots: [{ slot, text: null, entries: 0 }] };
  const get = async (path) => {
    const { told } = await answerOf(engine, { method: "GET", path, headers: [], content }, new Uint8Array(), month);
    if (told.status !== 200) throw new Error(`${outing}: ${path} is answered with ${told.status}`);
  };
  await get("/");
  // A share as another thread makes it, and what one gives to the other.
  if (engine.wanting() > 0) engine.share(0, 4);
  engine.take(engine.made());
  engine.work();
  // What only the whole plan makes comes along too with an outing that was solved before.
  engine.take(engine.made());
  await get("/");
}
const length = counted.profile(0, 0);
const at = counted.input(length);
if (counted.profile(at, length) !== length) throw new Error("the profile has another length the second time");
writeFileSync(profileFile, new Uint8Array(counted.memory.buffer, at, length));
