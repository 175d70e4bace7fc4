// A thread of its own for the plan: the page stays quick, and a page that goes takes the work with it.
importScripts("/engine.js", "/home.js");

const channel = new BroadcastChannel("farhop-plan");

async function plan() {
  // Of several tabs one plans, and the others find it done.
  await navigator.locks.request("farhop-plan", async () => {
    const content = await kept();
    const key = await planKey(content);
    if (await planThere(key)) return;
    let told = 0;
    const engine = await begun(null, (what, done, total) => {
      const now = performance.now();
      if (now - told < 100 && done > 0 && done < total) return;
      told = now;
      channel.postMessage({ what, done, total });
    });
    const look = () => engine.ask({ method: "GET", path: "/", headers: [], content }, new Uint8Array());
    look();
    engine.work();
    look();
    await keepPlan(key, engine.memory());
  });
  channel.postMessage({ what: "", done: 0, total: 0 });
}

plan().then(() => postMessage({ done: true }), (error) => postMessage({ error: error.message }));
