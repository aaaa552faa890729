// Shelf: show what a shared file would change, then take it over.
import { send, words } from "./send.js";

const form = document.getElementById("share");
const take = document.getElementById("take");
const changes = document.getElementById("changes");

async function share(wanted) {
  const what = document.getElementById("what").value;
  const answer = await send("POST", "/api/shelf/share", { what, take: wanted });
  const wrong = document.getElementById("share-wrong");
  wrong.textContent = answer.problem ? words(answer.problem) : "";
  wrong.hidden = !answer.problem;
  if (answer.problem) return;
  const found = answer.data.shares;
  changes.replaceChildren(
    ...found.flatMap((one) => {
      const head = document.createElement("h3");
      const state = one.taken ? "taken over" : one.lines.length ? "would change" : "the same already";
      head.textContent = `${one.book}: ${one.file}, ${state}`;
      if (one.taken || !one.lines.length) return [head];
      const lines = document.createElement("pre");
      lines.textContent = one.lines.join("\n");
      lines.tabIndex = 0;
      return [head, lines];
    }),
  );
  take.hidden = wanted || !found.some((one) => one.lines.length);
}

form?.addEventListener("submit", (event) => {
  event.preventDefault();
  share(false);
});
form?.addEventListener("change", () => {
  changes.replaceChildren();
  take.hidden = true;
});
take?.addEventListener("click", () => share(true));
