// Ask for a part of the page with the form's values and put it in; the newest question for a place wins.
const asking = new WeakMap();

export function queryOf(form) {
  const query = new URLSearchParams();
  for (const [name, value] of new FormData(form)) if (value !== "") query.append(name, value);
  return query;
}

export async function refresh(url, target) {
  asking.get(target)?.abort();
  const own = new AbortController();
  asking.set(target, own);
  try {
    const answer = await fetch(url, { signal: own.signal, headers: { Accept: "text/html" } });
    if (!answer.ok || answer.redirected) return false;
    const text = await answer.text();
    const fresh = new DOMParser().parseFromString(text, "text/html");
    const part = fresh.getElementById(target.id);
    target.replaceChildren(...(part ?? fresh.body).childNodes);
    target.dispatchEvent(new CustomEvent("cringle:part", { bubbles: true }));
    return true;
  } catch {
    return false;
  }
}
