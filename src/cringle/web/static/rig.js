// Rig: turns written, screws looked at, wires measured by typing, by a tap for each swing, or from a recording.
import { refresh } from "./part.js";
import { send, words } from "./send.js";
import { upload } from "./upload.js";

const by = (id) => document.getElementById(id);
const whole = (value) => String(Math.round(value) || 0).replace("-", "−");
let taps = [];

function wrong(id, problem) {
  by(id).textContent = problem ? words(problem) : "";
  by(id).hidden = !problem;
}

async function lock() {
  const answer = await send("PUT", "/api/rig/locks", { screws: ["all"], state: "locked" });
  by("locked-said").textContent = answer.problem ? words(answer.problem) : "Written.";
}

async function make(turns, why) {
  const answer = await send("PUT", "/api/rig/turns", { turns, why });
  wrong("made-wrong", answer.problem);
  if (answer.problem) return;
  by("made-said").textContent = why === "undo" ? "Undone." : "Written. ";
  if (why === "undo") return;
  const undo = document.createElement("button");
  undo.type = "button";
  undo.textContent = "Undo";
  undo.addEventListener("click", () => make(answer.data.before, "undo"));
  by("made-said").append(undo);
}

function show(found) {
  by("measured").hidden = false;
  by("tension").textContent = `${whole(found.tension_n)} N`;
  const pitch = found.frequency_hz ? ` at ${found.frequency_hz.toFixed(1)} Hz` : "";
  const between = `nine times in ten ${whole(found.tension_n_low)} to ${whole(found.tension_n_high)} N`;
  const more = found.difference_pct === null ? "" : ` (${found.difference_pct > 0 ? "+" : ""}${whole(found.difference_pct)} %)`;
  const beside = `The model expects ${whole(found.expected_n)} N at the recorded turns${more}.`;
  const kept = found.kept ? "Kept in the book." : "Not kept.";
  const told = [`${found.wire.replaceAll("_", " ")} by ${found.method}${pitch}: ${between}. ${beside}`, ...found.notes, kept];
  by("measured-words").textContent = told.join(" ");
}

const about = () => ({ wire: by("wire").value, upper: by("upper").checked, keep: by("keep")?.checked ?? false });

async function measure(values) {
  const answer = await send("POST", "/api/rig/measure", { ...about(), ...values });
  wrong("measuring-wrong", answer.problem);
  if (answer.data) show(answer.data);
}

function counted() {
  const cycles = Math.max(0, taps.length - 1);
  const seconds = cycles ? (taps[taps.length - 1] - taps[0]) / 1000 : 0;
  by("count").textContent = String(cycles);
  by("swing-seconds").textContent = seconds.toFixed(1);
  by("swing-done").disabled = cycles < 2;
  return { cycles, seconds };
}

async function read() {
  const file = by("recording").files[0];
  if (!file) {
    wrong("measuring-wrong", { message: "No file is chosen", next_step: "choose a recording" });
    return;
  }
  const query = new URLSearchParams(Object.entries(about()).map(([key, value]) => [key, String(value)]));
  const hand = { stop: () => {}, show: (part) => (by("measuring-said").textContent = `${part} …`) };
  const answer = await upload(`/api/uploads/recording?${query}`, file, Number(by("recording").dataset.most), hand);
  by("measuring-said").textContent = "";
  wrong("measuring-wrong", answer.problem);
  if (answer.data) show(answer.data);
}

document.addEventListener("click", (event) => {
  const { id, dataset } = event.target;
  if (id === "all-locked") lock();
  if (id === "made") make(JSON.parse(dataset.turns), "");
  if (id === "swing-done") measure(counted());
  if (id === "swing-again") {
    taps = [];
    counted();
  }
  if (id === "read-recording") read();
  if (dataset?.by) {
    const typed = dataset.by.split(" ").map((name) => [name, Number(by(name).value.trim().replace(",", ".") || "x")]);
    if (typed.some(([, value]) => Number.isNaN(value))) wrong("measuring-wrong", { message: "A number is missing", next_step: "type it" });
    else measure(Object.fromEntries(typed));
  }
});

function tap(event) {
  taps.push(event.timeStamp);
  counted();
}

document.addEventListener("pointerdown", (event) => {
  if (event.target.id === "swing") tap(event);
});
document.addEventListener("keydown", (event) => {
  if (event.target.id !== "swing" || event.repeat || (event.key !== " " && event.key !== "Enter")) return;
  event.preventDefault();
  tap(event);
});
document.addEventListener("submit", (event) => {
  if (event.target.id === "measuring") event.preventDefault();
});
document.addEventListener("cringle:part", (event) => {
  if (event.target.id === "rig" && !by("measuring")) refresh(location.href, by("measure"));
});

document.addEventListener("cringle:change", async (event) => {
  const entries = (event.detail.changes ?? []).flatMap((one) => one.entries);
  if (entries.some((one) => one.kind === "racing")) location.reload();
  else if (entries.some((one) => ["rig_turns", "rig_base", "screw_lock", "rig_measurement", "setting"].includes(one.kind))) {
    if (by("rig")) await refresh(location.href, by("rig"));
  }
});
