// What every page does: the look, the connection, and keeping up with the others.
import { listen } from "./live.js";

const select = document.getElementById("theme");
if (select) {
  select.value = document.documentElement.dataset.theme ?? "";
  select.addEventListener("change", () => {
    if (select.value) document.documentElement.dataset.theme = select.value;
    else delete document.documentElement.dataset.theme;
    try {
      localStorage.setItem("theme", select.value);
    } catch {
      // nothing is kept: the look lasts as long as the page
    }
  });
}

const more = document.getElementById("more-pages");
const others = document.getElementById("other-pages");

function show(open) {
  more.setAttribute("aria-expanded", String(open));
  others.dataset.open = open ? "yes" : "";
}

more?.addEventListener("click", () => show(more.getAttribute("aria-expanded") !== "true"));
document.addEventListener("keydown", (event) => {
  if (event.key !== "Escape" || more?.getAttribute("aria-expanded") !== "true") return;
  show(false);
  more.focus();
});
document.addEventListener("click", (event) => {
  if (more?.getAttribute("aria-expanded") === "true" && !event.target.closest("nav")) show(false);
});

if (document.body.dataset.role) listen();
