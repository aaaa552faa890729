// Work list: say what became of an item; undo by opening it again.
import { refresh } from "./part.js";
import { send, words } from "./send.js";
import { askFor } from "./working.js";

const list = document.getElementById("list");
const said = document.getElementById("said");

list.addEventListener("click", async (event) => {
  const { item, state } = event.target.dataset ?? {};
  if (!item) return;
  const answer = await send("PUT", "/api/work-list", { item, state });
  said.textContent = answer.problem ? words(answer.problem) : `Written: ${state}.`;
  await refresh("/work-list", list);
});

document.getElementById("put-together")?.addEventListener("click", (event) => {
  event.target.hidden = true;
  askFor(document.getElementById("working"));
});

document.getElementById("visited")?.addEventListener("submit", async (event) => {
  event.preventDefault();
  const field = document.getElementById("sentence");
  const kind = document.getElementById("said-kind").value;
  const answer = await send("POST", "/api/visit", { [kind]: [field.value.trim()] });
  const wrong = document.getElementById("visit-wrong");
  wrong.textContent = answer.problem ? words(answer.problem) : "";
  wrong.hidden = !answer.problem;
  if (answer.problem) return;
  field.value = "";
  said.textContent = `Noted for the visit of ${answer.data.visit}.`;
});

document.addEventListener("cringle:change", (event) => {
  const kinds = (event.detail.changes ?? []).flatMap((one) => one.entries.map((entry) => entry.kind));
  if (kinds.includes("racing")) location.reload();
  else refresh("/work-list", list);
});
