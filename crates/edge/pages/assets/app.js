// What the pages do beyond forms and links. Everything also works without, except the queue of the field page.

// A page that waits for the plan asks how far it has come, and only then.
async function wait(box) {
  const words = { antennas: "Antennas", paths: "Paths", links: "Links", "near fields": "Near fields", messages: "Messages", energy: "Energy", kit: "Kit" };
  const bar = box.querySelector("progress");
  const line = box.querySelector(".stage"), about = box.querySelector(".about");
  for (;;) {
    try {
      const answer = await (await fetch(`/wait?turn=${box.dataset.turn}`)).json();
      if (!answer.working || String(answer.turn) !== box.dataset.turn) return location.reload();
      if (about && answer.about) about.textContent = answer.about;
      line.textContent = `${words[answer.what] ?? answer.what}${answer.total ? ` ${answer.done} of ${answer.total}` : ""}`;
      if (answer.total) { bar.max = answer.total; bar.value = answer.done; } else { bar.removeAttribute("value"); }
    } catch {
      line.textContent = "The server does not answer. Is it still running?";
      await new Promise((go) => setTimeout(go, 2000));
    }
  }
}

// A slider that fetches a part of the page anew while it moves; the last wish wins.
function part(row) {
  const into = document.getElementById(row.dataset.into);
  const slider = row.querySelector("input[type=range]");
  let running = false, wish = null;
  const ask = async () => {
    if (running) return;
    running = true;
    while (wish !== null) {
      const value = wish;
      wish = null;
      try {
        const answer = await fetch(row.dataset.part + encodeURIComponent(value));
        if (answer.ok) into.innerHTML = await answer.text();
      } catch { /* The old picture stays. */ }
    }
    running = false;
  };
  const set = (value) => { slider.value = value; wish = slider.value; ask(); };
  slider.addEventListener("input", () => set(slider.value));
  const [earlier, later] = row.querySelectorAll("a");
  earlier?.addEventListener("click", (e) => { e.preventDefault(); set(Number(slider.value) - 1); });
  later?.addEventListener("click", (e) => { e.preventDefault(); set(Number(slider.value) + 1); });
}

// The phrase comes behind the # of the address, which never reaches a log.
function enter(form) {
  const phrase = decodeURIComponent(location.hash.slice(1));
  if (!phrase) return;
  history.replaceState(null, "", location.pathname);
  form.querySelector("#phrase").value = phrase;
  form.submit();
}

// A table of many links is one stop of the tab key; arrows go from cell to cell.
function roving(table) {
  const links = [...table.querySelectorAll("tbody a")];
  const at = (link) => { const cell = link.closest("td"); return [cell.parentElement, cell.cellIndex]; };
  const rows = [...table.querySelectorAll("tbody tr")].filter((row) => row.querySelector("a"));
  const start = table.querySelector("a[aria-current]") ?? links[0];
  links.forEach((link) => { link.tabIndex = link === start ? 0 : -1; });
  table.addEventListener("keydown", (event) => {
    const step = { ArrowLeft: [0, -1], ArrowRight: [0, 1], ArrowUp: [-1, 0], ArrowDown: [1, 0] }[event.key];
    const link = event.target.closest?.("a");
    if (!step || !link) return;
    event.preventDefault();
    let [row, column] = at(link);
    let index = rows.indexOf(row);
    for (;;) {
      index += step[0];
      column += step[1];
      const cell = rows[index]?.cells[column];
      if (!cell || column < 1) return;
      const next = cell.querySelector("a");
      if (!next) continue;
      link.tabIndex = -1;
      next.tabIndex = 0;
      return next.focus();
    }
  });
}

// An hour that is opened shows its working beside the table, or as a sheet from below; scroll and focus stay.
function hours(table) {
  const into = document.getElementById("detail");
  table.addEventListener("click", async (event) => {
    const link = event.target.closest("td a");
    if (!link || event.ctrlKey || event.metaKey || event.shiftKey) return;
    event.preventDefault();
    try {
      const answer = await fetch(link.href);
      const page = new DOMParser().parseFromString(await answer.text(), "text/html");
      const detail = page.getElementById("detail");
      if (!answer.ok || !detail) return location.assign(link.href);
      into.replaceChildren(...detail.childNodes);
      into.classList.add("open");
    } catch {
      return location.assign(link.href);
    }
    table.querySelectorAll("a[aria-current]").forEach((other) => other.removeAttribute("aria-current"));
    link.setAttribute("aria-current", "true");
    history.replaceState(null, "", link.href.split("#")[0]);
    const close = document.createElement("button");
    close.textContent = "Close";
    close.className = "close";
    close.addEventListener("click", () => { into.classList.remove("open"); link.focus(); });
    into.prepend(close);
  });
}

const box = document.getElementById("waiting");
if (box) wait(box);
document.querySelectorAll("[data-part]").forEach(part);
document.querySelectorAll("[data-roving]").forEach(roving);
document.querySelectorAll(".hours-two .strips table").forEach(hours);
const door = document.getElementById("enter");
if (door) enter(door);
// A slider says its value while it moves.
document.querySelectorAll("[data-hours]").forEach((slider) => slider.addEventListener("input", () => {
  slider.parentElement.querySelector("output").textContent = `${slider.value > 0 ? "+" : ""}${slider.value} h`;
}));
