// Charts: put the picture in at the width there is; on request show the values under a finger.
const WIDE_FROM_PX = 680;
const QUIET = { ast: true, actions: false, defaultStyle: false, tooltip: { disableDefaultStyle: true }, renderer: "svg" };
let scripts = null;

function wideFor(figure) {
  return figure.clientWidth >= WIDE_FROM_PX ? "?wide=true" : "";
}

function loaded() {
  scripts ??= new Promise((resolve, reject) => {
    const own = document.createElement("script");
    own.src = "/chart/scripts.js";
    own.addEventListener("load", resolve);
    own.addEventListener("error", () => reject(new Error("The scripts for values did not come; the picture stays.")));
    document.head.append(own);
  });
  return scripts;
}

async function draw(figure) {
  const place = figure.querySelector(".plot");
  try {
    const answer = await fetch(`/chart/${figure.dataset.chart}.svg${wideFor(figure)}`);
    if (!answer.ok) throw new Error((await answer.text()) && "The chart did not come: load the page again.");
    const picture = new DOMParser().parseFromString(await answer.text(), "image/svg+xml").documentElement;
    picture.setAttribute("role", "img");
    picture.setAttribute("aria-label", place.dataset.words);
    place.replaceChildren(document.importNode(picture, true));
    figure.querySelector("button").hidden = false;
  } catch (error) {
    place.textContent = error.message;
  }
}

async function values(figure, button) {
  const place = figure.querySelector(".plot");
  button.disabled = true;
  button.textContent = "One moment …";
  try {
    await loaded();
    const spec = await (await fetch(`/chart/${figure.dataset.chart}.json${wideFor(figure)}`)).json();
    await window.vegaEmbed(place, spec, QUIET);
    place.querySelector("svg")?.setAttribute("aria-label", place.dataset.words);
    place.tabIndex = 0;
    button.textContent = "Touch a line: its values show";
  } catch (error) {
    button.textContent = error.message;
  }
}

export function charts(within = document) {
  for (const figure of within.querySelectorAll("figure[data-chart]")) {
    if (figure.dataset.drawn) continue;
    figure.dataset.drawn = "yes";
    draw(figure);
    const button = figure.querySelector("button");
    button.addEventListener("click", () => values(figure, button));
  }
}

charts();
document.addEventListener("cringle:part", (event) => charts(event.target));
