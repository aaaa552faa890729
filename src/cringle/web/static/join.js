// Join with a code; the picture that a phone scans carries it behind the #, which is never sent in an address.
const form = document.getElementById("join");
const wrong = form.querySelector(".wrong");
const code = document.getElementById("code");
const given = new URLSearchParams(location.hash.slice(1)).get("code");
if (given) {
  code.value = given;
  history.replaceState(null, "", "/join");
  document.getElementById("name").focus();
}

form.addEventListener("submit", async (event) => {
  event.preventDefault();
  const told = Object.fromEntries(new FormData(form));
  try {
    const answer = await fetch("/api/join", {
      method: "POST",
      headers: { "Content-Type": "application/json" },
      body: JSON.stringify(told),
    });
    if (answer.ok) {
      location.assign("/");
      return;
    }
    const problem = await answer.json();
    wrong.textContent = [problem.message, problem.next_step].filter(Boolean).join(". ");
  } catch {
    wrong.textContent = "no connection to the server: is this phone on the same Wi-Fi?";
  }
  wrong.hidden = false;
});
