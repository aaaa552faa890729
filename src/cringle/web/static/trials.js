// Trials: the clock, starting, swapping, stopping, planning, judging, deciding.
import { refresh } from "./part.js";
import { send, words } from "./send.js";
import { follow } from "./upload.js";

const now = document.getElementById("now");

function row() {
  const form = document.getElementById("row");
  if (!form) return {};
  const { wind_kn, sea, gear } = Object.fromEntries(new FormData(form));
  return { wind_kn: Number(wind_kn.replace(",", ".")), sea, gear };
}

function say(text, problem) {
  const wrong = document.getElementById("trial-wrong");
  document.getElementById("said").textContent = problem ? "" : text;
  wrong.textContent = problem ? words(problem) : "";
  wrong.hidden = !problem;
}

function clockText(seconds) {
  const whole = Math.max(0, Math.floor(seconds));
  return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, "0")}`;
}

function tick() {
  const clock = document.getElementById("clock");
  if (!clock?.dataset.since) return;
  const since = (Date.now() - Date.parse(clock.dataset.since)) / 1000;
  const begun = (Date.now() - Date.parse(clock.dataset.begun)) / 1000;
  clock.textContent = clockText(since);
  document.getElementById("total").textContent = `of ${clockText(Number(clock.dataset.block) * 60)}; ${clockText(begun)} in all`;
  const due = since > Number(clock.dataset.block) * 60 ? "Time to swap it over." : "";
  const line = document.getElementById("due");
  if (line.textContent !== due) line.textContent = due;
}

async function note(path, data, text) {
  const answer = await send("POST", path, data);
  await refresh(location.href, now);
  tick();
  say(text, answer.problem);
}

now.addEventListener("click", (event) => {
  const { start, carrier } = event.target.dataset ?? {};
  if (start) note("/api/trials/start", { trial: start, carrier }, "Started.");
  else if (event.target.id === "swap") note("/api/trials/change", {}, "Swapped.");
  else if (event.target.id === "stop") note("/api/trials/stop", {}, "Stopped.");
});

now.addEventListener("submit", async (event) => {
  event.preventDefault();
  const form = event.target;
  const told = Object.fromEntries([...new FormData(form)].filter(([, value]) => value !== ""));
  if (told.wind_from_deg) told.wind_from_deg = number(told.wind_from_deg);
  const status = form.querySelector(".status");
  const wrong = form.querySelector(".wrong");
  status.textContent = "Comparing …";
  wrong.hidden = true;
  const begun = await send("POST", "/api/trials/judge", { trial: form.dataset.trial, ...told });
  const answer = begun.problem ? begun : await follow(begun.data, { stop: () => {}, show: () => {} });
  status.textContent = "";
  if (answer.problem) {
    wrong.textContent = words(answer.problem);
    wrong.hidden = false;
  } else location.assign(`/trials?judged=${begun.data.id}`);
});

async function ask(name) {
  const part = document.getElementById(name);
  if (!part?.dataset.ask) return;
  const told = new URLSearchParams(row());
  if (name === "evidence") told.delete("wind_kn");
  const begun = await send("GET", `${part.dataset.ask}?${told}`);
  const answer = begun.problem ? begun : await follow(begun.data, { stop: () => {}, show: () => {} });
  if (answer.problem) {
    part.querySelector("[role=status]").textContent = words(answer.problem);
    return;
  }
  await refresh(location.href, part);
  delete part.dataset.ask;
}

async function plan(data, place) {
  const answer = await send("POST", "/api/trials/plan", { ...row(), ...data });
  const wrong = document.getElementById(place);
  wrong.textContent = answer.problem ? words(answer.problem) : "";
  wrong.hidden = !answer.problem;
  if (answer.problem) return;
  await refresh(location.href, now);
  say(`${answer.data.id} is planned: ${Math.round(answer.data.minutes)} minutes.`, null);
  now.scrollIntoView({ block: "start" });
}

function number(text) {
  return text.trim() === "" ? null : Number(text.trim().replace(",", "."));
}

document.getElementById("plan")?.addEventListener("submit", (event) => {
  event.preventDefault();
  const told = Object.fromEntries(new FormData(event.target));
  const alone = told.beside.trim() === "";
  const matters_m_per_min = number(told.matters);
  const against = number(told.against);
  const wish = { role: told.role, value: number(told.value), against, matters_m_per_min };
  plan({ ...wish, beside: told.beside.trim(), alone }, "plan-wrong");
});

document.addEventListener("click", async (event) => {
  const { try: role, to, against, decide, wind, sails, sea, gear } = event.target.dataset ?? {};
  if (role) {
    document.getElementById("planner").open = true;
    document.getElementById("role").value = role;
    document.getElementById("value").value = to;
    document.getElementById("against").value = against;
    document.getElementById("beside").focus();
  } else if (decide) {
    const where = sea ? { sail_set: sails || null, sea, gear } : { sea: row().sea, gear: row().gear };
    const told = { role: event.target.dataset.role, wind_kn: Number(wind), decided: decide, ...where };
    const answer = await send("PUT", "/api/trials/decision", told);
    if (answer.problem) say("", answer.problem);
    else location.reload();
  }
});

document.getElementById("role")?.addEventListener("change", () => {
  document.getElementById("against").value = "";
});

setInterval(tick, 1000);
tick();
ask("tips");
ask("evidence");

document.addEventListener("cringle:change", async (event) => {
  const kinds = (event.detail.changes ?? []).flatMap((one) => one.entries.map((entry) => entry.kind));
  if (kinds.includes("racing")) location.reload();
  else if (kinds.includes("trial") && !now.querySelector("input:focus")) {
    await refresh(location.href, now);
    tick();
  }
});
