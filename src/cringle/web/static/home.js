// Home: guess, what the log says, goals, settings in force, what is still to do.
import { refresh } from "./part.js";
import { send, words } from "./send.js";
import { askFor, guessing } from "./working.js";

const working = document.getElementById("working");
const live = document.getElementById("live");
const outing = new URLSearchParams(location.search).get("outing");

if (working) {
  if (document.getElementById("guess")) guessing(() => askFor(working));
  else askFor(working);
}

async function again() {
  for (const name of ["goals", "force", "todos"]) await refresh(location.href, document.getElementById(name));
}

async function change(method, path, data, said) {
  const answer = await send(method, path, { ...data, outing });
  const wrong = document.getElementById("home-wrong");
  wrong.textContent = answer.problem ? words(answer.problem) : "";
  wrong.hidden = !answer.problem;
  document.getElementById("said").textContent = answer.problem ? "" : said(answer.data);
  await again();
  return !answer.problem;
}

live?.addEventListener("click", (event) => {
  const { goal, state, close } = event.target.dataset ?? {};
  if (goal) change("PUT", "/api/home/goals", { number: Number(goal), state }, () => `Written: ${state}.`);
  else if (close) change("POST", "/api/home/actions/close", { id: close }, () => "Done.");
  else if (event.target.id === "confirm") change("POST", "/api/home/settings", {}, () => "Confirmed.");
});

live?.addEventListener("submit", async (event) => {
  event.preventDefault();
  const form = event.target;
  const told = Object.fromEntries(new FormData(form));
  const done =
    form.id === "goal"
      ? await change("POST", "/api/home/goals", told, () => "The goal is set.")
      : await change("POST", "/api/home/actions", told, (one) => `${one.id} goes to: ${one.route}.`);
  if (done) form.reset();
});

document.addEventListener("cringle:change", (event) => {
  const kinds = (event.detail.changes ?? []).flatMap((one) => one.entries.map((entry) => entry.kind));
  if (kinds.includes("racing")) location.reload();
  else if (live) again();
});
