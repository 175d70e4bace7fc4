// What the edit page does beyond forms: a map to point at, files of this device into their text fields, the focus where something was added.

// A map for a place: a touch, or a button, asks the server for the map around the new mark, and the mark goes into the field.
function pick(box) {
  const field = document.getElementById(box.dataset.placeOf);
  const into = box.querySelector("div");
  box.hidden = false;
  const ask = async (query, writes) => {
    try {
      const answer = await fetch(`/edit/spot?${query}`);
      if (!answer.ok) return;
      const focused = into.contains(document.activeElement) ? document.activeElement.textContent : null;
      into.innerHTML = await answer.text();
      const spot = into.querySelector(".spot").dataset;
      if (writes || "touched" in spot) field.value = spot.place;
      if (focused) [...into.querySelectorAll("button")].find((b) => b.textContent === focused)?.focus();
    } catch { /* What stood there stays. */ }
  };
  box.addEventListener("toggle", () => { if (box.open) ask(new URLSearchParams({ at: field.value }), false); });
  into.addEventListener("click", (event) => {
    const button = event.target.closest("button[data-spot]");
    if (button) return ask(button.dataset.spot, "moves" in button.dataset);
    const svg = event.target.closest("svg");
    if (!svg) return undefined;
    const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
    return ask(`${into.querySelector(".spot").dataset.ask}&x=${at.x.toFixed(1)}&y=${at.y.toFixed(1)}`, false);
  });
}
document.querySelectorAll(".point").forEach(pick);

// A file goes into the text field, where it can be looked at before it is sent.
document.querySelectorAll("[data-fill]").forEach((input) => {
  input.closest("label").hidden = false;
  input.addEventListener("change", async () => {
    const file = input.files[0];
    if (file) document.getElementById(input.dataset.fill).value = await file.text();
  });
});

// What was added or is wrong: its first field, unfolded.
function arrive() {
  const target = document.getElementById(decodeURIComponent(location.hash.slice(1)));
  if (!target) return;
  for (let fold = target.closest("details"); fold; fold = fold.parentElement.closest("details")) fold.open = true;
  const first = target.matches(".fields") ? target.querySelector("[aria-invalid], input, select") : target;
  first?.focus();
  target.scrollIntoView({ block: "nearest" });
}
addEventListener("hashchange", arrive);
// The browser goes to the place itself once all is loaded, and would take the focus away from it.
if (document.readyState === "complete") arrive();
else addEventListener("load", () => setTimeout(arrive));
