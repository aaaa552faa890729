// Rehearsal: big words, a stop-watch, one tap for each action done; kept only when asked to.
import { refresh } from "./part.js";
import { send, words } from "./send.js";

const root = document.getElementById("play");
const by = (id) => document.getElementById(id);
let steps = [];
let place = -1;
let began = 0;
let taps = {};
let ticking = 0;

const since = () => (performance.now() - began) / 1000;

function say(who, text, button) {
  by("big-who").textContent = who;
  by("big-words").textContent = text;
  by("tap").textContent = button;
}

function show() {
  const one = steps[place];
  say(one.dataset.who, one.textContent, `Done (planned at ${one.dataset.planned} s)`);
}

function stop() {
  clearInterval(ticking);
  ticking = 0;
}

function begin() {
  steps = [...by("steps").children];
  stop();
  place = -1;
  taps = {};
  by("watch").textContent = "0.0";
  for (const id of ["pass", "again", "keep-run"]) by(id).hidden = true;
  by("tap").hidden = false;
  say("", "Everybody at their places.", "The call: go");
}

function finish() {
  stop();
  const total = Math.max(0, ...Object.values(taps));
  by("tap").hidden = true;
  by("pass").hidden = true;
  by("watch").textContent = total.toFixed(1);
  say("", Object.keys(taps).length ? `Done in ${total.toFixed(1)} seconds.` : "Nothing was tapped.", "");
  by("keep-run").hidden = Object.keys(taps).length === 0;
  if (!by("keep-run").hidden) by("note").focus();
}

function next() {
  place += 1;
  if (place >= steps.length) finish();
  else show();
}

function tapped() {
  if (place < 0) {
    steps = [...by("steps").children];
    taps = {};
    by("run-kept").textContent = "";
    began = performance.now();
    ticking = setInterval(() => (by("watch").textContent = since().toFixed(1)), 100);
    by("pass").hidden = false;
    by("again").hidden = false;
  } else taps[steps[place].dataset.action] = Math.round(since() * 100) / 100;
  next();
}

async function keep() {
  const body = { taps_s: taps, afloat: !by("ashore").checked, note: by("note").value };
  const answer = await send("POST", `/api/plays/${root.dataset.play}/runs`, body);
  by("run-wrong").textContent = answer.problem ? words(answer.problem) : "";
  by("run-wrong").hidden = !answer.problem;
  if (answer.problem) return;
  by("run-kept").textContent = "Kept.";
  begin();
  await refresh(location.href, by("record"));
}

root.addEventListener("click", (event) => {
  const { id } = event.target;
  if (id === "tap") tapped();
  if (id === "pass") next();
  if (id === "again" || id === "throw") begin();
});

root.addEventListener("submit", (event) => {
  event.preventDefault();
  if (event.target.id === "keep-run") keep();
});

document.addEventListener("cringle:change", async (event) => {
  const entries = (event.detail.changes ?? []).flatMap((one) => one.entries);
  if (entries.some((one) => one.kind === "play_run")) await refresh(location.href, by("record"));
});
