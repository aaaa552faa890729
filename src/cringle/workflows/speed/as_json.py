"""Answers of the speed model as JSON: units in every key, `_low` and `_high` for the 90 % interval."""

from __future__ import annotations

import math
from typing import Any

from cringle.speed.cases import Case
from cringle.speed.depower_order import Step
from cringle.speed.depower_puff import Puff
from cringle.speed.heel import HeelCost
from cringle.speed.lanes import LaneAnswer
from cringle.workflows.speed.open import SpeedBook
from cringle.workflows.speed.speed import CaseTargets, PolarAnswer, TargetsAnswer, TechniquesAnswer

SCHEMA = 1


def number(value: float, digits: int = 3) -> float | None:
    """Return a number for JSON: rounded, null where it is not known, never minus zero."""
    return round(float(value), digits) + 0.0 if math.isfinite(value) else None


def head(book: SpeedBook) -> dict[str, Any]:
    """Return what every answer says of itself."""
    fit = book.fit if book.fitted is not None else None
    return {
        "schema": SCHEMA,
        "boat": book.files.boat_file.boat.name,
        "sea": book.asked.sea,
        "crew_kg": book.crew.mass_kg,
        "people": [one.name for one in book.crew.people],
        "wind_reference_m": 10.0,
        "fit": None if fit is None else {"id": fit.id, "at": fit.at.isoformat(), **factors_json(book)},
        "interval": "90 %",
        "members": book.asked.members,
    }


def factors_json(book: SpeedBook) -> dict[str, Any]:
    """Return the fitted factors."""
    return {} if book.fitted is None else {"factors": dict(vars(book.fitted.factors))}


def with_ends(name: str, unit: str, values: tuple[float, float, float]) -> dict[str, float | None]:
    """Return a number and its interval under one name: ``speed_kn``, ``speed_kn_low``, ``speed_kn_high``."""
    key = f"{name}_{unit}"
    best, low, high = (number(one) for one in values)
    return {key: best, f"{key}_low": low, f"{key}_high": high}


def target_row(one: CaseTargets, place: int, *, point: str | None) -> dict[str, Any]:
    """Return one target as a row."""
    cells, known, case = one.found.cells, one.known, one.found.case
    row: dict[str, Any] = {"tws_kn": number(one.found.wind_kn[place])}
    if point is not None:
        row["point"] = point
    row |= {"technique": None if case.technique is None else str(case.technique), "jib": case.jib}
    for name, unit, best, ends in (
        ("twa", "deg", cells.angle_deg, known.angle_deg),
        ("speed", "kn", cells.boat_speed_kn, known.speed_kn),
        ("vmg", "kn", one.found.made_good_kn, known.vmg_kn),
        ("heel", "deg", cells.heel_deg, known.heel_deg),
    ):
        there = bool(cells.converged[place])
        values = tuple(float(x[place]) if there else math.nan for x in (best, ends.low, ends.high))
        row |= with_ends(name, unit, values)  # type: ignore[arg-type]  # three by construction
    return row | {
        "leeway_deg": number(cells.leeway_deg[place]),
        "rudder_deg": number(cells.rudder_angle_deg[place]),
        "power": number(cells.power[place]),
        "crew_place": number(cells.crew_place[place]),
        "spare_nm": number(cells.spare_nm[place], 1),
        "status": status_word(int(cells.status[place])),
        "at_bound": bool(one.found.at_bound[place]),
    }


def status_word(status: int) -> str:
    """Return what became of a cell in words."""
    return ("converged", "over-powered", "not reachable", "not converged")[status]


def targets_json(found: TargetsAnswer) -> dict[str, Any]:
    """Return targets: a row up the wind and one down it for every wind."""
    rows = []
    for place in range(found.wind_kn.size):
        rows.append(target_row(found.up, place, point="up"))
        best = found.best_run(place)
        if best is not None:
            rows.append(target_row(best, place, point="down"))
    return {**head(found.book), "gear": str(found.gear), "rows": rows}


