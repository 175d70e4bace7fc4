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

// A bundle goes in as it is; the engine opens it.
function bundles() {
  for (const chosen of document.querySelectorAll("input[type=file][data-bundle]")) {
    chosen.addEventListener("change", async () => {
      const [file] = chosen.files;
      if (!file) return;
      const answer = await fetch(chosen.dataset.bundle, { method: "POST", headers: { "Content-Type": "application/zip" }, body: await file.arrayBuffer() });
      if (answer.redirected || answer.type === "opaqueredirect") return location.assign("/");
      const page = new DOMParser().parseFromString(await answer.text(), "text/html");
      $("bundle-told").textContent = page.querySelector(".wrong")?.textContent ?? "It could not be opened.";
    });
  }
}

// The browser says when the page can be put on the home screen, and asks itself.
function install() {
  if (matchMedia("(display-mode: standalone)").matches) $("install-told").textContent = "It is on the home screen.";
  addEventListener("beforeinstallprompt", (event) => {
    event.preventDefault();
    $("install").hidden = false;
    $("install").addEventListener("click", async () => { await event.prompt(); $("install").hidden = true; }, { once: true });
  });
}

// Once for each tap; the engine says what the place means.
function locate() {
  if (!navigator.geolocation) return;
  $("locate").hidden = false;
  $("locate").addEventListener("click", () => {
    $("located").textContent = "The phone is looking …";
    navigator.geolocation.getCurrentPosition(
      ({ coords }) => location.assign(`/here?lat=${coords.latitude}&lon=${coords.longitude}&within_m=${coords.accuracy}`),
      (error) => { $("located").textContent = `No position: ${error.message || "the phone gives none"}. Outside, with a free sky, try again.`; },
      { enableHighAccuracy: true, timeout: 60_000, maximumAge: 0 },
    );
  });
}

// The needle, from the tap on and as long as the page is looked at. The turn from magnetic to true is the engine's.
function compass() {
  const box = $("compass"), along = $("along");
  const kind = "ondeviceorientationabsolute" in globalThis ? "deviceorientationabsolute" : "deviceorientation";
  if (!globalThis.DeviceOrientationEvent) return;
  $("needle").hidden = false;
  $("needle").addEventListener("click", async () => {
    const allowed = (await globalThis.DeviceOrientationEvent.requestPermission?.()) ?? "granted";
    if (allowed !== "granted") { $("heading").textContent = "The browser does not let the needle be used."; return; }
    $("needle").hidden = true;
    $("heading").textContent = "Hold the phone level and turn slowly.";
    addEventListener(kind, turned);
  });
  let last = 0;
  function turned(event) {
    const magnetic = event.webkitCompassHeading ?? (event.absolute && event.alpha !== null ? 360 - event.alpha : null);
    if (magnetic === null || performance.now() - last < 250) return;
    last = performance.now();
    const off = Math.hypot(event.webkitCompassAccuracy > 0 ? event.webkitCompassAccuracy : Number(box.dataset.off), Number(box.dataset.model));
    const round = (degrees) => String(((Math.round(degrees) % 360) + 360) % 360).padStart(3, "0");
    const towards = magnetic + Number(box.dataset.east);
    const turn = ((Number(along.value) - towards + 540) % 360 + 360) % 360 - 180;
    const which = Math.abs(turn) <= off ? "that is it, as well as the needle knows" : `turn ${Math.abs(Math.round(turn))}° ${turn > 0 ? "right" : "left"}`;
    $("heading").textContent = `The phone points along ${round(towards)}° true (${round(magnetic)}° on a compass), give or take ${Math.round(off)}°: ${which}.`;
  }
}

// What a first plan does not need comes after it. Mostly all is there, and nothing is said.
const UNNOTICED_MS = 300;
async function coming() {
  const line = document.createElement("p");
  line.id = "coming";
  line.className = "small";
  line.setAttribute("role", "status");
  line.textContent = "The rest of the pages is still coming: leave the network on for a moment.";
  const timer = setTimeout(() => document.querySelector("main").append(line), UNNOTICED_MS);
  const there = await fetch("/whole").then((answer) => answer.ok, () => false);
  clearTimeout(timer);
  if (there) return line.remove();
  line.textContent = "Not all of the pages are on this phone yet. Load this page again where there is a network.";
  document.querySelector("main").append(line);
}

// The browser prints, and saves as a PDF, when it is asked to.
function paper() {
  $("print").hidden = false;
  $("print").addEventListener("click", () => globalThis.print());
}

plan();
bundles();
coming();
if ($("print")) paper();
if ($("install")) install();
if ($("locate")) locate();
if ($("compass")) compass();
if ($("room")) room();
if ($("facts")) durable();
