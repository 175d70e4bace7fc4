// Sliders solve again as they move; the last wish wins.
const form = document.getElementById("choose");
const into = document.getElementById("solved");
let running = false, wish = null;
async function ask() {
  if (running) return;
  running = true;
  while (wish !== null) {
    const query = wish;
    wish = null;
    try {
      const answer = await fetch(`/antennas/part?${query}`);
      if (answer.ok) into.innerHTML = await answer.text();
    } catch { /* The old picture stays. */ }
  }
  running = false;
}
form?.querySelectorAll("input[type=range]").forEach((slider) => slider.addEventListener("input", () => {
  const value = Number(slider.value);
  slider.parentElement.querySelector("output").textContent = `${value < 0 ? "" : "+"}${value}${slider.name === "lean" ? "°" : " %"}`;
  wish = new URLSearchParams(new FormData(form)).toString();
  ask();
}));
form?.querySelectorAll("select").forEach((choice) => choice.addEventListener("change", () => form.submit()));
