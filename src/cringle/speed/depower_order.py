"""The order in which to use people and controls as the wind builds, from crew to leeward to feathering."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from cringle.boat.base import Posture
from cringle.boat.class_file import ClassFile
from cringle.boat.crew_file import CrewFile
from cringle.errors import NotConvergedError
from cringle.speed.crew_load import body_place
from cringle.speed.ensemble import Array, Interval, interval, over_members
from cringle.speed.ensemble_targets import quick_targets
from cringle.speed.equilibrium import Cells, Status
from cringle.speed.model import SpeedModel
from cringle.speed.polar import grid_of
from cringle.speed.targets import targets
from cringle.speed.techniques import seconds_per_mile

WIND_LOW_KN, WIND_HIGH_KN, WIND_STEP_KN = 3.0, 25.0, 0.5
"""Winds along which the order is read off the targets upwind."""

LITTLE = 0.02
"""Share of power, twist or place below which nothing has been done yet."""

LEEWARD_PLACE = 0.15
"""Below this share of full hike so little weight is needed to windward that somebody can sit to leeward:
heel then keeps the sails in shape and gives the helm feel. Common practice, no source; the model of steady
forces cannot see it and says what it costs."""

ENOUGH_ARM = 4.0
"""So many times the arm of the people stands for a boat that never lacks righting moment."""

WORDS = {
    "leeward": "somebody to leeward, forward: let the boat heel a little so that the sails keep their shape",
    "centre": "come in to the centre and out again as the wind asks; full power",
    "legs in": "everybody on the windward rail, legs in; full power",
    "hike": "hike as far as the class allows; full power",
    "heel": "everybody is out: let heel grow to the target before any power goes",
    "twist": "open the leech: ease the mainsheet, traveller up to keep the boom, jib leads aft",
    "flatten": "flatten: backstay on, outhaul, cunningham and jib halyard harder, then drop the traveller",
    "feather": "sail high with the sails shaking in part; when that fails set less sail or go ashore",
}
"""What to do at each step. Common practice, no source."""

CONTROLS = {
    "leeward": (),
    "centre": (),
    "legs in": (),
    "hike": (),
    "heel": ("mainsheet",),
    "twist": ("mainsheet", "traveller", "jib_track_leeward"),
    "flatten": ("backstay", "outhaul", "cunningham", "jib_halyard", "traveller"),
    "feather": ("traveller", "mainsheet"),
}
"""Roles of the controls that a step moves, in the order in which they are moved."""


@dataclass(frozen=True)
class Step:
    """One step.

    Parameters
    ----------
    name : str
        Key of `WORDS`.
    from_kn, to_kn : float
        Winds in which it is the newest thing to do.
    words : str
        What to do.
    controls : tuple of str
        Roles of the controls it moves.
    spare_nm, spare_share : float
        Righting moment still unused where it begins, and its share of all there is.
    heel_deg, power : float
        Heel target, and lift kept, where it ends.
    cost_s_per_mile : float
        How much slower the boat is where the step ends than one that never lacked righting moment.
    cost_s_per_mile_90 : tuple of low and high
        Its 90 % interval.
    """

    name: str
    from_kn: float
    to_kn: float
    words: str
    controls: tuple[str, ...]
    spare_nm: float
    spare_share: float
    heel_deg: float
    power: float
    cost_s_per_mile: float
    cost_s_per_mile_90: tuple[float, float]


def legs_in_share(class_file: ClassFile, crew: CrewFile, model: SpeedModel) -> float:
    """Return the place of the people with all legs in over that of full hike."""
    out = 0.0
    for one in crew.people:
        posture = Posture.LEGS_IN if one.posture == Posture.HIKE else one.posture
        station = class_file.station(one.station)
        able = station is not None and posture in station.postures
        place = body_place(class_file, one, station=one.station, posture=posture if able else one.posture)
        out += place.mass_kg * place.off_centre_m
    return out / (model.crew.mass_kg * model.crew.hike_m)


def depower_order(
    model: SpeedModel, boats: Sequence[SpeedModel], *, legs_in: float, controls: Sequence[str] = ()
) -> tuple[Step, ...]:
    """Return the steps upwind as the wind builds.

    Parameters
    ----------
    model : SpeedModel
        The boat.
    boats : sequence of SpeedModel
        Members of the ensemble.
    legs_in : float
        From `legs_in_share`.
    controls : sequence of str
        Roles that the boat has; a step names only these. Empty: all that are known.

    Raises
    ------
    NotConvergedError
        There is no target upwind in any wind.

    Notes
    -----
    At every wind the model finds the cheapest mixture of place, heel, twist and flattening; a step is read
    off where it begins. Which control makes a sail flatter or more twisted is practice and not computed.
    """
    winds = grid_of(WIND_LOW_KN, WIND_HIGH_KN, WIND_STEP_KN)
    cells = targets(model, winds, case=model.upwind).cells
    if not cells.converged.any():
        raise NotConvergedError(
            "no target upwind in any wind", next_step="check hull, sails and people against each other"
        )
    price, low, high = _price(model, boats, winds)
    stage = [_stage(cells, place, legs_in) for place in range(winds.size)]
    found = []
    for name, first, last in _runs(stage):
        if name == "":
            continue
        roles = tuple(one for one in CONTROLS[name] if not controls or one in controls)
        righting = cells.moment_nm[first] + cells.spare_nm[first]
        found.append(
            Step(
                name,
                float(winds[first]),
                float(winds[last]),
                WORDS[name],
                roles,
                float(cells.spare_nm[first]),
                float(cells.spare_nm[first] / righting),
                float(cells.heel_deg[last]),
                float(cells.power[last]),
                float(price[last]),
                (float(low[last]), float(high[last])),
            )
        )
    return tuple(found)


def _price(model: SpeedModel, boats: Sequence[SpeedModel], winds: Array) -> tuple[Array, Array, Array]:
    """Return seconds a mile against a boat with enough righting moment, and their 90 % interval."""

    def ask(boat: SpeedModel) -> Array:
        stiff = boat.with_crew(replace(boat.crew, hike_m=ENOUGH_ARM * boat.crew.hike_m))
        own, other = (quick_targets(one, winds, case=one.upwind).vmg_kn for one in (boat, stiff))
        return np.maximum(seconds_per_mile(own, other), 0.0)

    best = ask(model)
    known: Interval = interval(best, best, over_members(boats, ask))
    return best, np.maximum(known.low, 0.0), known.high


def _stage(cells: Cells, place: int, legs_in: float) -> str:
    """Return the newest thing to do in one wind."""
    if not cells.converged[place]:
        return "feather" if cells.status[place] == Status.OVER_POWERED else ""
    if cells.flat[place] < 1.0 - 2.0 * LITTLE:
        return "flatten"
    if cells.twist[place] > 2.0 * LITTLE:
        return "twist"
    seat = float(cells.crew_place[place])
    if seat > 1.0 - LITTLE:
        return "heel" if cells.heel_deg[place] > LITTLE else "hike"
    for name, most in (("leeward", LEEWARD_PLACE), ("centre", 0.5 * legs_in), ("legs in", legs_in)):
        if seat <= most:
            return name
    return "hike"


ORDER = tuple(WORDS)


def _runs(stage: Sequence[str]) -> list[tuple[str, int, int]]:
    """Return each stage with its first and last wind; never back to an earlier one."""
    found: list[tuple[str, int, int]] = []
    reached = -1
    for place, name in enumerate(stage):
        if name == "":
            continue
        reached = max(reached, ORDER.index(name))
        kept = ORDER[reached]
        if found and found[-1][0] == kept:
            found[-1] = (kept, found[-1][1], place)
        else:
            found.append((kept, place, place))
    return found
