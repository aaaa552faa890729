// Send a change with the session's token; say what went wrong beside the field; ask when two people differ.
let known = null;

async function fetchToken() {
  const answer = await fetch("/api/session");
  known = (await answer.json()).token;
}

export async function token() {
  if (!known) await fetchToken();
  return known ?? "";
}

async function once(method, path, data) {
  const headers = { "X-Cringle-Token": await token() };
  if (method === "GET") return fetch(path, { headers });
  let body = data;
  if (!(data instanceof FormData)) {
    headers["Content-Type"] = "application/json";
    body = JSON.stringify(data);
  }
  return fetch(path, { method, headers, body });
}

export async function send(method, path, data) {
  let answer;
  try {
    answer = await once(method, path, data);
    if (answer.status === 403) {
      known = null;
      answer = await once(method, path, data);
    }
  } catch {
    return { status: 0, problem: { message: "No connection: what you typed is kept; try again.", fields: [] } };
  }
  const told = await answer.json().catch(() => ({}));
  if (answer.ok) return { status: answer.status, data: told };
  if (answer.status === 401) {
    told.message = "Your session has ended. Join again in another tab, then send this once more: it stays here.";
  }
  return { status: answer.status, problem: told };
}

export function words(problem) {
  return [problem.message, problem.next_step].filter(Boolean).join(". ");
}

export function choose(clash) {
  const dialog = document.getElementById("clash");
  document.getElementById("clash-words").textContent = `${clash.who} wrote ${clash.key} meanwhile.`;
  document.getElementById("clash-theirs").textContent = clash.theirs;
  document.getElementById("clash-yours").textContent = clash.yours;
  dialog.returnValue = "theirs";
  dialog.showModal();
  return new Promise((resolve) => {
    dialog.addEventListener("close", () => resolve(dialog.returnValue), { once: true });
  });
}
