// A thread of its own for the plan: the page stays quick, and a page that goes takes the work with it. Where much has to be made, more
// threads make shares of it.
importScripts("/engine.js", "/home.js");

const channel = new BroadcastChannel("farhop-plan");
const MOST_THREADS = 4, WORTH_SHARING = 8;
const share = new URL(self.location).searchParams.get("share");

// With the engine as it is here; where it stops because the rest of it is missing, once more with that.
async function withEngine(work) {
  try {
    return await work(false);
  } catch (error) {
    if (!(error instanceof Missing)) throw error;
    return work(true);
  }
}

async function plan() {
  // Of several tabs one plans, and the others find it done.
  await navigator.locks.request("farhop-plan", async () => {
    const content = await kept();
    const key = await planKey(content);
    if (await planThere(key)) return;
    let told = 0;
    const tell = (what, done, total) => {
      const now = performance.now();
      if (now - told < 100 && done > 0 && done < total) return;
      told = now;
      channel.postMessage({ what, done, total });
    };
    await withEngine((whole) => planned(content, key, tell, whole));
  });
  channel.postMessage({ what: "", done: 0, total: 0 });
}

async function planned(content, key, tell, whole) {
  const { engine, before } = await knowing(content, tell, whole);
  const wanting = engine.wanting();
  const threads = Math.min(MOST_THREADS, navigator.hardwareConcurrency ?? 1);
  if (threads > 1 && wanting >= WORTH_SHARING) {
    tell("antennas", 0, 0);
    const helpers = Array.from({ length: threads - 1 }, (_, index) => helped(index, threads));
    engine.share(threads - 1, threads);
    for (const bytes of await Promise.all(helpers)) await keepMade(taken(engine, bytes), before);
  }
  engine.work();
  await keepMade(engine.made(), before);
  await asked(engine, { method: "GET", path: "/", headers: [], content }, new Uint8Array());
  await keepPlan(key, engine.memory());
}

// An engine that has read the outing and knows what was made before.
async function knowing(content, tell, whole) {
  const engine = await begun(null, tell, whole);
  const before = await madeBefore().catch(() => []);
  before.forEach((bytes) => engine.take(bytes));
  await asked(engine, { method: "GET", path: "/", headers: [], content }, new Uint8Array());
  return { engine, before };
}

function taken(engine, bytes) {
  engine.take(bytes);
  return bytes;
}

// Another thread's share; nothing where it could not be made: it is made here then.
function helped(index, count) {
  return new Promise((done) => {
    const thread = new Worker(`/planner.js?share=${index},${count}`);
    const end = (bytes) => { thread.terminate(); done(bytes); };
    thread.addEventListener("message", ({ data }) => end(data.made ?? new Uint8Array()));
    thread.addEventListener("error", () => end(new Uint8Array()));
  });
}

async function made() {
  const [index, count] = share.split(",").map(Number);
  return withEngine(async (whole) => {
    const { engine } = await knowing(await kept(), () => {}, whole);
    engine.share(index, count);
    return engine.made();
  });
}

if (share) made().then((bytes) => postMessage({ made: bytes }), (error) => postMessage({ error: error.message }));
else plan().then(() => postMessage({ done: true }), (error) => postMessage({ error: error.message }));
