// Tonight: the slider and the fields change the numbers at once; conditions are shared by a button.
import { queryOf, refresh } from "./part.js";
import { choose, send, words } from "./send.js";
import { conditionsOf } from "./tonight_form.js";

const form = document.getElementById("conditions");
const numbers = document.getElementById("numbers");
const check = document.getElementById("check");
let touched = form !== null && location.search !== "";

function links() {
  const query = form && touched ? `?${queryOf(form)}` : "";
  document.getElementById("card-link").href = `/api/tonight/card.pdf${query}`;
  document.getElementById("pocket-link").href = `/api/tonight/pocket.html${query}`;
}

function show() {
  links();
  return refresh(`${form.dataset.part}?${queryOf(form)}`, numbers);
}

async function share() {
  const said = document.getElementById("said");
  const answer = await send("PUT", "/api/tonight/conditions", conditionsOf(form));
  if (answer.status === 409 && (await choose(answer.problem.clashes[0])) === "theirs") {
    location.assign("/");
    return;
  }
  if (answer.status === 409) {
    const page = new DOMParser().parseFromString(await (await fetch("/")).text(), "text/html");
    form.dataset.base = page.getElementById("conditions")?.dataset.base ?? "";
    await share();
    return;
  }
  said.textContent = answer.problem ? words(answer.problem) : "Everybody sees these conditions now.";
  if (answer.data) form.dataset.base = String(answer.data.entry_id);
}

if (form) {
  const wind = document.getElementById("wind_kn");
  const slider = document.getElementById("wind_slider");
  form.addEventListener("input", (event) => {
    touched = true;
    if (event.target === slider) wind.value = slider.value;
    if (event.target === wind && wind.value !== "") slider.value = wind.value.replace(",", ".");
    show();
  });
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    touched = true;
    history.replaceState(null, "", `/?${queryOf(form)}`);
    location.reload();
  });
  document.getElementById("share").addEventListener("click", share);
}

document.addEventListener("cringle:change", async (event) => {
  const kinds = (event.detail.changes ?? []).flatMap((one) => one.entries.map((entry) => entry.kind));
  if (kinds.includes("racing") || (kinds.includes("tonight_asked") && !touched)) {
    location.reload();
    return;
  }
  if (form && touched) await show();
  else await refresh("/part/tonight", numbers);
});

check?.addEventListener("change", async (event) => {
  const box = event.target;
  const answer = await send("POST", "/api/departure", { outing: check.dataset.outing, ticked: [box.value] });
  if (answer.problem) {
    box.checked = false;
    document.getElementById("line").textContent = words(answer.problem);
    document.getElementById("line").hidden = false;
  } else box.disabled = true;
});

links();
