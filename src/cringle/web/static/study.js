// What the models work out beside the server: follow it, then put the finished part in.
import { refresh } from "./part.js";
import { send, words } from "./send.js";
import { follow } from "./upload.js";

async function ask(place) {
  const text = place.querySelector(".status");
  const wrong = place.querySelector(".wrong");
  const hand = { stop: () => {}, show: (part) => (text.textContent = `${place.dataset.words}: ${part.toLowerCase()} …`) };
  wrong.hidden = true;
  place.querySelector("progress").hidden = false;
  const asked = await send("GET", place.dataset.ask);
  const answer = asked.problem ? asked : await follow(asked.data, hand);
  if (answer.problem) {
    wrong.textContent = words(answer.problem);
    wrong.hidden = false;
    text.textContent = "";
    place.querySelector("progress").hidden = true;
    return;
  }
  const section = place.closest("[id]");
  await refresh(location.href, section);
}

export function studies(within = document) {
  for (const place of within.querySelectorAll("[data-ask]")) {
    if (place.dataset.asked) continue;
    place.dataset.asked = "yes";
    place.querySelector(".again")?.addEventListener("click", () => ask(place));
    if (!place.dataset.failed) ask(place);
  }
}

studies();
document.addEventListener("cringle:part", (event) => studies(event.target));
