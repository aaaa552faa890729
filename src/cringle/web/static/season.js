// Season: close actions; what the logs say together is worked out beside the server.
import { refresh } from "./part.js";
import { send, words } from "./send.js";
import { askFor } from "./working.js";

const plan = document.getElementById("plan");
const working = document.getElementById("working");
if (working) askFor(working);

plan.addEventListener("click", async (event) => {
  const id = event.target.dataset?.close;
  if (!id) return;
  const answer = await send("POST", "/api/home/actions/close", { id });
  await refresh("/season", plan);
  document.getElementById("said").textContent = answer.problem ? words(answer.problem) : "Done.";
});

document.addEventListener("cringle:change", (event) => {
  const kinds = (event.detail.changes ?? []).flatMap((one) => one.entries.map((entry) => entry.kind));
  if (kinds.includes("racing")) location.reload();
  else refresh("/season", plan);
});
