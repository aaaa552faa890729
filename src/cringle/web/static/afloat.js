// Afloat: files in, one after the other, with progress and a way to stop; then the list.
import { refresh } from "./part.js";
import { words } from "./send.js";
import { upload } from "./upload.js";
import { show } from "./working.js";

const form = document.getElementById("in");
const field = document.getElementById("file");
const going = document.getElementById("going");
const came = document.getElementById("came");
const waiting = [];
let busy = false;
let stopped = false;

async function kindOf(file) {
  if (form.dataset.role !== "coach") return "pocket";
  const head = await file.slice(0, 400).text().catch(() => "");
  return head.includes("cringle-pocket/1") ? "pocket" : "log";
}

function line(text, link, isWrong) {
  const item = document.createElement("li");
  const said = document.createElement("span");
  said.textContent = text;
  if (isWrong) said.className = "wrong";
  item.append(said);
  if (link) {
    const way = document.createElement("a");
    way.href = link;
    way.className = "button";
    way.textContent = "Debrief it";
    item.append(" ", way);
  }
  came.append(item);
}

function told(kind, data) {
  if (kind === "pocket") return [data.words, null];
  const log = data.logs[0];
  const hours = log.start && log.end ? `${((new Date(log.end) - new Date(log.start)) / 3600000).toFixed(1)} h, ` : "";
  const already = log.already_there ? " It was there already." : "";
  const outing = log.outing ? ` It belongs to outing ${log.outing}.` : " No outing on its day.";
  return [`${log.name}: ${hours}${log.rows} fixes.${outing}${already}`, `/afloat/log/${log.sha256}`];
}

async function one(file) {
  const kind = await kindOf(file);
  const bar = going.querySelector("progress");
  const far = document.getElementById("how-far");
  const hand = { stop: () => {}, show: (part, done, total) => show(`${part} ${file.name}`, bar, far, done, total) };
  document.getElementById("stop").onclick = () => {
    stopped = true;
    hand.stop();
  };
  const answer = await upload(`/api/uploads/${kind}`, file, Number(form.dataset[kind]), hand);
  if (answer.problem) line(`${file.name}: ${words(answer.problem)}`, null, true);
  else line(...told(kind, answer.data), false);
  await refresh("/afloat", document.getElementById("logs"));
}

async function work() {
  if (busy) return;
  busy = true;
  stopped = false;
  going.hidden = false;
  while (waiting.length && !stopped) await one(waiting.shift());
  waiting.length = 0;
  going.hidden = true;
  busy = false;
  field.value = "";
}

function take(files) {
  waiting.push(...files);
  work();
}

field.addEventListener("change", () => take(field.files));
form.addEventListener("submit", (event) => event.preventDefault());
for (const name of ["dragover", "drop"]) {
  form.addEventListener(name, (event) => {
    event.preventDefault();
    if (name === "drop") take(event.dataTransfer.files);
  });
}
document.addEventListener("cringle:change", (event) => {
  const kinds = (event.detail.changes ?? []).flatMap((one) => one.entries.map((entry) => entry.kind));
  if (kinds.includes("racing")) location.reload();
  else if (!busy) refresh("/afloat", document.getElementById("logs"));
});
