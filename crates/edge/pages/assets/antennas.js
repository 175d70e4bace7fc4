// Handles work it out again as they move: first the picture, then what it changes; the last wish wins.
const form = document.getElementById("choose");
const wishes = { part: null, effect: null };
const running = { part: false, effect: false };
async function ask(what, into) {
  if (running[what]) return;
  running[what] = true;
  while (wishes[what] !== null) {
    const query = wishes[what];
    wishes[what] = null;
    try {
      const answer = await fetch(`/antennas/${what}?${query}`);
      if (answer.ok && wishes[what] === null) document.getElementById(into).innerHTML = await answer.text();
    } catch { /* What stood there stays. */ }
  }
  running[what] = false;
}
let rest = 0;
form?.querySelectorAll("input[type=range]").forEach((slider) => slider.addEventListener("input", () => {
  slider.parentElement.querySelector("output").textContent = slider.value + slider.dataset.unit;
  const query = new URLSearchParams(new FormData(form)).toString();
  wishes.part = query;
  ask("part", "solved");
  document.getElementById("effect").textContent = "Weighing what that changes …";
  clearTimeout(rest);
  rest = setTimeout(() => { wishes.effect = query; ask("effect", "effect"); }, 400);
}));
form?.querySelectorAll("select").forEach((choice) => choice.addEventListener("change", () => form.submit()));
// The direction by hand: the grip of the compass is drawn around its middle, and the slider of the direction follows. The picture is
// made anew meanwhile, so the place that holds it keeps the pointer.
const solved = document.getElementById("solved");
const direction = form?.querySelector("input[name=direction]");
let held = null;
const bearing = (event) => {
  const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(held.toDrawing);
  return Math.atan2(at.x - held.x, held.y - at.y) * 180 / Math.PI;
};
solved?.addEventListener("pointerdown", (event) => {
  const compass = event.target.closest?.(".compass");
  if (!compass || !direction) return;
  event.preventDefault();
  held = { x: Number(compass.dataset.x), y: Number(compass.dataset.y), toDrawing: compass.ownerSVGElement.getScreenCTM().inverse() };
  held.off = Number(compass.dataset.deg) - bearing(event);
  solved.setPointerCapture(event.pointerId);
});
solved?.addEventListener("pointermove", (event) => {
  if (!held) return;
  const step = Number(direction.step);
  const deg = ((Math.round((bearing(event) + held.off) / step) * step) % 360 + 360) % 360;
  if (String(deg) === direction.value) return;
  direction.value = deg;
  direction.dispatchEvent(new Event("input"));
});
for (const end of ["pointerup", "pointercancel", "lostpointercapture"]) solved?.addEventListener(end, () => { held = null; });
