// The conditions of a form as the server takes them.
import { queryOf } from "./part.js";

export function conditionsOf(form) {
  const told = { aboard: [] };
  for (const [name, value] of queryOf(form)) {
    if (name === "aboard") told.aboard.push(...value.split(" ").filter(Boolean));
    else if (name === "sea" || name === "sail_set") told[name] = value;
    else told[name] = Number(value.replace(",", "."));
  }
  if (form.dataset.base) told.base_id = Number(form.dataset.base);
  return told;
}
