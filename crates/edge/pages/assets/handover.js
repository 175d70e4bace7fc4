// A log leaves by the share menu or the clipboard, and comes in by a file or by codes before the camera. Each only when asked for.
const $ = (id) => document.getElementById(id);
const say = (words) => { $("handed").textContent = words; };
const textOf = async (path) => (await fetch(path)).text();

for (const button of document.querySelectorAll("button[data-share]")) {
  const file = (text) => new File([text], button.dataset.name, { type: "text/plain" });
  if (!navigator.canShare?.({ files: [file("")] })) continue;
  button.hidden = false;
  button.addEventListener("click", async () => {
    try {
      await navigator.share({ files: [file(await textOf(button.dataset.share))], title: button.dataset.name });
    } catch (error) {
      if (error.name !== "AbortError") say(`It could not be shared: ${error.message}. Save it instead.`);
    }
  });
}

for (const button of document.querySelectorAll("button[data-copy]")) {
  if (!navigator.clipboard?.writeText) continue;
  button.hidden = false;
  button.addEventListener("click", async () => {
    try {
      await navigator.clipboard.writeText(await textOf(button.dataset.copy));
      say("It is in the clipboard.");
    } catch { say("The browser does not let the clipboard be used. Save it instead."); }
  });
}

for (const chosen of document.querySelectorAll("input[type=file][data-into]")) {
  chosen.addEventListener("change", async () => {
    const [file] = chosen.files;
    if (file) $(chosen.dataset.into).value = await file.text();
  });
}

// Parts that were read stand in the text, one a line; the engine says which are missing.
for (const button of document.querySelectorAll("button[data-codes]")) {
  if (!globalThis.BarcodeDetector || !navigator.mediaDevices?.getUserMedia) continue;
  button.hidden = false;
  button.addEventListener("click", () => read($(button.dataset.codes)).catch((error) => {
    $("seen").textContent = `The camera cannot be used: ${error.message}. Hand the log over as a file.`;
  }));
}

async function read(into) {
  const detector = new BarcodeDetector({ formats: ["qr_code"] });
  const camera = $("camera");
  const stream = await navigator.mediaDevices.getUserMedia({ video: { facingMode: "environment" } });
  camera.srcObject = stream;
  camera.hidden = false;
  await camera.play();
  const seen = new Set();
  const end = Date.now() + 120_000;
  // Five looks a second, two minutes at most, and only while the camera was asked for.
  while (stream.active && Date.now() < end) {
    for (const { rawValue } of await detector.detect(camera)) if (rawValue.startsWith("FARHOP:")) seen.add(rawValue);
    const count = Number([...seen][0]?.split(":")[3] ?? 0);
    $("seen").textContent = count ? `${seen.size} of ${count} codes are read.` : "Point the camera at a code.";
    into.value = [...seen].join("\n");
    if (count && seen.size >= count) break;
    await new Promise((go) => setTimeout(go, 200));
  }
  stream.getTracks().forEach((track) => track.stop());
  camera.hidden = true;
}
