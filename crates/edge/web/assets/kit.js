// Ticks of the packing list stay in this browser.
const boxes = [...document.querySelectorAll("[data-tick]")];
const clear = document.querySelector("[data-clear=ticks]");
const kept = () => { try { return new Set(JSON.parse(localStorage.getItem("ticks") ?? "[]")); } catch { return new Set(); } };
const keep = () => localStorage.setItem("ticks", JSON.stringify(boxes.filter((b) => b.checked).map((b) => b.dataset.tick)));
const show = (ticks) => boxes.forEach((b) => { b.checked = ticks.has(b.dataset.tick); });
show(kept());
boxes.forEach((b) => b.addEventListener("change", keep));
if (clear) {
  clear.hidden = false;
  clear.addEventListener("click", () => { show(new Set()); keep(); });
}
