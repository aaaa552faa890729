"""What the speed model can say of a coach's advice, in seconds a mile with its interval; else nothing."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

import numpy as np

from cringle.boat.read import read_book_files
from cringle.errors import CringleError
from cringle.settings.winds import height_ratio
from cringle.speed.crew import changes, crew_worth
from cringle.speed.heel import heel_cost
from cringle.speed.surface import Part, surface_cost
from cringle.speed.targets import targets
from cringle.workflows.speed.cache import kept
from cringle.workflows.speed.open import SpeedAsked, SpeedBook, open_speed
from cringle.workflows.speed.tonight import MODEL_HEIGHT_M

MEMBERS: Final = 24
"""Boats in the ensemble of a visit's figures."""

QUESTION: Final = "worth"
HEEL_OFF_DEG: Final = 2.0
HEEL, RAIL = "heel", "rail"
SURFACES: Final[dict[str, Part]] = {"hull_surface": "hull", "keel_surface": "keel"}
"""Effect of an item of the work list to the surface it makes smooth."""

SMOOTH: Final = ("new", "faired")
"""Conditions of a keel that nothing can be won from."""

SURFACE_WORDS: Final[dict[Part, str]] = {
    "hull": "a faired bottom, if it is rough now",
    "keel": "faired keel and rudder, if they are rough now",
}


@dataclass(frozen=True)
class Improves:
    """What one thing is worth up the wind.

    Parameters
    ----------
    effect : str
        ``heel``, ``rail``, ``hull_surface`` or ``keel_surface``.
    words : str
        What is compared.
    s_per_mile, low, high : float
        Seconds that a mile made good takes less, with the 90 % interval.
    items : tuple of str
        Open items of the work list that work on it.
    """

    effect: str
    words: str
    s_per_mile: float
    low: float
    high: float
    items: tuple[str, ...] = ()

    @property
    def is_clear(self) -> bool:
        """Whether the gain is larger than its own uncertainty."""
        return self.low > 0.0


def improves(
    folder: Path, wind_kn: float, sea: str, *, items: Mapping[str, str] | None = None
) -> tuple[Improves, ...]:
    """Return what heel, the rail and smooth surfaces are worth in one wind, the most first.

    Parameters
    ----------
    folder : Path
        The book.
    wind_kn : float
        True wind at the table's height.
    sea : str
        ``flat``, ``chop`` or ``waves``.
    items : mapping, optional
        Id of an open item to its effect; a surface is told only where an item asks for it, the keel's only
        where the boat file does not call it new or faired.

    Returns
    -------
    tuple of Improves
        Empty where the model has no answer for this boat or wind.
    """
    wanted = dict(items or {})
    files = read_book_files(folder)
    at_10_m = wind_kn * height_ratio(files.boat_file.boat.wind_height_m, MODEL_HEIGHT_M)
    condition = files.boat_file.boat.keel_condition
    rough = {name: part for name, part in SURFACES.items() if part != "keel" or condition not in SMOOTH}
    effects = sorted({one for one in wanted.values() if one in rough})
    try:
        book = open_speed(folder, SpeedAsked(sea=sea, members=MEMBERS))
        fit = "" if book.fit is None else f"{book.fit.id} {sorted(book.fit.found.factors.items())}"
        inputs = (
            files.class_file.model_dump_json(),
            files.crew_file.model_dump_json(),
            fit,
            f"{at_10_m:.2f} {sea} {effects}",
        )
        rows = kept(folder, QUESTION, inputs, lambda: _priced(book, at_10_m, effects))
    except CringleError:
        return ()
    found = [Improves(**one, items=_on(wanted, one["effect"])) for one in rows]
    return tuple(sorted(found, key=lambda one: -one.s_per_mile))


def _on(items: Mapping[str, str], effect: str) -> tuple[str, ...]:
    return tuple(name for name, works_on in items.items() if works_on == effect)


def _priced(book: SpeedBook, wind_kn: float, effects: list[str]) -> list[dict[str, Any]]:
    winds, model = np.array([wind_kn]), book.model
    found = [_heel(book, winds)]
    wanted = [
        one for one in changes(book.files.class_file, book.crew, model.crew) if one.key == "one_posture"
    ]
    for one in crew_worth(model, book.boats, winds, wanted=wanted):
        if one.point == "up":
            found.append(_row(RAIL, "the heaviest on the rail hiking, not with legs in", one.s_per_mile, one))
    for effect in effects:
        cost = surface_cost(model, book.boats, winds, part=SURFACES[effect])
        words = {"hull": "a faired bottom, not a rough one", "keel": "faired foils, not rough ones"}[
            cost.part
        ]
        found.append(_row(effect, words, cost.s_per_mile, cost))
    return [one for one in found if all(math.isfinite(one[name]) for name in ("s_per_mile", "low", "high"))]


def _heel(book: SpeedBook, winds: np.ndarray[Any, np.dtype[np.float64]]) -> dict[str, Any]:
    found = targets(book.model, winds, case=book.model.upwind)
    cost = heel_cost(book.model, found, book.boats, offsets_deg=(HEEL_OFF_DEG,))
    words = f"heel on its number, not {HEEL_OFF_DEG:g}° over it"
    return _row(HEEL, words, cost.s_per_mile[:, 0], cost, column=0)


def _row(effect: str, words: str, value: Any, known: Any, *, column: int | None = None) -> dict[str, Any]:
    ends = (known.s_per_mile_90.low[0], known.s_per_mile_90.high[0])
    low, high = (float(one) if column is None else float(one[column]) for one in ends)
    return {"effect": effect, "words": words, "s_per_mile": float(value[0]), "low": low, "high": high}
