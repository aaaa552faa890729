"""What people are worth: ten kilograms, one person, one posture, a step forward or aft, in seconds a mile."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike

from cringle.boat.base import Posture
from cringle.boat.class_file import ClassFile
from cringle.boat.crew_file import CrewFile, Person
from cringle.speed.cases import Case
from cringle.speed.crew_load import CrewLoad, body_place
from cringle.speed.ensemble import Array, Interval, interval, over_members
from cringle.speed.ensemble_targets import quick_targets_of
from cringle.speed.equilibrium import solve
from cringle.speed.model import SpeedModel
from cringle.speed.techniques import seconds_per_mile

TEN_KG = 10.0
STEP_M = 0.3
"""The changes asked about."""

ANGLE_STENCIL_DEG, HEEL_STENCIL_DEG = 2.5, 2.0
"""Speeds are computed so far to either side of the best angle and heel; the top of the parabola counts."""


@dataclass(frozen=True)
class Change:
    """One change of the people aboard: its words, and the load after it.

    Parameters
    ----------
    key : str
        ``ten_kg``, ``one_person``, ``one_posture``, ``forward``, ``aft``.
    words : str
        What changes.
    load : CrewLoad
        All people after it.
    """

    key: str
    words: str
    load: CrewLoad


@dataclass(frozen=True)
class Worth:
    """What a change costs.

    Parameters
    ----------
    change : Change
        What.
    point : str
        ``up`` or ``down``.
    wind_kn : array, shape (w,)
        True winds at 10 m.
    s_per_mile : array, shape (w,)
        Seconds that a mile made good takes longer; negative where the change is faster.
    s_per_mile_90 : Interval
        Its 90 % interval.
    """

    change: Change
    point: str
    wind_kn: Array
    s_per_mile: Array
    s_per_mile_90: Interval


def changes(class_file: ClassFile, crew: CrewFile, load: CrewLoad) -> tuple[Change, ...]:
    """Return the changes that are asked about, those the people aboard and the class allow.

    Parameters
    ----------
    class_file : ClassFile
        Limits, stations, postures.
    crew : CrewFile
        The people aboard.
    load : CrewLoad
        Their load.

    Notes
    -----
    Ten kilograms are spread over everybody, added where the class allows them, else taken away. One person is
    one of average mass at the average place. One posture is the heaviest of those who hike with the legs in
    instead.
    """
    more = TEN_KG if load.mass_kg + TEN_KG <= class_file.limits.crew_mass_max else -TEN_KG
    found = [Change("ten_kg", f"{more:+g} kg of crew", replace(load, mass_kg=load.mass_kg + more))]
    if load.people - 1 >= class_file.limits.crew_min:
        share = (load.people - 1) / load.people
        fewer = replace(load, mass_kg=load.mass_kg * share, people=load.people - 1)
        found.append(Change("one_person", "one person less", fewer))
    sitting = _legs_in(class_file, crew, load)
    if sitting is not None:
        found.append(sitting)
    found.append(Change("forward", f"everybody {STEP_M:g} m forward", _moved(load, STEP_M)))
    found.append(Change("aft", f"everybody {STEP_M:g} m aft", _moved(load, -STEP_M)))
    return tuple(found)


def _moved(load: CrewLoad, forward_m: float) -> CrewLoad:
    return replace(load, forward_m=load.forward_m + forward_m)


def _legs_in(class_file: ClassFile, crew: CrewFile, load: CrewLoad) -> Change | None:
    """Return the change of the heaviest hiking person to legs in, or None where nobody can."""
    able = [one for one in crew.people if one.posture == Posture.HIKE and _may_sit(class_file, one)]
    if not able:
        return None
    person = max(able, key=lambda one: one.mass_kg)
    out = body_place(class_file, person, station=person.station, posture=Posture.HIKE)
    back = body_place(class_file, person, station=person.station, posture=Posture.LEGS_IN)
    share = person.mass_kg / load.mass_kg
    moved = replace(
        load,
        hike_m=load.hike_m - share * (out.off_centre_m - back.off_centre_m),
        hike_height_m=load.hike_height_m - share * (out.height_m - back.height_m),
    )
    return Change("one_posture", f"{person.name} legs in instead of hiking", moved)


def _may_sit(class_file: ClassFile, person: Person) -> bool:
    station = class_file.station(person.station)
    return station is not None and Posture.LEGS_IN in station.postures


def crew_worth(
    model: SpeedModel,
    boats: Sequence[SpeedModel],
    wind_kn: ArrayLike,
    *,
    wanted: Sequence[Change],
    with_run: bool = True,
) -> tuple[Worth, ...]:
    """Return what changes of the people aboard are worth up and down the wind, with 90 % intervals.

    Parameters
    ----------
    model : SpeedModel
        The boat with the people as they are.
    boats : sequence of SpeedModel
        Members of the ensemble.
    wind_kn : array, shape (w,)
        True winds at 10 m.
    wanted : sequence of Change
        From `changes`.
    with_run : bool
        Whether the run is asked too; without it the answer takes half the time.

    Notes
    -----
    Both speeds are of the same member, each at its own best angle and heel. On the run the technique is the
    one that is best before the change.
    """
    winds = np.atleast_1d(np.asarray(wind_kn, dtype=np.float64))
    loads = [one.load for one in wanted]
    points: list[tuple[str, tuple[Case, ...]]] = [("up", (model.upwind,) * winds.size)]
    if with_run and model.run:
        points.append(("down", _best_cases(model, winds)))

    def ask(boat: SpeedModel) -> Array:
        return np.stack([_costs(boat, loads, winds, cases) for _, cases in points])

    best = ask(model)
    known = interval(best, best, over_members(boats, ask))
    return tuple(
        Worth(one, point, winds, best[i, j], Interval(known.low[i, j], known.high[i, j]))
        for i, (point, _) in enumerate(points)
        for j, one in enumerate(wanted)
    )


def _best_cases(model: SpeedModel, winds: Array) -> tuple[Case, ...]:
    """Return the case with the best speed made good in every wind."""
    made = np.stack([np.nan_to_num(one.vmg_kn) for one in quick_targets_of(model, winds, model.run)])
    return tuple(model.run[place] for place in np.argmax(made, axis=0))


def _costs(boat: SpeedModel, loads: Sequence[CrewLoad], winds: Array, cases: Sequence[Case]) -> Array:
    """Return seconds a mile lost by every load in every wind, shape (loads, w)."""
    middle = _middles(boat, winds, cases)
    as_is = _tops(boat, winds, cases, middle)
    return np.stack(
        [seconds_per_mile(_tops(boat.with_crew(one), winds, cases, middle), as_is) for one in loads]
    )


def _middles(boat: SpeedModel, winds: Array, cases: Sequence[Case]) -> tuple[Array, Array]:
    """Return the best angle and heel in every wind, each with its own case."""
    some = list(dict.fromkeys(cases))
    found = dict(zip((one.name for one in some), quick_targets_of(boat, winds, some), strict=True))
    angle = np.array([found[one.name].angle_deg[place] for place, one in enumerate(cases)])
    heel = np.array([found[one.name].heel_deg[place] for place, one in enumerate(cases)])
    return np.nan_to_num(angle, nan=90.0), np.nan_to_num(heel)


def _tops(boat: SpeedModel, winds: Array, cases: Sequence[Case], middle: tuple[Array, Array]) -> Array:
    """Return the top of the parabolas through speed made good around the best angle and heel, shape (w,)."""
    angle, heel = middle
    turns = np.array([0.0, -1.0, 1.0, 0.0, 0.0]) * ANGLE_STENCIL_DEG
    leans = np.array([0.0, 0.0, 0.0, -1.0, 1.0]) * HEEL_STENCIL_DEG
    made = np.full((winds.size, turns.size), np.nan)
    for case in dict.fromkeys(cases):
        rows = np.array([place for place, one in enumerate(cases) if one == case])
        most = case.angle_high_deg
        cells = solve(
            boat,
            winds[rows, None],
            np.minimum(angle[rows, None] + turns, most),
            case=case,
            heel_deg=np.maximum(heel[rows, None] + leans, case.heel_low_deg),
        )
        made[rows] = np.abs(cells.vmg_kn)
    gain = _gain(made[:, 0], made[:, 1], made[:, 2]) + _gain(made[:, 0], made[:, 3], made[:, 4])
    return made[:, 0] + gain


def _gain(here: Array, left: Array, right: Array) -> Array:
    """Return how much higher the top of a parabola through three points is; not beyond the outer points."""
    left, right = (np.where(np.isfinite(one), one, here) for one in (left, right))
    bend, slope = left - 2.0 * here + right, 0.5 * (right - left)
    curved = bend < -1e-9
    shift = np.where(curved, np.clip(-slope / np.where(curved, bend, -1.0), -1.0, 1.0), 0.0)
    inside = np.where(curved, slope * shift + 0.5 * bend * shift * shift, np.maximum(left, right) - here)
    return np.maximum(inside, 0.0)
