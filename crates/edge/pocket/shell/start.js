// The first visit: puts everything on this phone, then the pages come from here.
const line = document.getElementById("line");
// An outing that came along with these files, and what its plan is made of; nothing where these end with the slash.
const OUTING = "/{outing}", MADE = "/{made}";

async function start() {
  if (!globalThis.isSecureContext || !navigator.serviceWorker) {
    line.textContent = "This browser cannot keep the pages: open this address with https, or in another browser. Nothing was put on this phone.";
    return;
  }
  await bring();
  await navigator.serviceWorker.register("/worker.js", { updateViaCache: "none" });
  await navigator.serviceWorker.ready;
  if (!navigator.serviceWorker.controller) {
    await new Promise((done) => navigator.serviceWorker.addEventListener("controllerchange", done, { once: true }));
  }
  location.reload();
}

// Only where nothing is kept here yet: what stands on a phone is its own. Without it all is made here.
async function bring() {
  if (OUTING === "/") return;
  const db = await opened();
  if ((await got(db.transaction("records", "readonly").objectStore("records").count())) > 0) return;
  const { text, files } = await (await fetch(OUTING)).json();
  const bytes = new Uint8Array(await (await fetch(MADE)).arrayBuffer());
  await within(["records", "made"], (store) => {
    store("records").put({ slot: FIRST, text, files });
    store("made").add({ bytes });
  });
}

start().catch((error) => {
  line.textContent = `It could not be put on this phone: ${error.message}. Check the network, and load the page again.`;
});
