"""The speed model's answers for tonight in every wind, as a table that can be kept."""

from __future__ import annotations

import math
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from cringle.errors import NotConvergedError
from cringle.speed.assign import Assignment, Prices, Wanted, assign
from cringle.speed.calls import call_for_leg
from cringle.speed.crew_load import body_place, crew_load
from cringle.speed.techniques import Technique, techniques
from cringle.units import degrees_to_radians
from cringle.workflows.speed.crew import FULL_HIKE, MORE_THAN_ANYBODY_M, hike_price
from cringle.workflows.speed.open import SpeedAsked, SpeedBook, open_speed
from cringle.workflows.speed.speed import CaseTargets, targets_of_cases

Array = NDArray[np.float64]

MEMBERS = 24
"""Boats in the ensemble of tonight's heel targets."""

FIRST_KN, LAST_KN, STEP_KN = 3.0, 26.0, 1.0
"""Winds of the table."""

CALL_STEP_KN = 0.5
"""Winds among which the windows of the techniques are looked for."""


def tonight_table(folder: Path, *, sea: str, aboard: Sequence[str]) -> dict[str, Any]:
    """Return heel targets, places, calls and the moment ratio for every wind of the table.

    Parameters
    ----------
    folder : Path
        The book.
    sea : str
        ``flat``, ``chop`` or ``waves``.
    aboard : sequence of str
        Who is aboard; empty for everybody.

    Raises
    ------
    CringleError
        The class does not allow these people, or files have mistakes.
    """
    book = open_speed(folder, SpeedAsked(sea=sea, aboard=tuple(aboard), members=MEMBERS))
    winds = np.arange(FIRST_KN, LAST_KN + 0.5 * STEP_KN, STEP_KN)
    up, *run = targets_of_cases(book, winds, (book.model.upwind, *book.model.run))
    best = [_best(run, place) for place in range(winds.size)]
    found = techniques(book.model, np.arange(FIRST_KN, LAST_KN + 0.1, CALL_STEP_KN)) if run else ()
    return {
        "winds_kn": winds.tolist(),
        "heel_up_deg": _heels([up] * winds.size),
        "heel_down_deg": _heels(best),
        "places_up": [_places(book, up, place) for place in range(winds.size)],
        "places_down": [None if one is None else _places(book, one, place) for place, one in enumerate(best)],
        "calls": [_call(found, float(wind)) for wind in winds],
        "moment_ratio": _ratios(book, up),
    }


def _best(run: Sequence[CaseTargets], place: int) -> CaseTargets | None:
    able = [one for one in run if one.found.cells.converged[place]]
    return max(able, key=lambda one: float(one.found.made_good_kn[place]), default=None)


def _heels(rows: Sequence[CaseTargets | None]) -> dict[str, list[float | None]]:
    """Return the heel target in every wind with its interval; null where there is none."""
    out: dict[str, list[float | None]] = {"value": [], "low": [], "high": []}
    for place, one in enumerate(rows):
        there = one is not None and bool(one.found.cells.converged[place])
        for name, column in out.items():
            column.append(_number(_heel(one, name, place)) if there and one is not None else None)
    return out


def _heel(one: CaseTargets, name: str, place: int) -> float:
    columns = {
        "value": one.found.cells.heel_deg,
        "low": one.known.heel_deg.low,
        "high": one.known.heel_deg.high,
    }
    return float(columns[name][place])


def _number(value: float) -> float | None:
    return round(value, 2) if math.isfinite(value) else None


def _places(book: SpeedBook, one: CaseTargets, place: int) -> list[dict[str, str]] | None:
    cells = one.found.cells
    if not cells.converged[place]:
        return None
    share, load = float(cells.crew_place[place]), book.model.crew
    side = MORE_THAN_ANYBODY_M if share > FULL_HIKE else share * load.hike_m
    seats = [
        body_place(book.files.class_file, x, station=x.station, posture=x.posture) for x in book.crew.people
    ]
    trim = sum(x.mass_kg * x.forward_m for x in seats)
    try:
        found = assign(
            book.files.class_file,
            book.crew.people,
            Wanted(side * load.mass_kg, trim),
            prices=Prices(hike=hike_price(share)),
        )
    except NotConvergedError:
        return None
    return _seats(found)


def _seats(found: Assignment) -> list[dict[str, str]]:
    return [
        {
            "person": one.person.name,
            "station": one.seat.station,
            "posture": str(one.seat.posture),
            "station_name": one.seat.station_name,
        }
        for one in found.seated
    ]


def _call(found: Sequence[Technique], wind_kn: float) -> dict[str, Any] | None:
    """Return the call for a square run, null where nothing can be sailed."""
    if not found:
        return None
    try:
        call = call_for_leg(found, wind_kn)
    except NotConvergedError:
        return None
    return {
        "lane": call.lane,
        "technique": call.technique,
        "jib": call.jib,
        "margin_m_per_min": _number(call.margin_m_per_min),
        "why": call.why,
        "flips_at_kn": None if call.flips_at_kn is None else _number(call.flips_at_kn),
    }


def _ratios(book: SpeedBook, up: CaseTargets) -> list[float | None]:
    """Return the righting moment of the people aboard over that of the crew file's, at the heel target."""
    usual = book.model.with_crew(crew_load(book.files.class_file, book.files.crew_file))
    heel = np.nan_to_num(up.found.cells.heel_deg)
    own, other = (one.most_moment(degrees_to_radians(heel)) for one in (book.model, usual))
    return [_number(float(value)) for value in own / other]
