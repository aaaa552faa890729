// Crew: people on the deck plan by drag, by arrow keys and by lists; what it gives; weights. Every step can be undone.
import { refresh } from "./part.js";
import { choose, send, words } from "./send.js";

const deck = document.getElementById("deck");
const form = document.getElementById("places");
const told = deck ? JSON.parse(document.getElementById("seats").textContent) : { seats: {}, outline: {} };
const FAR = 26;
const ARROWS = { ArrowUp: [0, -1], ArrowDown: [0, 1], ArrowLeft: [-1, 0], ArrowRight: [1, 0] };
const steps = [];
let asking = null;
let shown = {};

const selects = () => [...form.querySelectorAll("select[data-person]")];
const groupOf = (person) => deck.querySelector(`.person[data-person="${person}"]`);
const selectOf = (person) => document.getElementById(`seat-${person}`);
const seatNow = (person) => told.seats[person].find((one) => `${one.station}|${one.posture}` === selectOf(person).value);

function draw() {
  const taken = {};
  for (const select of selects()) {
    const person = select.dataset.person;
    const seat = seatNow(person);
    const group = groupOf(person);
    if (!seat) continue;
    const before = (taken[seat.station] = (taken[seat.station] ?? -1) + 1);
    group.setAttribute("transform", `translate(${seat.x} ${seat.y + before * 2 * FAR})`);
    const [width, dash] = told.outline[seat.posture];
    group.firstElementChild.setAttribute("stroke-width", String(Number(width) * 1.6));
    group.firstElementChild.setAttribute("stroke-dasharray", dash);
    group.setAttribute("aria-label", `${group.textContent.trim()}: ${seat.words}. Arrow keys move.`);
  }
}

function wrong(text) {
  const line = document.getElementById("wrong-places");
  line.textContent = text;
  line.hidden = !text;
}

const wholeOf = (value) => String(Math.round(value) || 0).replace("-", "−");
const signed = (value) => (Math.round(value) > 0 ? `+${wholeOf(value)}` : wholeOf(value));

async function price() {
  asking?.abort();
  asking = new AbortController();
  const query = new URLSearchParams({ wind_kn: document.getElementById("place-wind").value.replace(",", ".") });
  query.set("sea", document.getElementById("sea").value);
  for (const one of selects()) query.append("place", `${one.dataset.person}|${one.value}`);
  try {
    const answer = await fetch(`/api/crew/price?${query}`, { signal: asking.signal });
    const found = await answer.json();
    if (!answer.ok) {
      wrong(words(found));
      for (const id of ["heel", "cost"]) document.getElementById(id).textContent = "–";
      return;
    }
    wrong("");
    document.getElementById("heel").textContent = found.heel_deg === null ? "–" : `${wholeOf(found.heel_deg)}°`;
    document.getElementById("cost").textContent = `${signed(found.cost_s_per_mile)} s`;
    const [low, high] = [found.cost_s_per_mile_low, found.cost_s_per_mile_high].map(signed);
    document.getElementById("cost-words").textContent = `a mile against the usual places (${low} to ${high})`;
    const way = found.forward_m < 0 ? "aft" : "forward";
    const shift = Math.abs(found.forward_m) < 0.005 ? "" : `, ${Math.round(Math.abs(found.forward_m) * 100)} cm ${way}`;
    const split = `${wholeOf(found.hiking_kg)} kg hiking, ${wholeOf(found.legs_in_kg)} kg legs in; weight`;
    document.getElementById("split").textContent = `${split} ${Math.round(found.out_m * 100)} cm to windward${shift}.`;
  } catch (error) {
    if (error.name !== "AbortError") wrong("No connection: the places you set are kept; try again.");
  }
}

const values = () => Object.fromEntries(selects().map((one) => [one.dataset.person, one.value]));

function put(places) {
  for (const [person, value] of Object.entries(places)) selectOf(person).value = value;
  document.getElementById("step-back").disabled = steps.length === 0;
  shown = values();
  draw();
  price();
}

function change(places) {
  steps.push(values());
  put(places);
}

function pointOf(event) {
  const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(deck.getScreenCTM().inverse());
  return [at.x, at.y];
}

function nearest(person, [x, y]) {
  const away = (one) => Math.hypot(one.x - x, one.y - y);
  return told.seats[person].reduce((best, one) => (away(one) < away(best) ? one : best));
}

function towards(person, [right, down]) {
  const now = seatNow(person);
  const score = (one) => {
    const [dx, dy] = [one.x - now.x, one.y - now.y];
    const along = dx * right + dy * down;
    return along > 2 ? along + 2 * Math.abs(dx * down) + 2 * Math.abs(dy * right) : Infinity;
  };
  const best = told.seats[person].reduce((a, b) => (score(b) < score(a) ? b : a));
  return score(best) < Infinity ? best : null;
}

