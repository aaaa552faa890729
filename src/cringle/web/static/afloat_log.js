// One log: guess, debrief, corrections.
import { send, words } from "./send.js";
import { follow } from "./upload.js";
import { askFor, guessing } from "./working.js";

const working = document.getElementById("working");
const correct = document.getElementById("correct");
const ROUNDINGS = ["windward", "gate"];

if (working) {
  if (document.getElementById("guess")) guessing(() => askFor(working));
  else askFor(working);
}

function wrong(text) {
  const line = document.getElementById("not-corrected");
  line.textContent = text;
  line.hidden = !text;
}

async function done(one) {
  const said = document.getElementById("corrected");
  wrong("");
  said.textContent = "Trying it on the log …";
  const body = { corrections: [one], why: document.getElementById("why").value };
  const begun = await send("POST", `/api/logs/${correct.dataset.log}/corrections`, body);
  const answer = begun.problem ? begun : await follow(begun.data, { stop: () => {}, show: () => {} });
  said.textContent = "";
  if (answer.problem) wrong(words(answer.problem));
  else location.reload();
}

correct?.addEventListener("click", (event) => {
  const { action, number, what, at, kind } = event.target.dataset ?? {};
  if (action === "remove") done({ action, what: "manoeuvre", number: Number(number) });
  else if (action) done({ action, what, at, kind });
});

document.getElementById("correction")?.addEventListener("submit", (event) => {
  event.preventDefault();
  const told = Object.fromEntries(new FormData(event.target));
  const one = { action: told.action, what: told.what, at: told.at.trim() };
  if (ROUNDINGS.includes(told.what)) {
    one.what = "rounding";
    if (told.action === "add") one.kind = told.what;
  }
  if (told.to.trim()) one.to = told.to.trim();
  done(one);
});

document.getElementById("corrections")?.addEventListener("click", async (event) => {
  const number = event.target.dataset?.undo;
  if (!number) return;
  const answer = await send("POST", `/api/logs/${correct.dataset.log}/corrections/undo`, { numbers: [Number(number)] });
  if (answer.problem) wrong(words(answer.problem));
  else location.reload();
});

document.addEventListener("cringle:change", (event) => {
  const kinds = (event.detail.changes ?? []).flatMap((one) => one.entries.map((entry) => entry.kind));
  const mine = document.getElementById("debrief") && !document.getElementById("why")?.value;
  if (kinds.includes("racing") || (mine && kinds.includes("log_correction"))) location.reload();
});
