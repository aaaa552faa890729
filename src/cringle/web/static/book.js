// Book: files in, codes, leaving.
import { send, words } from "./send.js";

const wrong = document.getElementById("in-wrong");
const said = document.getElementById("in-said");

document.getElementById("in").addEventListener("submit", async (event) => {
  event.preventDefault();
  const form = event.target;
  said.textContent = "Taking it in …";
  wrong.hidden = true;
  const answer = await send("POST", form.dataset.path, new FormData(form));
  said.textContent = answer.data?.words ?? "";
  wrong.textContent = answer.problem ? words(answer.problem) : "";
  wrong.hidden = !answer.problem;
});

document.getElementById("leave").addEventListener("click", async () => {
  await send("POST", "/api/leave", {});
  location.assign("/join");
});

for (const button of document.querySelectorAll("[data-access]")) {
  button.addEventListener("click", async () => {
    const { access, whose } = button.dataset;
    const answer = await send("POST", `/api/access/${access}`, { roles: [whose] });
    const told = answer.data?.[whose];
    const line = access === "codes" ? `New ${whose} code: ${told}. It is shown this once.` : "Everybody of the crew is out.";
    document.getElementById("code").textContent = answer.problem ? words(answer.problem) : line;
  });
}
