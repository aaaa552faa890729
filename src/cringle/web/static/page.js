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

if (document.body.dataset.role) listen();
