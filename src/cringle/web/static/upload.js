// Send a file with progress, then follow the work on it; say what is wrong; stop when asked to.
import { send, token } from "./send.js";

const LOOK_EVERY_MS = 300;

function sent(path, file, told, stopped) {
  return new Promise((resolve) => {
    const line = new XMLHttpRequest();
    line.open("POST", `${path}${path.includes("?") ? "&" : "?"}name=${encodeURIComponent(file.name.slice(-80))}`);
    line.setRequestHeader("X-Cringle-Token", told);
    line.setRequestHeader("Content-Type", "application/octet-stream");
    line.upload.addEventListener("progress", (event) => stopped.show("Sending", event.loaded, event.total));
    line.addEventListener("load", () => {
      let data = {};
      try {
        data = JSON.parse(line.responseText);
      } catch {
        data = { message: "The server gave no answer that can be read.", fields: [] };
      }
      resolve(line.status < 300 ? { status: line.status, data } : { status: line.status, problem: data });
    });
    const gone = (message) => resolve({ status: 0, problem: { message, fields: [] } });
    line.addEventListener("error", () => gone("The connection was lost: nothing was kept. Send the file again."));
    line.addEventListener("abort", () => gone("Stopped: nothing was kept."));
    stopped.stop = () => line.abort();
    line.send(file);
  });
}

export async function follow(work, stopped) {
  let seen = work;
  stopped.stop = () => send("DELETE", `/api/errands/${work.id}`, {});
  while (seen.state === "waiting" || seen.state === "running") {
    stopped.show(seen.state === "waiting" ? "Waiting" : "Reading", seen.done, seen.total);
    await new Promise((resolve) => setTimeout(resolve, LOOK_EVERY_MS));
    try {
      const answer = await fetch(`/api/errands/${work.id}`);
      if (answer.ok) seen = await answer.json();
      else if (answer.status === 404 || answer.status === 401) return { status: answer.status, problem: await answer.json() };
    } catch {
      stopped.show("No connection; asking again", 0, 0);
    }
  }
  if (seen.state === "done") return { status: 200, data: seen.result };
  return { status: 422, problem: seen.problem };
}

// `stopped` is filled here with a function `stop`; its `show(words, done, total)` is called as it goes on.
export async function upload(path, file, most, stopped) {
  if (file.size > most) {
    const message = `${file.name} has ${Math.ceil(file.size / 1e6)} MB; accepted are ${Math.floor(most / 1e6)} MB.`;
    return { status: 413, problem: { message, next_step: "send a smaller file", fields: [] } };
  }
  const told = await token().catch(() => null);
  if (told === null) return { status: 0, problem: { message: `No connection: ${file.name} was not sent.`, fields: [] } };
  const answer = await sent(path, file, told, stopped);
  return answer.problem ? answer : follow(answer.data, stopped);
}
