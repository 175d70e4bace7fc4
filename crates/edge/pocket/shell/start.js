// The first visit: puts everything on this phone, then the pages come from here.
const line = document.getElementById("line");

async function start() {
  if (!globalThis.isSecureContext || !navigator.serviceWorker) {
    line.textContent = "This browser cannot keep the pages: open this address with https, or in another browser. Nothing was put on this phone.";
    return;
  }
  await navigator.serviceWorker.register("/worker.js", { updateViaCache: "none" });
  await navigator.serviceWorker.ready;
  if (!navigator.serviceWorker.controller) {
    await new Promise((done) => navigator.serviceWorker.addEventListener("controllerchange", done, { once: true }));
  }
  location.reload();
}

start().catch((error) => {
  line.textContent = `It could not be put on this phone: ${error.message}. Check the network, and load the page again.`;
});
