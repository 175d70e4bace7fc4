// Ticks of the packing list stay in this browser, for this outing and its days alone.
const list = document.getElementById("packing");
const TICKS = `farhop-ticks:${list.dataset.outing}`;
const boxes = [...document.querySelectorAll("[data-tick]")];
const clear = document.querySelector("[data-clear=ticks]");
const kept = () => { try { return new Set(JSON.parse(localStorage.getItem(TICKS) ?? "[]")); } catch { return new Set(); } };
const keep = () => localStorage.setItem(TICKS, JSON.stringify(boxes.filter((b) => b.checked).map((b) => b.dataset.tick)));
const show = (ticks) => boxes.forEach((b) => { b.checked = ticks.has(b.dataset.tick); });
show(kept());
boxes.forEach((b) => b.addEventListener("change", keep));
// Another page of this browser may tick at the same time.
addEventListener("storage", (event) => { if (event.key === TICKS) show(kept()); });
if (clear) {
  clear.hidden = false;
  clear.addEventListener("click", () => { show(new Set()); keep(); });
}