def techniques_json(found: TechniquesAnswer) -> dict[str, Any]:
    """Return every technique in every wind, and the windows."""
    rows = [target_row(one, place, point=None) for place in range(found.wind_kn.size) for one in found.cases]
    windows = [
        {
            **_case(one.case),
            "from_kn": number(one.from_kn),
            "to_kn": number(one.to_kn),
            "keep_from_kn": number(one.keep_from_kn),
            "keep_to_kn": number(one.keep_to_kn),
            "margin_m_per_min": number(one.margin_m_per_min, 1),
            "margin_s_per_mile": number(one.margin_s_per_mile, 1),
            "next_best": None if one.next_best is None else _case(one.next_best),
        }
        for one in found.windows
    ]
    return {**head(found.book), "rows": rows, "windows": windows}


def _case(case: Case) -> dict[str, Any]:
    return {"technique": None if case.technique is None else str(case.technique), "jib": case.jib}


def polar_json(found: PolarAnswer) -> dict[str, Any]:
    """Return the polar: one row for every case, wind and angle that can be sailed or was asked for."""
    rows = []
    for one in found.polars:
        cells = one.cells
        for i, wind in enumerate(one.wind_kn):
            for j, angle in enumerate(one.angle_deg):
                rows.append(
                    {
                        "tws_kn": number(wind),
                        "twa_deg": number(angle),
                        "case": one.case.name,
                        **_case(one.case),
                        "speed_kn": number(cells.boat_speed_kn[i, j]),
                        "heel_deg": number(cells.heel_deg[i, j]) if cells.converged[i, j] else None,
                        "power": number(cells.power[i, j]),
                        "lower_speed_kn": number(one.lower.boat_speed_kn[i, j]),
                        "status": status_word(int(cells.status[i, j])),
                    }
                )
    return {**head(found.book), "rows": rows}


def heel_cost_json(cost: HeelCost) -> list[dict[str, Any]]:
    """Return the price of sailing beside the heel target, a row for every wind."""
    rows = []
    for i, wind in enumerate(cost.wind_kn):
        row = {"tws_kn": number(wind), **_case(cost.case), "heel_deg": number(cost.heel_deg[i])}
        row["beside"] = [
            {
                "offset_deg": float(offset),
                **with_ends(
                    "cost",
                    "s_per_mile",
                    (cost.s_per_mile[i, k], cost.s_per_mile_90.low[i, k], cost.s_per_mile_90.high[i, k]),
                ),
            }
            for k, offset in enumerate(cost.offset_deg)
        ]
        rows.append(row)
    return rows


def step_json(step: Step) -> dict[str, Any]:
    """Return one step of the depower order."""
    return {
        "step": step.name,
        "from_kn": number(step.from_kn),
        "to_kn": number(step.to_kn),
        "do": step.words,
        "controls": list(step.controls),
        "spare_nm": number(step.spare_nm, 0),
        "spare_share": number(step.spare_share),
        "heel_deg": number(step.heel_deg),
        "power": number(step.power),
        **with_ends("cost", "s_per_mile", (step.cost_s_per_mile, *step.cost_s_per_mile_90)),
    }


def puff_json(found: Puff) -> dict[str, Any]:
    """Return feathering against easing."""
    keys = ("feather_deg", "feather_m_per_min", "ease_m_per_min")
    values = {key: getattr(found, key) for key in keys}
    return {
        "tws_kn": found.wind_kn,
        "puff_kn": found.puff_kn,
        "held": found.held,
        **{key: None if value is None else number(value) for key, value in values.items()},
        "gain_m_per_min": None if found.gain_m_per_min is None else number(found.gain_m_per_min),
    }


def lane_json(found: LaneAnswer) -> dict[str, Any]:
    """Return the answer to a lane question."""
    unit = {"percent": "percent", "deg": "deg", "s": "s", "m": "m"}[found.break_even_unit]
    gain, even = found.gain_m_90 or (math.nan, math.nan), found.break_even_90 or (math.nan, math.nan)
    return {
        "question": found.question,
        "answer": found.words,
        **with_ends("gain", "m", (found.gain_m, *gain)),
        **with_ends("break_even", unit, (found.break_even, *even)),
        "break_even_means": found.break_even_words,
        "numbers": {name: number(value) for name, value in found.numbers},
        "tracks": [
            {
                "name": one.name,
                "across_m": [number(x, 1) for x in one.across_m],
                "up_m": [number(y, 1) for y in one.up_m],
            }
            for one in found.tracks
        ],
    }
