// Numbers: readings of a gauge study in, its verdict out.
import { words } from "./send.js";
import { upload } from "./upload.js";

const MOST_BYTES = 1e6;
const form = document.getElementById("gauge");

form?.addEventListener("submit", async (event) => {
  event.preventDefault();
  const said = document.getElementById("gauge-said");
  const wrong = document.getElementById("gauge-wrong");
  const control = document.getElementById("gauge-control").value;
  const file = document.getElementById("gauge-file").files[0];
  said.textContent = "Judging …";
  wrong.hidden = true;
  const hand = { stop: () => {}, show: () => {} };
  const answer = await upload(`/api/uploads/gauge?control=${encodeURIComponent(control)}`, file, MOST_BYTES, hand);
  said.textContent = answer.problem ? "" : answer.data.study.words;
  wrong.textContent = answer.problem ? words(answer.problem) : "";
  wrong.hidden = !answer.problem;
});
