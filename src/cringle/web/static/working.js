// Ask for work that is done beside the server, show how far it is, then show the page with its result.
import { send, words } from "./send.js";
import { follow } from "./upload.js";

export function show(part, bar, text, done, total) {
  text.textContent = total ? `${part}: ${Math.floor((100 * done) / total)} %` : `${part} …`;
  if (total) {
    bar.max = total;
    bar.value = done;
  } else bar.removeAttribute("value");
}

export async function worked(place, hand) {
  const wrong = place.querySelector(".wrong");
  const bar = place.querySelector("progress");
  wrong.hidden = true;
  bar.hidden = false;
  const asked = await send("GET", place.dataset.ask);
  const answer = asked.problem ? asked : await follow(asked.data, hand);
  if (!answer.problem) return true;
  wrong.textContent = words(answer.problem);
  wrong.hidden = false;
  place.querySelector(".status").textContent = "";
  bar.hidden = true;
  return false;
}

export async function askFor(section) {
  section.hidden = false;
  const bar = section.querySelector("progress");
  const text = section.querySelector(".status");
  const hand = { stop: () => {}, show: (part, done, total) => show(part, bar, text, done, total) };
  section.querySelector(".stop").onclick = () => hand.stop();
  const done = await worked(section, hand);
  if (done) location.reload();
  return done;
}

export function guessing(afterwards) {
  const form = document.getElementById("guess");
  if (!form) return;
  const wrong = form.querySelector(".wrong");
  const go = () => {
    document.getElementById("gate").hidden = true;
    afterwards();
  };
  document.getElementById("no-guess").addEventListener("click", go);
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    const told = Object.fromEntries(new FormData(form));
    const answer = await send("POST", "/api/home/guess", { ...told, outing: form.dataset.outing });
    wrong.textContent = answer.problem ? words(answer.problem) : "";
    wrong.hidden = !answer.problem;
    if (!answer.problem) go();
  });
}
