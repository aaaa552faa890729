"""Writing the speed model's pictures."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from cringle.boat.write import write_atomically
from cringle.output.palette import LIGHT, Theme
from cringle.output.rig_pictures import picture
from cringle.output.speed_charts import (
    Shown,
    chart_bytes,
    depower_spec,
    heel_spec,
    targets_spec,
    techniques_spec,
)
from cringle.output.speed_deck import deck_svg
from cringle.output.speed_polar import polar_svg
from cringle.workflows.speed.as_json import target_row
from cringle.workflows.speed.crew import CrewAnswer, DepowerAnswer
from cringle.workflows.speed.open import SpeedBook
from cringle.workflows.speed.speed import CaseTargets, PolarAnswer, TargetsAnswer, TechniquesAnswer


def print_speed(
    found: TargetsAnswer | PolarAnswer | TechniquesAnswer | CrewAnswer | DepowerAnswer, path: Path
) -> Path:
    """Write the picture of an answer as SVG or PNG.

    Raises
    ------
    InputError
        Another suffix.
    BookError
        The file cannot be written.
    """
    write_atomically(path, _bytes(found, path.suffix))
    return path


def _bytes(
    found: TargetsAnswer | PolarAnswer | TechniquesAnswer | CrewAnswer | DepowerAnswer, suffix: str
) -> bytes:
    about = about_words(found.book)
    if isinstance(found, TargetsAnswer):
        return chart_bytes(targets_spec(_up_and_down(found), f"Targets, {about}"), suffix)
    if isinstance(found, TechniquesAnswer):
        return chart_bytes(techniques_chart(found), suffix)
    if isinstance(found, CrewAnswer):
        return chart_bytes(heel_spec(found.costs, f"Price of heel, {about}"), suffix)
    if isinstance(found, DepowerAnswer):
        return chart_bytes(depower_spec(found.steps, f"Order of depowering, {about}"), suffix)
    return picture(polar_svg(found.polars, f"Polar, {about}"), suffix)


def techniques_chart(found: TechniquesAnswer, theme: Theme = LIGHT) -> dict[str, Any]:
    """Return the chart of the techniques and their windows, as a specification."""
    shown = [_shown(one) for one in found.cases]
    return techniques_spec(shown, found.windows, f"Techniques for the run, {about_words(found.book)}", theme)


def _up_and_down(found: TargetsAnswer) -> dict[str, dict[str, list[float]]]:
    """Return the columns of the chart of targets: up the wind, and the best technique down it."""
    rows: dict[str, list[dict[str, float | None]]] = {"up": [], "down": []}
    for place in range(found.wind_kn.size):
        for name, one in (("up", found.up), ("down", found.best_run(place))):
            if one is not None and one.found.cells.converged[place]:
                rows[name].append(target_row(one, place, point=name))
    keys = {"wind": "tws_kn", "made_good": "vmg_kn", "angle": "twa_deg", "heel": "heel_deg"}
    every = dict(keys) | {
        f"{key}_{end}": f"{of}_{end}" for key, of in keys.items() if key != "wind" for end in ("low", "high")
    }
    return {
        name: {key: [_float(row[of]) for row in some] for key, of in every.items()}
        for name, some in rows.items()
    }


def _float(value: float | None) -> float:
    return float("nan") if value is None else float(value)


def _shown(one: CaseTargets) -> Shown:
    return one.found.case.name, one.found, one.known


def about_words(book: SpeedBook) -> str:
    """Return boat, people and sea in a few words."""
    return f"{book.files.boat_file.boat.name}, {book.crew.mass_kg:.0f} kg, {book.asked.sea}"


def print_places(found: CrewAnswer, path: Path) -> Path:
    """Write the deck plan of the middle wind as SVG or PNG.

    Raises
    ------
    InputError
        Another suffix.
    """
    place = len(found.places) // 2
    class_file = found.book.files.class_file
    title = f"Places upwind in {found.wind_kn[place]:g} kn"
    svg = deck_svg(class_file.hull, class_file.stations, found.places[place], title=title)
    write_atomically(path, picture(svg, path.suffix))
    return path
