// What the models work out beside the server: follow it, then put the finished part in.
import { refresh } from "./part.js";
import { worked } from "./working.js";

async function ask(place) {
  const text = place.querySelector(".status");
  const hand = { stop: () => {}, show: (part) => (text.textContent = `${place.dataset.words}: ${part.toLowerCase()} …`) };
  if (await worked(place, hand)) await refresh(location.href, place.closest("[id]"));
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
