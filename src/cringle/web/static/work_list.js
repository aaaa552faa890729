// Work list: say what became of an item; undo by opening it again.
import { refresh } from "./part.js";
import { send, words } from "./send.js";

const list = document.getElementById("list");
const said = document.getElementById("said");

list.addEventListener("click", async (event) => {
  const { item, state } = event.target.dataset ?? {};
  if (!item) return;
  const answer = await send("PUT", "/api/work-list", { item, state });
  said.textContent = answer.problem ? words(answer.problem) : `Written: ${state}.`;
  await refresh("/work-list", list);
});

document.addEventListener("cringle:change", () => refresh("/work-list", list));