function dragging(group) {
  const person = group.dataset.person;
  const mark = document.getElementById("open-place");
  let moved = false;
  group.addEventListener("pointerdown", (event) => {
    group.setPointerCapture(event.pointerId);
    moved = false;
  });
  group.addEventListener("pointermove", (event) => {
    if (!group.hasPointerCapture(event.pointerId)) return;
    moved = true;
    const at = pointOf(event);
    group.classList.add("dragged");
    group.setAttribute("transform", `translate(${at[0]} ${at[1]})`);
    const seat = nearest(person, at);
    mark.setAttribute("cx", seat.x);
    mark.setAttribute("cy", seat.y);
    mark.removeAttribute("hidden");
  });
  const end = (event, take) => {
    mark.setAttribute("hidden", "");
    group.classList.remove("dragged");
    if (!moved) return;
    moved = false;
    const seat = nearest(person, pointOf(event));
    if (take) change({ [person]: `${seat.station}|${seat.posture}` });
    else draw();
  };
  group.addEventListener("pointerup", (event) => end(event, true));
  group.addEventListener("pointercancel", (event) => end(event, false));
  group.addEventListener("keydown", (event) => {
    const way = ARROWS[event.key];
    if (!way) return;
    event.preventDefault();
    const seat = towards(person, way);
    if (seat) change({ [person]: `${seat.station}|${seat.posture}` });
  });
}

const seatsOf = (places) =>
  Object.entries(places).map(([person, value]) => {
    const [station, posture] = value.split("|");
    return { person, station, posture };
  });

const usual = () => Object.fromEntries(selects().map((one) => [one.dataset.person, one.dataset.usual]));

async function keep(places, seen, why) {
  const said = document.getElementById("kept");
  const answer = await send("PUT", "/api/crew/places", { places: seatsOf(places), seen, why });
  if (answer.status === 409) {
    if ((await choose(answer.problem.clashes[0])) === "theirs") return location.reload();
    const now = await (await fetch("/api/crew/places")).json();
    return keep(places, now.places, why);
  }
  said.textContent = "";
  wrong(answer.problem ? words(answer.problem) : "");
  if (answer.problem) return undefined;
  for (const one of selects()) one.dataset.usual = places[one.dataset.person];
  said.textContent = why === "undo" ? "Undone." : "Kept. ";
  price();
  if (why === "undo") return undefined;
  const undo = document.createElement("button");
  undo.type = "button";
  undo.textContent = "Undo";
  const before = Object.fromEntries(seen.map((one) => [one.person, `${one.station}|${one.posture}`]));
  undo.addEventListener("click", () => {
    put(before);
    keep(before, seatsOf(places), "undo");
  });
  said.append(undo);
  return undefined;
}

async function weigh(row, kilograms, why) {
  const [said, bad] = [row.querySelector("[role=status]"), row.querySelector(".wrong")];
  const body = { person: row.dataset.person, mass_kg: kilograms, seen_kg: Number(row.dataset.seen), why };
  const answer = await send("PUT", "/api/crew/weight", body);
  if (answer.status === 409) {
    const people = (await (await fetch("/api/crew/people")).json()).people;
    row.dataset.seen = people.find((one) => one.id === row.dataset.person).mass_kg;
    if ((await choose(answer.problem.clashes[0])) === "yours") return weigh(row, kilograms, why);
    row.elements.kg.value = row.dataset.seen;
    return undefined;
  }
  bad.textContent = answer.problem ? words(answer.problem) : "";
  bad.hidden = !answer.problem;
  if (answer.problem) return undefined;
  row.dataset.seen = String(answer.data.mass_kg);
  row.elements.kg.value = row.dataset.seen;
  said.textContent = why === "undo" ? "Undone." : "Written. ";
  if (why !== "undo") {
    const undo = document.createElement("button");
    undo.type = "button";
    undo.textContent = "Undo";
    undo.addEventListener("click", () => weigh(row, answer.data.before_kg, "undo"));
    said.append(undo);
  }
  return undefined;
}

if (form) {
  put({});
  for (const group of deck.querySelectorAll(".person")) dragging(group);
  form.addEventListener("change", (event) => {
    if (event.target.id !== "place-wind") steps.push(shown);
    put({});
  });
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    if (document.getElementById("keep")) keep(values(), seatsOf(usual()), "");
  });
  document.getElementById("step-back").addEventListener("click", () => put(steps.pop() ?? {}));
  document.getElementById("usual").addEventListener("click", () => change(usual()));
  document.getElementById("crew-study").addEventListener("click", (event) => {
    if (!event.target.dataset.best) return;
    const best = JSON.parse(event.target.dataset.best);
    const names = new Map([...deck.querySelectorAll(".person")].map((one) => [one.textContent.trim(), one.dataset.person]));
    change(Object.fromEntries(best.map((one) => [names.get(one.person), `${one.station}|${one.posture}`])));
    document.getElementById("priced").scrollIntoView({ block: "center" });
  });
  document.getElementById("weights").addEventListener("submit", (event) => {
    event.preventDefault();
    const row = event.target;
    const kilograms = Number(row.elements.kg.value.replace(",", "."));
    weigh(row, kilograms, "");
  });
}

document.addEventListener("cringle:change", async (event) => {
  const entries = (event.detail.changes ?? []).flatMap((one) => one.entries);
  if (entries.some((one) => one.kind === "racing")) location.reload();
  if (!entries.some((one) => one.kind === "toml_edit") || document.activeElement?.closest("#weights")) return;
  await refresh("/crew", document.getElementById("together"));
  await refresh("/crew", document.getElementById("weights"));
});
