"""Targets of a whole ensemble in a few seconds: a coarser search of the same kind, both branches seen."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cringle.speed.cases import Case
from cringle.speed.ensemble import Array, Interval, interval, over_members
from cringle.speed.model import SpeedModel
from cringle.speed.polar import grid_of, in_technique
from cringle.speed.scan import scan
from cringle.speed.targets import Targets
from cringle.units import degrees_to_radians, knots_to_metres_per_second, metres_per_second_to_knots

UP_ANGLES_DEG, RUN_ANGLES_DEG = (34.0, 64.0, 5.0), (110.0, 175.0, 2.5)
"""Angles searched: first, last, step. On the run full hike and the start of planing bound the optimum, and a
wide step cannot stand on a bound."""

UP_HEEL_STEP_DEG, RUN_HEEL_STEP_DEG = 3.0, 2.0
"""Steps of the heel."""


@dataclass(frozen=True)
class QuickTargets:
    """Targets of one case by the coarse search: arrays of shape (winds,); `vmg_kn` positive either way."""

    speed_kn: Array
    angle_deg: Array
    vmg_kn: Array
    heel_deg: Array

    def stacked(self) -> Array:
        """Return speed, angle, speed made good and heel, shape (4, winds)."""
        return np.stack((self.speed_kn, self.angle_deg, self.vmg_kn, self.heel_deg))


@dataclass(frozen=True)
class TargetIntervals:
    """90 % intervals of the targets of one case, arrays of shape (winds,)."""

    speed_kn: Interval
    angle_deg: Interval
    vmg_kn: Interval
    heel_deg: Interval


@dataclass(frozen=True)
class Surface:
    """Speeds over wind, angle and heel, both branches side by side along the last axis.

    `speed_kn` is 0 where nothing holds or it is not the technique, shape (winds, angles, 2 heels).
    """

    wind_kn: Array
    angle_deg: Array
    heel_deg: Array
    speed_kn: Array

    @property
    def made_good_kn(self) -> Array:
        """Speed made good up or down the wind, shape (winds, angles, 2 heels)."""
        turn = np.abs(np.cos(degrees_to_radians(self.angle_deg)))
        return np.asarray(self.speed_kn * turn[None, :, None])


def surface(
    model: SpeedModel, case: Case, wind_kn: ArrayLike, *, angle_deg: Array, heel_deg: Array
) -> Surface:
    """Return the speeds of one case over a grid, to about 0.001 m/s."""
    winds = np.atleast_1d(np.asarray(wind_kn, dtype=np.float64))
    return only_technique(model, case, sweep(model, case, winds, angle_deg=angle_deg, heel_deg=heel_deg))


def sweep(model: SpeedModel, case: Case, winds: Array, *, angle_deg: Array, heel_deg: Array) -> Surface:
    """Return the speeds of the sails of a case, whatever technique they count as."""
    found = scan(
        model,
        case,
        wind=np.asarray(knots_to_metres_per_second(winds)),
        angle=np.asarray(degrees_to_radians(angle_deg)),
        heel=np.asarray(degrees_to_radians(heel_deg)),
    )
    known = np.where(found.held & found.heels & np.isfinite(found.speed), found.speed, 0.0)
    speed = np.concatenate((known[0], known[1]), axis=-1)
    return Surface(winds, angle_deg, heel_deg, np.asarray(metres_per_second_to_knots(speed)))


def only_technique(model: SpeedModel, case: Case, found: Surface) -> Surface:
    """Return a surface with what is not the technique of a case, or not its heel, set to 0."""
    axes = (found.wind_kn, found.angle_deg, found.heel_deg)
    speed = np.asarray(knots_to_metres_per_second(found.speed_kn))
    heels = np.tile(found.heel_deg, speed.shape[-1] // found.heel_deg.size)
    inside = (heels >= case.heel_low_deg - 1e-9) & (heels <= case.heel_high_deg + 1e-9)
    counts = in_technique(model, case, axes, speed) & inside
    return replace(found, speed_kn=np.where(counts, found.speed_kn, 0.0))


def search_axes(case: Case) -> tuple[Array, Array]:
    """Return the angles and heels of the coarse search for a case [deg]."""
    if not case.kite:
        heels = grid_of(case.heel_low_deg, case.heel_high_deg - 3.0, UP_HEEL_STEP_DEG)
        return grid_of(*UP_ANGLES_DEG), heels
    span = case.heel_high_deg - case.heel_low_deg
    count = max(1, round(span / RUN_HEEL_STEP_DEG)) + 1
    return grid_of(*RUN_ANGLES_DEG), np.linspace(case.heel_low_deg, case.heel_high_deg, count)


def quick_targets(model: SpeedModel, wind_kn: ArrayLike, *, case: Case) -> QuickTargets:
    """Return the targets of one case by the coarse search, refined by parabolas.

    Parameters
    ----------
    model : SpeedModel
        The boat.
    wind_kn : float or array, shape (w,)
        True winds at 10 m.
    case : Case
        The sails.

    Notes
    -----
    Both branches are searched over the whole range of angles and heels, so a member of an ensemble may well
    be on another branch than its neighbour. The top of the parabola through the best point and its neighbours
    is taken along the angle and along the heel; where a neighbour is on another branch, the point itself.
    """
    angles, heels = search_axes(case)
    return best_of(surface(model, case, wind_kn, angle_deg=angles, heel_deg=heels))


def quick_targets_of(model: SpeedModel, winds: Array, cases: Sequence[Case]) -> list[QuickTargets]:
    """Return `quick_targets` of several cases; those with the same sails share one search."""
    found: dict[str, QuickTargets] = {}
    for same in _same_sails(cases):
        angles, _ = search_axes(same[0])
        heels = np.unique(np.concatenate([search_axes(one)[1] for one in same]))
        every = sweep(model, same[0], winds, angle_deg=angles, heel_deg=heels)
        for one in same:
            found[one.name] = best_of(only_technique(model, one, every))
    return [found[one.name] for one in cases]


def _same_sails(cases: Sequence[Case]) -> list[list[Case]]:
    groups: dict[tuple[bool, str, str, str], list[Case]] = {}
    for one in cases:
        groups.setdefault((one.kite, one.jib, str(one.arrangement), str(one.gear)), []).append(one)
    return list(groups.values())


def best_of(found: Surface) -> QuickTargets:
    """Return the best speed made good of a surface for every wind; NaN where there is none."""
    good = found.made_good_kn
    heels = np.tile(found.heel_deg, good.shape[-1] // found.heel_deg.size)
    rows = np.arange(found.wind_kn.size)
    place = np.argmax(good.reshape(rows.size, -1), axis=1)
    across, over = np.unravel_index(place, good.shape[1:])
    best = good[rows, across, over]
    turn, gain = _peak(good[rows, :, over], across)
    lean, more = np.zeros(rows.size), np.zeros(rows.size)
    if np.allclose(np.diff(found.heel_deg, 2), 0.0):
        along = _of_branch(good[rows, across, :], found.heel_deg.size, over)
        lean, more = _peak(along, over % found.heel_deg.size)
    there = best > 0.0
    angle = found.angle_deg[across] + turn * _step(found.angle_deg)
    made = np.where(there, best + gain + more, np.nan)
    speed = made / np.abs(np.cos(degrees_to_radians(angle)))
    heel = heels[over] + lean * _step(found.heel_deg)
    return QuickTargets(
        np.asarray(speed), np.where(there, angle, np.nan), made, np.where(there, heel, np.nan)
    )


def peak_over_angle(found: Surface) -> Array:
    """Return the best speed made good at every wind and heel [kn], shape (winds, heels); NaN where none."""
    good = found.made_good_kn
    count = found.heel_deg.size
    both = np.stack([_tops(good[:, :, first : first + count]) for first in range(0, good.shape[-1], count)])
    best = both.max(axis=0)
    return np.where(best > 0.0, best, np.nan)


def _tops(good: Array) -> Array:
    """Return the top over the angle of one branch, shape (winds, heels)."""
    winds, angles, heels = good.shape
    flat = np.moveaxis(good, 1, 2).reshape(winds * heels, angles)
    place = np.argmax(flat, axis=1)
    _, more = _peak(flat, place)
    return np.asarray((flat[np.arange(place.size), place] + more).reshape(winds, heels))


def _step(axis: Array) -> float:
    return float(axis[1] - axis[0]) if axis.size > 1 else 0.0


def _of_branch(good: Array, heels: int, over: NDArray[np.intp]) -> Array:
    """Return the values over heel of the branch that holds the best one, shape (winds, heels)."""
    upper = good[:, :heels]
    lower = good[:, heels:] if good.shape[1] > heels else upper
    return np.where((over < heels)[:, None], upper, lower)


def _peak(values: Array, place: NDArray[np.intp]) -> tuple[Array, Array]:
    """Return how far the top of a parabola lies from a place in steps, and how much higher it is."""
    rows = np.arange(place.size)
    if values.shape[1] < 3:
        return np.zeros(place.size), np.zeros(place.size)
    middle = np.clip(place, 1, values.shape[1] - 2)
    left, here, right = (values[rows, middle + shift] for shift in (-1, 0, 1))
    bend = left - 2.0 * here + right
    smooth = (bend < 0.0) & (np.minimum(left, right) > 0.9 * here) & (middle == place)
    slope = 0.5 * (right - left)
    shift = np.where(smooth, np.clip(-slope / np.where(bend < 0.0, bend, -1.0), -0.5, 0.5), 0.0)
    return shift, np.where(smooth, slope * shift + 0.5 * bend * shift * shift, 0.0)


def ensemble_targets(
    boats: Sequence[SpeedModel], wind_kn: ArrayLike, *, cases: Sequence[Case]
) -> Mapping[str, Array]:
    """Return the targets of every member.

    Parameters
    ----------
    boats : sequence of SpeedModel
        From `ensemble.members`.
    wind_kn : float or array, shape (w,)
        True winds at 10 m.
    cases : sequence of Case
        Which ways of sailing.

    Returns
    -------
    mapping of the name of a case to an array, shape (members, 4, winds)
        Speed, angle, speed made good and heel.
    """
    winds = np.atleast_1d(np.asarray(wind_kn, dtype=np.float64))

    def ask(boat: SpeedModel) -> Array:
        return np.stack([one.stacked() for one in quick_targets_of(boat, winds, cases)])

    drawn = over_members(boats, ask)
    return {one.name: drawn[:, place] for place, one in enumerate(cases)}


def target_intervals(model: SpeedModel, found: Targets, drawn: Array) -> TargetIntervals:
    """Return the 90 % intervals of the targets of one case.

    Parameters
    ----------
    model : SpeedModel
        The boat of the targets.
    found : Targets
        Its targets.
    drawn : array, shape (members, 4, winds)
        Those of the members at the same winds, from `ensemble_targets`.

    Notes
    -----
    Where the optimum is flat the best angle and heel jump about between equals, so theirs are the plain
    percentiles of the members.
    """
    same = quick_targets(model, found.wind_kn, case=found.case)
    cells, case = found.cells, found.case
    made, speed = found.made_good_kn, cells.boat_speed_kn
    heel = interval(cells.heel_deg, cells.heel_deg, drawn[:, 3])
    bounded = (np.clip(one, case.heel_low_deg, case.heel_high_deg) for one in (heel.low, heel.high))
    return TargetIntervals(
        interval(speed, same.speed_kn, drawn[:, 0]),
        interval(cells.angle_deg, cells.angle_deg, drawn[:, 1]),
        interval(made, same.vmg_kn, drawn[:, 2]),
        Interval(*bounded),
    )
