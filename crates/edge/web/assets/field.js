// The field page goes on when the server is gone: entries wait in the browser, in order, each under its own key, and go out once.
const QUEUE = "farhop-entries";
const line = document.getElementById("queue");
const read = () => { try { return JSON.parse(localStorage.getItem(QUEUE) ?? "[]"); } catch { return []; } };
const write = (list) => localStorage.setItem(QUEUE, JSON.stringify(list));
const key = () => "web-" + [...crypto.getRandomValues(new Uint8Array(12))].map((b) => b.toString(16).padStart(2, "0")).join("");
const say = (words) => { line.textContent = words; line.hidden = words === ""; };

let sending = false, timer = 0;

// Sends what waits, the oldest first. True when nothing waits any more.
async function send() {
  if (sending) return false;
  sending = true;
  clearTimeout(timer);
  try {
    for (let list = read(); list.length > 0; list = read()) {
      const first = list[0];
      let answer;
      try {
        answer = await fetch(first.to, {
          method: "POST",
          headers: { Accept: "application/json", "Content-Type": "application/x-www-form-urlencoded" },
          body: new URLSearchParams(first.fields),
        });
      } catch {
        say(`${list.length} ${list.length === 1 ? "entry waits" : "entries wait"} here until the computer answers.`);
        timer = setTimeout(again, 5000);
        return false;
      }
      if (answer.status === 503 || answer.status === 429) {
        say(`${list.length} waiting: the computer is busy.`);
        timer = setTimeout(again, 2000);
        return false;
      }
      // Another tab may have changed the queue meanwhile: only this one entry is taken out.
      write(read().filter((e) => e.fields.key !== first.fields.key));
      const told = await answer.json().catch(() => ({ ok: answer.ok, said: "" }));
      if (!told.ok) {
        say(`Not entered: ${told.said}`);
        const box = document.getElementById("words");
        if (box && first.fields.words) box.value = first.fields.words;
        return false;
      }
    }
    return true;
  } finally {
    sending = false;
  }
}

// What waited has gone: the page shows the day as it is now.
async function again() {
  if (await send()) location.reload();
}

async function enter(event) {
  event.preventDefault();
  const form = event.currentTarget;
  const fields = Object.fromEntries(new FormData(form));
  // A reading is kept as the short form that it stands for, so that what waits can be read.
  if (fields.reading) fields.words = fields.reading.replace("{}", fields.value.trim());
  delete fields.reading;
  delete fields.value;
  if (form.action.endsWith("/log") && !String(fields.words ?? "").trim()) return;
  write([...read(), { to: new URL(form.action).pathname, fields: { ...fields, key: key(), at: String(Math.floor(Date.now() / 1000)) } }]);
  form.reset();
  say("Kept.");
  await again();
}

document.querySelectorAll("form.entry").forEach((form) => form.addEventListener("submit", enter));
addEventListener("online", () => { if (read().length > 0) again(); });
if (read().length > 0) again();

// The clock, local to the outing and UTC.
const clock = document.querySelector(".clock");
if (clock) {
  const offset = Number(clock.dataset.offset) * 1000;
  const hm = (ms) => new Date(ms).toISOString().slice(11, 16);
  const tick = () => {
    clock.querySelector("[data-clock=local]").textContent = `${hm(Date.now() + offset)} local`;
    clock.querySelector("[data-clock=utc]").textContent = `${hm(Date.now())} UTC`;
    setTimeout(tick, 60000 - (Date.now() % 60000));
  };
  tick();
}
