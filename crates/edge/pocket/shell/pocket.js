// What a page on a phone does beyond the page itself: begins the thread that plans, and shows what the browser says about its store.
const $ = (id) => document.getElementById(id);

function plan() {
  if (!$("waiting") && !$("making")) return;
  const thread = new Worker("/planner.js");
  thread.addEventListener("message", ({ data }) => {
    thread.terminate();
    if (!data.error) return;
    const line = document.querySelector("#waiting .stage") ?? $("told");
    line.textContent = `The plan could not be made: ${data.error}.`;
  });
}

async function room() {
  const { usage, quota } = (await navigator.storage?.estimate?.()) ?? {};
  if (quota) $("room").textContent = `The store holds ${(usage / 1e6).toFixed(1)} MB of at most ${(quota / 1e6).toFixed(0)} MB.`;
  const durable = await navigator.storage?.persisted?.();
  $("durable").textContent = durable
    ? "The browser has promised to keep it until you clear it."
    : "The browser may throw it away when the phone runs out of room. Installing the page usually helps.";
  const ask = $("durable-ask");
  ask.hidden = Boolean(durable) || !navigator.storage?.persist;
  ask.addEventListener("click", async () => { await navigator.storage.persist(); room(); }, { once: true });
}

// The first thing that is logged asks the browser to keep it for good.
function durable() {
  document.addEventListener("submit", () => { navigator.storage?.persist?.(); }, { once: true });
}

function files() {
  for (const chosen of document.querySelectorAll("input[type=file][data-into]")) {
    chosen.addEventListener("change", async () => {
      const [file] = chosen.files;
      if (file) $(chosen.dataset.into).value = await file.text();
    });
  }
}

plan();
files();
if ($("room")) room();
if ($("facts")) durable();
