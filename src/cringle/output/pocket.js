"use strict";
(() => {
  const data = JSON.parse(document.getElementById("data").textContent);
  const find = (id) => document.getElementById(id);
  const make = (tag, text, name) => {
    const found = document.createElement(tag);
    if (text !== undefined) found.textContent = text;
    if (name) found.className = name;
    return found;
  };
  const key = `cringle-pocket ${data.boat}`;
  let kept = true;
  let state = { entries: [], by: "", locked: null };
  try {
    state = { ...state, ...JSON.parse(localStorage.getItem(key) ?? "{}") };
  } catch {
    kept = false;
  }
  const save = () => {
    try {
      localStorage.setItem(key, JSON.stringify(state));
    } catch {
      kept = false;
    }
    find("kept").textContent = kept
      ? "Kept on this phone until you give it out."
      : "This phone keeps nothing for this page: give it out before you close it.";
  };

  const winds = Object.keys(data.winds).sort((a, b) => a - b);
  let place = Math.max(0, winds.indexOf(state.locked ?? data.wind));
  if (!winds.includes(state.locked ?? data.wind)) {
    place = winds.findIndex((one) => Number(one) >= Number(data.wind));
    if (place < 0) place = winds.length - 1;
  }
  const show = () => {
    const found = data.winds[winds[place]];
    find("wind").textContent = `${winds[place]} kn`;
    const parts = [];
    if (found.heel) parts.push(make("p", `Heel ${found.heel} to leeward`));
    for (const [person, rows] of found.people) {
      parts.push(make("h3", person));
      for (const [role, numbers] of rows) {
        const row = make("div", undefined, "control");
        row.append(make("span", data.roles[role][0]));
        numbers.forEach((text, number) => {
          const one = make("span", undefined);
          one.append(make("small", found.gears[number]), make("b", text));
          row.append(one);
        });
        parts.push(row);
      }
    }
    find("numbers").replaceChildren(...parts);
    const locked = state.locked !== null;
    find("less").disabled = locked || place === 0;
    find("more").disabled = locked || place === winds.length - 1;
    find("locked").hidden = !locked;
    find("moves").hidden = locked;
    find("lock").textContent = locked ? "The race is over" : "Preparatory signal: lock";
  };
  find("less").onclick = () => { place -= 1; show(); };
  find("more").onclick = () => { place += 1; show(); };
  find("lock").onclick = () => {
    state.locked = state.locked === null ? winds[place] : null;
    save();
    show();
  };

  const uid = () => {
    const bytes = crypto.getRandomValues(new Uint8Array(16));
    bytes[6] = (bytes[6] & 0x0f) | 0x40;
    bytes[8] = (bytes[8] & 0x3f) | 0x80;
    const hex = [...bytes].map((one) => one.toString(16).padStart(2, "0")).join("");
    return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join("-");
  };
  const list = () => {
    const said = (one) =>
      one.kind === "setting" ? `${data.roles[one.role][0]} at ${one.value}` : one.text ?? `${one.seconds} s`;
    const lines = state.entries.map((one) => make("li", `${one.at_utc.slice(11, 16)} UTC ${said(one)}`));
    find("list").replaceChildren(...lines);
  };
  const keep = (entry) => {
    state.entries.push({ uid: uid(), at_utc: new Date().toISOString(), by: state.by || "crew", ...entry });
    save();
    list();
    find("said").textContent = "Noted.";
  };
  find("by").value = state.by;
  find("by").oninput = () => { state.by = find("by").value.trim(); save(); };
  find("note").onsubmit = (event) => {
    event.preventDefault();
    const text = find("text").value.trim();
    if (text) keep({ kind: "note", text });
    find("text").value = "";
  };
  for (const [role, [name]] of Object.entries(data.roles)) {
    const option = make("option", name);
    option.value = role;
    find("role").append(option);
  }
  find("set").onsubmit = (event) => {
    event.preventDefault();
    const role = find("role").value;
    const value = Number(find("value").value.replace(",", ".").replace("½", ".5"));
    const [name, unit, low, high] = data.roles[role];
    if (find("value").value.trim() === "" || !(value >= low && value <= high)) {
      find("said").textContent = `${name}: ${low} to ${high} ${unit}s.`;
      return;
    }
    keep({ kind: "setting", role, value });
    find("value").value = "";
  };
  let started = null;
  let ticking = 0;
  find("watch").onclick = () => {
    if (started === null) {
      started = performance.now();
      find("watch").textContent = "Stop the watch";
      ticking = setInterval(() => {
        find("seconds").textContent = `${((performance.now() - started) / 1000).toFixed(1)} s`;
      }, 100);
      return;
    }
    const seconds = Number(((performance.now() - started) / 1000).toFixed(1));
    clearInterval(ticking);
    started = null;
    find("watch").textContent = "Start the watch";
    find("seconds").textContent = `${seconds} s`;
    keep({ kind: "stopwatch", seconds });
  };
  find("export").onclick = () => {
    const told = { format: data.format, boat: data.boat, entries: state.entries };
    const link = make("a");
    link.href = URL.createObjectURL(new Blob([JSON.stringify(told)], { type: "application/json" }));
    link.download = "pocket-notes.json";
    link.click();
    find("said").textContent = `${state.entries.length} given out; they stay here too.`;
  };

  for (const button of document.querySelectorAll(".rehearse")) {
    button.hidden = false;
    button.onclick = () => {
      const [title, steps] = data.plays[Number(button.dataset.play)];
      const box = find("rehearsal");
      const word = make("p", title, "word");
      const next = make("button", "Next");
      const began = performance.now();
      let step = -1;
      next.onclick = () => {
        step += 1;
        if (step < steps.length) {
          word.textContent = `${steps[step][0]}: ${steps[step][1]}`;
          return;
        }
        const seconds = Number(((performance.now() - began) / 1000).toFixed(1));
        word.textContent = `Done in ${seconds} s`;
        keep({ kind: "stopwatch", seconds, text: `rehearsed: ${title}` });
        next.hidden = true;
      };
      box.replaceChildren(word, next);
      box.hidden = false;
      box.scrollIntoView();
    };
  }
  find("still").hidden = true;
  find("lookup").hidden = false;
  find("take").hidden = false;
  save();
  list();
  show();
})();
