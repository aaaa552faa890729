// Numbers: one cell at a time, with its history; a change that meets another one asks.
import { refresh } from "./part.js";
import { choose, send, words } from "./send.js";

const editor = document.getElementById("editor");
const table = document.getElementById("table");
let opened = null;
let writing = false;

function here() {
  return {
    sail_set: document.getElementById("sail_set").value,
    sea: document.getElementById("sea").value,
  };
}

function again(cell) {
  const { role, wind, gear } = cell;
  return [...table.querySelectorAll("button.cell")].find(
    (one) => one.dataset.role === role && one.dataset.wind === wind && one.dataset.gear === gear,
  );
}

function busy() {
  const form = document.getElementById("edit");
  return form !== null && form.value.value !== form.value.defaultValue;
}

async function open(cell) {
  opened = { role: cell.role, wind: cell.wind, gear: cell.gear };
  const query = new URLSearchParams({ role: cell.role, wind_kn: cell.wind, gear: cell.gear, ...here() });
  editor.hidden = false;
  if (!(await refresh(`/part/cell?${query}`, editor))) return;
  for (const one of table.querySelectorAll("[aria-expanded]")) one.removeAttribute("aria-expanded");
  again(opened)?.setAttribute("aria-expanded", "true");
}

function close() {
  editor.hidden = true;
  const button = opened && again(opened);
  button?.removeAttribute("aria-expanded");
  button?.focus();
  opened = null;
}

function wrong(text) {
  const field = document.getElementById("wrong-value");
  field.textContent = text;
  field.hidden = !text;
  document.getElementById("value").toggleAttribute("aria-invalid", Boolean(text));
}

function told(form, value, why, base) {
  const data = form.dataset;
  return {
    role: data.role,
    wind_kn: Number(data.wind),
    gear: data.gear,
    sail_set: data.sails,
    sea: data.sea,
    value,
    why,
    base_id: base === "" ? null : Number(base),
  };
}

async function current(form) {
  const data = form.dataset;
  const query = new URLSearchParams({
    role: data.role,
    wind_kn: data.wind,
    gear: data.gear,
    sail_set: data.sails,
    sea: data.sea,
  });
  const answer = await fetch(`/api/numbers/cell?${query}`);
  const found = await answer.json();
  return found.value === null ? "" : String(found.entry_id);
}

async function write(form, value, why, base) {
  const answer = await send("PUT", "/api/numbers/cell", told(form, value, why, base));
  if (answer.status === 409) {
    if ((await choose(answer.problem.clashes[0])) === "yours") return write(form, value, why, await current(form));
    await open(opened);
    return null;
  }
  if (answer.problem) {
    wrong(words(answer.problem));
    return null;
  }
  return answer.data;
}

async function table_again() {
  await refresh(location.href, table);
  if (opened) again(opened)?.setAttribute("aria-expanded", "true");
}

function offerUndo(form, done) {
  const status = document.getElementById("done");
  status.textContent = [`Written.`, ...done.warnings, done.advice ?? ""].filter(Boolean).join(" ");
  const undo = document.createElement("button");
  undo.type = "button";
  undo.id = "undo";
  undo.textContent = "Undo";
  undo.addEventListener("click", async () => {
    const back = await write(form, done.before, "undo", String(done.entry_id));
    if (back) {
      await table_again();
      await open(opened);
    }
  });
  status.append(" ", undo);
}

table.addEventListener("click", async (event) => {
  const cell = event.target.closest("button.cell");
  if (!cell) return;
  await open(cell.dataset);
  (document.getElementById("value") ?? editor).focus();
  editor.scrollIntoView({ block: "nearest" });
});

editor.addEventListener("click", (event) => {
  if (event.target.id === "close") close();
});

editor.addEventListener("keydown", (event) => {
  if (event.key === "Escape") close();
});

async function submitted(form) {
  const text = form.value.value.trim().replace(",", ".");
  const value = text === "" ? null : Number(text);
  if (Number.isNaN(value)) {
    wrong("this is no number");
    return;
  }
  wrong("");
  const done = await write(form, value, form.why.value, form.dataset.base);
  if (!done) return;
  await table_again();
  await open(opened);
  const fresh = document.getElementById("edit");
  if (fresh) offerUndo(fresh, done);
}

editor.addEventListener("submit", async (event) => {
  event.preventDefault();
  if (writing) return;
  writing = true;
  await submitted(event.target).finally(() => (writing = false));
});

document.getElementById("go-back")?.addEventListener("click", async (event) => {
  const to = event.target.dataset.to;
  const answer = await send("POST", "/api/numbers/restore", { to });
  if (!answer.problem) location.assign("/numbers");
  else event.target.insertAdjacentText("afterend", words(answer.problem));
});

document.addEventListener("cringle:change", async (event) => {
  const entries = (event.detail.changes ?? []).flatMap((one) => one.entries);
  if (entries.some((one) => one.kind === "racing")) location.reload();
  await table_again();
  if (opened && !writing && !busy() && !document.getElementById("undo")) await open(opened);
});
