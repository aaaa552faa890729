"""What heel is worth: the target by wind and technique, and the price of sailing beside it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cringle.errors import InputError
from cringle.speed.cases import Case
from cringle.speed.ensemble import Array, Interval, interval, over_members
from cringle.speed.ensemble_targets import peak_over_angle, search_axes, surface
from cringle.speed.model import SpeedModel
from cringle.speed.polar import grid_of
from cringle.speed.targets import Targets
from cringle.speed.techniques import seconds_per_mile

OFFSETS_DEG = (-4.0, -2.0, 2.0, 4.0)
"""How far beside the target the price is told."""

HEEL_STEP_DEG, FINE_STEP_DEG = 2.0, 0.5
"""Step of the heels at which speed made good is computed; and between them, by the parabola through three."""

ANGLE_STEP_DEG = 2.5
"""Step of the angles among which the best is taken at each heel."""

BEYOND_DEG = 4.0
"""How far beyond the case's range of heel the price is known."""

MOST_BEND = 0.05
"""A change of slope larger than this share of the speed is a jump to another branch, not a curve."""


@dataclass(frozen=True)
class HeelCost:
    """Price of sailing beside the heel target in one way of sailing.

    Parameters
    ----------
    case : Case
        Which.
    wind_kn, heel_deg : array, shape (w,)
        Winds, and the heel target in each.
    offset_deg : array, shape (k,)
        Heel less the target.
    s_per_mile : array, shape (w, k)
        Seconds that a mile made good takes longer; NaN where the boat cannot be held at that heel.
    s_per_mile_90 : Interval, shape (w, k)
        90 % interval.
    """

    case: Case
    wind_kn: Array
    heel_deg: Array
    offset_deg: Array
    s_per_mile: Array
    s_per_mile_90: Interval

    def clear(self, offset_deg: float) -> Array:
        """Return where the price of an offset is clear of its own uncertainty: the interval is above 0."""
        place = np.flatnonzero(self.offset_deg == offset_deg)
        if place.size == 0:
            known = ", ".join(f"{one:+g}" for one in self.offset_deg)
            raise InputError(f"offset {offset_deg:+g} deg was not computed", next_step=f"use one of: {known}")
        return np.asarray(self.s_per_mile_90.low[:, place[0]] > 0.0)


def heel_cost(
    model: SpeedModel,
    found: Targets,
    boats: Sequence[SpeedModel],
    *,
    offsets_deg: Sequence[float] = OFFSETS_DEG,
) -> HeelCost:
    """Return what sailing beside the heel target costs.

    Parameters
    ----------
    model : SpeedModel
        The boat.
    found : Targets
        Its targets in the case asked for.
    boats : sequence of SpeedModel
        Members of the ensemble.
    offsets_deg : sequence of float
        Heel less the target.

    Notes
    -----
    At every heel the angle is the best one for it, so this is what a crew loses that steers well at the wrong
    heel. Every member is compared with its own best heel: the interval of the target tells how well that is
    known, this one how much a miss costs wherever it is. Leaves out what a model of steady forces cannot
    know: helm feel, sails that fill by gravity, waves over the rail.
    """
    offsets = np.asarray(offsets_deg, dtype=np.float64)
    shifts = np.rint(offsets / FINE_STEP_DEG).astype(int)

    def ask(boat: SpeedModel) -> Array:
        return _cost(boat, found.case, found.wind_kn, shifts)

    known = np.where(found.cells.converged[:, None], ask(model), np.nan)
    drawn = interval(known, known, over_members(boats, ask))
    return HeelCost(found.case, found.wind_kn, found.cells.heel_deg, offsets, known, drawn)


def _cost(boat: SpeedModel, case: Case, winds: Array, shifts: NDArray[np.intp]) -> Array:
    """Return seconds a mile beside the boat's own best heel, shape (w, shifts)."""
    heels, made = made_good_by_heel(boat, case, winds, beyond_deg=BEYOND_DEG)
    inside = (heels >= case.heel_low_deg) & (heels <= case.heel_high_deg)
    best = np.argmax(np.where(inside[None, :] & np.isfinite(made), made, -1.0), axis=1)
    rows = np.arange(winds.size)
    place = best[:, None] + shifts[None, :]
    there = (place >= 0) & (place < heels.size)
    beside = made[rows[:, None], np.clip(place, 0, heels.size - 1)]
    return np.where(there, seconds_per_mile(beside, made[rows, best][:, None]), np.nan)


def made_good_by_heel(
    boat: SpeedModel, case: Case, wind_kn: ArrayLike, *, beyond_deg: float = 0.0
) -> tuple[Array, Array]:
    """Return heels every half degree and the best speed made good at each, with the best angle for it.

    Parameters
    ----------
    boat : SpeedModel
        The boat.
    case : Case
        The sails.
    wind_kn : array, shape (w,)
        True winds at 10 m.
    beyond_deg : float
        How far beyond the case's own range of heel to go, either side.

    Returns
    -------
    heel_deg : array, shape (h,)
    made_good_kn : array, shape (w, h)
        NaN where the boat cannot be held at that heel in the technique.
    """
    winds = np.atleast_1d(np.asarray(wind_kn, dtype=np.float64))
    first = HEEL_STEP_DEG * np.floor((case.heel_low_deg - beyond_deg) / HEEL_STEP_DEG)
    last = HEEL_STEP_DEG * np.ceil((case.heel_high_deg + beyond_deg) / HEEL_STEP_DEG)
    heels = grid_of(float(first), float(last), HEEL_STEP_DEG)
    angles, _ = search_axes(case)
    fine_angles = grid_of(float(angles[0]), float(angles[-1]), ANGLE_STEP_DEG)
    wide = replace(case, heel_low_deg=float(first), heel_high_deg=float(last))
    found = surface(boat, wide, winds, angle_deg=fine_angles, heel_deg=heels)
    curve = peak_over_angle(found)
    fine = grid_of(float(first), float(last), FINE_STEP_DEG)
    return fine, np.stack([_between(heels, row, fine) for row in curve])


def _between(heels: Array, made: Array, wanted: Array) -> Array:
    """Return a curve between its points by the parabola through the nearest three; straight beside a gap."""
    place = np.clip(np.rint((wanted - heels[0]) / HEEL_STEP_DEG).astype(int), 1, heels.size - 2)
    part = (wanted - heels[place]) / HEEL_STEP_DEG
    left, here, right = (made[place + shift] for shift in (-1, 0, 1))
    bend = left - 2.0 * here + right
    curve = here + 0.5 * part * (right - left) + 0.5 * part * part * bend
    straight = here + np.abs(part) * (np.where(part < 0.0, left, right) - here)
    smooth = np.abs(bend) < MOST_BEND * here
    value = np.where(smooth, curve, straight)
    return np.asarray(np.where(np.abs(part) < 1e-9, here, value))
