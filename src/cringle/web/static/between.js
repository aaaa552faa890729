// Between races: wind now, differences only, one sentence, keep or undo, lock at the preparatory signal.
import { queryOf, refresh } from "./part.js";
import { send, words } from "./send.js";
import { conditionsOf } from "./tonight_form.js";

const form = document.getElementById("conditions");
const numbers = document.getElementById("numbers");
const noted = document.getElementById("noted");

function say(text) {
  const line = document.getElementById("line");
  line.textContent = text;
  line.hidden = !text;
}

async function racing(wanted) {
  const answer = await send("PUT", "/api/racing", { racing: wanted });
  if (answer.problem) say(words(answer.problem));
  else location.assign("/between");
}

async function note(text) {
  const answer = await send("POST", "/api/notes", { text });
  noted.textContent = answer.problem ? words(answer.problem) : `Noted: ${text}`;
}

document.getElementById("race-over")?.addEventListener("click", () => racing(false));
document.addEventListener("cringle:change", (event) => {
  const kinds = (event.detail.changes ?? []).flatMap((one) => one.entries.map((entry) => entry.kind));
  if (kinds.includes("racing") || kinds.includes("tonight_asked")) location.assign("/between");
});

if (form) {
  const wind = document.getElementById("wind_kn");
  const start = wind.value;
  const prep = document.getElementById("prep");
  const show = () => refresh(`${form.dataset.part}?${queryOf(form)}`, numbers);
  wind.addEventListener("input", show);
  form.addEventListener("click", (event) => {
    const by = event.target.dataset?.by;
    if (!by) return;
    const now = Number(wind.value.replace(",", ".")) || 0;
    wind.value = String(Math.min(40, Math.max(0, now + Number(by))));
    show();
  });
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    show();
  });
  document.getElementById("share").addEventListener("click", async () => {
    const answer = await send("PUT", "/api/tonight/conditions", conditionsOf(form));
    if (answer.problem) say(words(answer.problem));
    else location.assign("/between");
  });
  document.getElementById("undo").addEventListener("click", () => {
    wind.value = start;
    show();
  });
  document.getElementById("prep-now").addEventListener("click", () => racing(true));
  // The book's clock says how long it is, never this phone's: the signal locks every page by itself.
  const left = document.getElementById("left");
  const told = (seen) => {
    if (seen.racing) location.assign("/between");
    else if (seen.minutes_left !== null) left.textContent = `${seen.minutes_left} minutes left`;
  };
  const tick = async () => {
    const answer = await fetch("/api/signal").catch(() => null);
    if (answer?.ok) told(await answer.json());
    else left.textContent = "not reached: read the minutes off a watch";
  };
  prep.addEventListener("change", async () => {
    if (!prep.value) return;
    const answer = await send("PUT", "/api/signal", { at: prep.value });
    if (answer.problem) say(words(answer.problem));
    else tick();
  });
  tick();
  setInterval(tick, 5000);
  document.querySelector(".chips").addEventListener("click", (event) => {
    if (event.target.dataset?.say) note(event.target.dataset.say);
  });
  document.getElementById("say").addEventListener("submit", (event) => {
    event.preventDefault();
    const field = document.getElementById("words");
    if (field.value.trim()) note(field.value.trim()).then(() => (field.value = ""));
  });
}
