// Server-sent events: others' changes, and whether the line is up.
const SILENCE_MS = 12000;
let source = null;
let timer = 0;

function say(words) {
  const line = document.getElementById("line");
  if (!line) return;
  line.textContent = words;
  line.hidden = !words;
}

function alive() {
  clearTimeout(timer);
  timer = setTimeout(lost, SILENCE_MS);
}

function lost() {
  document.body.dataset.line = "lost";
  say("No connection. What you typed is kept here; it is tried again by itself.");
  if (source && source.readyState === EventSource.CLOSED) setTimeout(listen, 1000);
}

function tell(name, detail) {
  document.dispatchEvent(new CustomEvent(`cringle:${name}`, { detail }));
}

export function listen() {
  if (source) source.close();
  source = new EventSource("/api/live");
  source.addEventListener("hello", (event) => {
    alive();
    say("");
    const before = document.body.dataset.line;
    document.body.dataset.line = "up";
    if (before === "lost") tell("change", JSON.parse(event.data));
  });
  source.addEventListener("beat", alive);
  source.addEventListener("change", (event) => {
    alive();
    say("");
    tell("change", JSON.parse(event.data));
  });
  source.addEventListener("replaced", () => {
    alive();
    say("The book was replaced: this page shows the other one now.");
    tell("change", { changes: [] });
  });
  source.addEventListener("trouble", (event) => {
    alive();
    say(JSON.parse(event.data).message);
  });
  source.addEventListener("out", () => {
    source.close();
    clearTimeout(timer);
    say("Your session has ended. Open the page Join in another tab; what you typed stays here.");
  });
  source.onerror = lost;
  alive();
}
