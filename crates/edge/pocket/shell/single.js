// One file, no host: pages without scripts of their own, from a thread that holds all. It keeps nothing when it is closed.
const textOf = (id) => document.getElementById(id).textContent;
// A page that is shown takes the place of all texts.
const pagesStyle = textOf("style");
const thread = new Worker(URL.createObjectURL(new Blob([textOf("thread")], { type: "text/javascript" })));
const sheet = new CSSStyleSheet();
document.adoptedStyleSheets = [sheet];
let unsaved = 0, wanted = "", styled = "";
const go = (path) => { wanted = path; thread.postMessage({ path }); };

thread.addEventListener("message", ({ data }) => {
  if (data.progress) return progress(data.progress);
  if (data.error) return say(`The engine stopped: ${data.error}. Load the file again.`);
  const { answer } = data;
  if (answer.saved) return save(answer);
  if (answer.path.endsWith("style.css")) return dress(answer.text);
  unsaved += answer.added;
  show(answer);
});
thread.postMessage({ engine: textOf("engine"), rest: textOf("rest"), months: textOf("months").split("\n") });

function progress({ what, done, total }) {
  const stage = document.querySelector("#waiting .stage");
  if (stage) stage.textContent = `${what}${total ? ` ${done} of ${total}` : ""}`;
}

// Letters of its own would come from elsewhere.
const dress = (style) => sheet.replaceSync(style.replace(/@font-face\s*{[^}]*}/g, ""));

function say(words) {
  const line = document.getElementById("line") ?? document.querySelector("main").appendChild(document.createElement("p"));
  line.textContent = words;
}

function show({ text, path }) {
  const made = new DOMParser().parseFromString(text, "text/html");
  document.title = made.title;
  document.documentElement.dataset.theme = made.documentElement.dataset.theme ?? "paper";
  const style = made.querySelector("link[rel=stylesheet]")?.getAttribute("href");
  document.body.className = made.body.className;
  document.body.replaceChildren(note(), ...made.body.childNodes);
  if (style && style !== styled) {
    styled = style;
    if (style.startsWith("/assets/")) dress(pagesStyle);
    else thread.postMessage({ path: style });
  }
  if (location.hash !== `#${path}`) history.pushState(null, "", `#${path}`);
  wanted = path;
  scrollTo(0, 0);
}

// What a browser keeps for a file: nothing that can be relied on.
function note() {
  const box = document.createElement("aside");
  box.setAttribute("aria-label", "This file");
  const words = document.createElement("p");
  words.className = "small";
  words.textContent = unsaved > 0
    ? `A file keeps nothing: ${unsaved} ${unsaved === 1 ? "entry is" : "entries are"} lost when it is closed or the phone closes it. `
    : "A file keeps nothing: what you log here is lost when it is closed, unless you save the log. ";
  const save = document.createElement("a");
  save.href = "/log/journal.jsonl";
  save.textContent = "Save the log";
  words.append(save);
  box.append(words);
  return box;
}

function save({ bytes, saved }) {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob([bytes]));
  link.download = /filename="([^"]+)"/.exec(saved)?.[1] ?? "farhop.txt";
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
  if (link.download !== "journal.jsonl") return;
  unsaved = 0;
  document.querySelector("aside[aria-label='This file']")?.replaceWith(note());
}

document.addEventListener("click", (event) => {
  const href = event.target.closest?.("a[href]")?.getAttribute("href");
  if (!href || (!href.startsWith("/") && !href.startsWith("?") && href !== "")) return;
  event.preventDefault();
  go(href.startsWith("/") ? href : wanted.split("?")[0] + href);
});
document.addEventListener("submit", (event) => {
  event.preventDefault();
  const form = event.target;
  const body = new URLSearchParams(new FormData(form, event.submitter)).toString();
  const path = form.getAttribute("action") ?? wanted;
  if (form.method === "post") thread.postMessage({ method: "POST", path, body });
  else go(`${path.split("?")[0]}?${body}`);
});
document.addEventListener("change", async (event) => {
  const { into } = event.target.dataset ?? {};
  const file = event.target.files?.[0];
  if (into && file) document.getElementById(into).value = await file.text();
});
addEventListener("popstate", () => { const path = location.hash.slice(1) || "/"; if (path.startsWith("/") && path !== wanted) go(path); });
addEventListener("beforeunload", (event) => { if (unsaved > 0) event.preventDefault(); });
