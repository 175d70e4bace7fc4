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
