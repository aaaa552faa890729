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
  const tick = () => {
    if (!prep.value) return;
    const [hours, minutes] = prep.value.split(":").map(Number);
    const at = new Date();
    at.setHours(hours, minutes, 0, 0);
    const left = Math.ceil((at - Date.now()) / 60000);
    document.getElementById("left").textContent = left > 0 ? `${left} minutes left` : "now: lock";
  };
  prep.addEventListener("input", tick);
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
