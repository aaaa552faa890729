"""A polar as plain arrays: speed by wind, angle and heel, and the targets; for simulator and analysis."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cringle.errors import InputError
from cringle.track.circle import difference_deg
from cringle.units import degrees_to_radians

if TYPE_CHECKING:
    from cringle.speed.model import SpeedModel
    from cringle.speed.targets import Targets

Array = NDArray[np.float64]

WINDS_KN: Final = (4.0, 24.0, 2.0)
ANGLES_DEG: Final = (0.0, 180.0, 4.0)
HEELS_DEG: Final = (-12.0, 36.0, 3.0)
"""Lowest, highest and step of each axis of a polar taken from the speed model."""

CLOSEST_TRIED_DEG: Final = 20.0
"""Closer to the wind the model is not asked."""

HEAD_SHARE: Final = 0.15
"""Speed head to wind over that at the closest angle with an answer: she still carries way (judgement)."""

HEEL_PENALTY: Final = 4e-4
"""Share of speed lost per square degree beyond the last heel at which the model balances (judgement)."""


@dataclass(frozen=True)
class TargetLine:
    """Targets over the winds of a polar: true wind angle, heel and speed, each of shape (w,)."""

    angle_deg: Array
    heel_deg: Array
    speed_kn: Array

    @property
    def made_good_kn(self) -> Array:
        """Speed made good to windward or to leeward, positive."""
        return np.abs(self.speed_kn * np.cos(degrees_to_radians(self.angle_deg)))


@dataclass(frozen=True)
class Target:
    """Targets at given winds: true wind angle [deg], heel [deg], speed and speed made good [kn]."""

    angle_deg: Array
    heel_deg: Array
    speed_kn: Array
    made_good_kn: Array


@dataclass(frozen=True)
class FrozenPolar:
    """Boat speed over true wind speed, true wind angle and heel, with the targets up and down the wind.

    Parameters
    ----------
    wind_kn, angle_deg, heel_deg : array, shapes (w,), (a,) and (h,)
        Evenly spaced axes: wind at 10 m, angle of the course through the water to the wind (0 to 180), heel
        positive to leeward.
    speed_kn : array, shape (w, a, h)
        Speed through the water, everywhere a number.
    up, run : TargetLine
        Targets for the winds of the axis.
    name : str
        Where it comes from.

    Raises
    ------
    InputError
        An axis is not even, or the speeds are not numbers of the right shape.
    """

    wind_kn: Array
    angle_deg: Array
    heel_deg: Array
    speed_kn: Array
    up: TargetLine
    run: TargetLine
    name: str = "polar"

    def __post_init__(self) -> None:
        axes = (self.wind_kn, self.angle_deg, self.heel_deg)
        for name, axis in zip(("wind", "angle", "heel"), axes, strict=True):
            if axis.size < 2 or not np.allclose(np.diff(axis), axis[1] - axis[0]) or axis[1] <= axis[0]:
                raise InputError(f"polar: the {name} axis is not even and rising", next_step="resample it")
        if self.speed_kn.shape != tuple(axis.size for axis in axes) or not np.isfinite(self.speed_kn).all():
            raise InputError("polar: speeds are missing or of the wrong shape", next_step="fill the table")

    def __repr__(self) -> str:
        return f"FrozenPolar({self.name}, {self.wind_kn[0]:g} to {self.wind_kn[-1]:g} kn)"

    def speed(self, wind_kn: ArrayLike, angle_deg: ArrayLike, heel_deg: ArrayLike) -> Array:
        """Return the speed [kn] by straight lines between the points; beyond an axis that of its end.

        Parameters
        ----------
        wind_kn, angle_deg, heel_deg : float or array, broadcast together
            True wind, true wind angle of either sign, heel to leeward.
        """
        wind, angle, heel = np.broadcast_arrays(
            *(np.asarray(one, dtype=np.float64) for one in (wind_kn, np.abs(angle_deg), heel_deg))
        )
        w, dw = _place(self.wind_kn, wind)
        a, da = _place(self.angle_deg, angle)
        h, dh = _place(self.heel_deg, heel)
        angles, heels = self.angle_deg.size, self.heel_deg.size
        corner = (w * angles + a) * heels + h
        table = self.speed_kn.ravel()

        def along_heel(first: NDArray[np.intp]) -> Array:
            low = table[first]
            return np.asarray(low + dh * (table[first + 1] - low))

        def along_angle(first: NDArray[np.intp]) -> Array:
            low = along_heel(first)
            return low + da * (along_heel(first + heels) - low)

        below = along_angle(corner)
        return np.asarray(below + dw * (along_angle(corner + angles * heels) - below))

    def target(self, wind_kn: ArrayLike, *, upwind: bool) -> Target:
        """Return the targets at winds, by straight lines."""
        line = self.up if upwind else self.run
        wind = np.asarray(wind_kn, dtype=np.float64)
        angle, heel, speed = (
            np.interp(wind, self.wind_kn, values) for values in (line.angle_deg, line.heel_deg, line.speed_kn)
        )
        return Target(angle, heel, speed, np.abs(speed * np.cos(degrees_to_radians(angle))))

    def best_heel(self, wind_kn: ArrayLike, angle_deg: ArrayLike) -> Array:
        """Return the target heel that goes with an angle: upwind's below 90 degrees, the run's beyond."""
        upwind = self.target(wind_kn, upwind=True).heel_deg
        return np.where(np.abs(angle_deg) < 90.0, upwind, self.target(wind_kn, upwind=False).heel_deg)

    def wind_for(self, speed_kn: ArrayLike, angle_deg: ArrayLike) -> Array:
        """Return the wind [kn] in which the boat makes a speed at an angle and the target heel.

        Notes
        -----
        The first crossing from light to strong wind; the ends of the axis where there is none; NaN for NaN.
        """
        speed, angle = np.broadcast_arrays(np.asarray(speed_kn, float), np.abs(np.asarray(angle_deg, float)))
        curve = np.maximum.accumulate(self._at_best_heel(), axis=0)
        a, da = _place(self.angle_deg, np.nan_to_num(angle))
        made = curve[:, a] + da * (curve[:, a + 1] - curve[:, a])
        row = np.clip((made < speed).sum(axis=0) - 1, 0, self.wind_kn.size - 2)
        low, high = (np.take_along_axis(made, (row + step)[None], 0)[0] for step in (0, 1))
        part = np.clip((speed - low) / np.maximum(high - low, 1e-9), 0.0, 1.0)
        found = self.wind_kn[row] + part * (self.wind_kn[1] - self.wind_kn[0])
        return np.where(np.isfinite(speed) & np.isfinite(angle), found, np.nan)

    def _at_best_heel(self) -> Array:
        wind, angle = np.meshgrid(self.wind_kn, self.angle_deg, indexing="ij")
        return self.speed(wind, angle, self.best_heel(wind, angle))


def _place(axis: Array, value: Array) -> tuple[NDArray[np.intp], Array]:
    """Return the cell of each value on an even axis and where in it, kept inside the axis."""
    position = np.clip((value - axis[0]) / (axis[1] - axis[0]), 0.0, axis.size - 1.0)
    cell = np.minimum(position.astype(np.intp), axis.size - 2)
    return cell, position - cell


LEAST_SHARE: Final = 0.3
"""However far from a heel that balances, so much of its speed is left (judgement)."""


def polar_of_model(model: SpeedModel, *, name: str = "speed model") -> FrozenPolar:
    """Return the polar of a boat as arrays, with the targets of the better of soak and plane for the run.

    Parameters
    ----------
    model : SpeedModel
        Boat, crew, assumptions and fitted factors.
    name : str
        Where it comes from.

    Notes
    -----
    At each wind, angle and heel the faster of main and jib, and main and kite on one side. Where the model
    balances at no speed (too much heeling moment, too little wind to heel so far) the speed of the nearest
    heel that balances stands in, less `HEEL_PENALTY`. The wing is left out: nothing in a track tells a gybe
    from one side to the other when both are dead before the wind.
    """
    winds, angles, heels = (_axis(*one) for one in (WINDS_KN, ANGLES_DEG, HEELS_DEG))
    table = _towards_the_wind(_filled(_solved(model, winds, angles, heels), heels), angles)
    up, run = _target_lines(model, winds)
    return FrozenPolar(winds, angles, heels, table, up, run, name)


def _axis(low: float, high: float, step: float) -> Array:
    return np.linspace(low, high, round((high - low) / step) + 1)


def _solved(model: SpeedModel, winds: Array, angles: Array, heels: Array) -> Array:
    """Return the model's speeds, NaN where it has none: the faster of main and jib, and main and kite."""
    from cringle.physics.sails import Arrangement
    from cringle.speed.equilibrium import solve

    kites = [one for one in model.run if one.arrangement is not Arrangement.WING and one.froude_low == 0.0]
    best = np.full((winds.size, angles.size, heels.size), np.nan)
    wind, angle, heel = np.meshgrid(winds, angles, heels, indexing="ij")
    for case in (model.upwind, *kites):
        part = angles >= 70.0 if case.kite else (angles >= CLOSEST_TRIED_DEG) & (angles <= 140.0)
        cells = solve(model, wind[:, part], angle[:, part], case=case, heel_deg=heel[:, part])
        best[:, part] = np.fmax(best[:, part], cells.boat_speed_kn)
    return best


def _filled(speed: Array, heels: Array) -> Array:
    """Return the table with missing heels filled from the nearest known heel; NaN where there is none."""
    known = np.isfinite(speed)
    distance = np.where(known[..., None, :], np.abs(heels[:, None] - heels[None, :]), np.inf)
    nearest = distance.argmin(axis=-1)
    gap = np.take_along_axis(distance, nearest[..., None], -1)[..., 0]
    stand_in = np.take_along_axis(speed, nearest, -1)
    loss = np.where(np.isfinite(gap), HEEL_PENALTY * gap**2, np.nan)
    return np.asarray(stand_in * np.maximum(1.0 - loss, LEAST_SHARE))


def _towards_the_wind(speed: Array, angles: Array) -> Array:
    """Return the table with unanswered angles filled: on a straight line to head to wind, else bridged."""
    whole = speed.copy()
    for wind in range(speed.shape[0]):
        for heel in range(speed.shape[2]):
            known = np.isfinite(speed[wind, :, heel])
            if known.any():
                first, value = angles[known][0], speed[wind, known, heel]
                points = np.concatenate(([0.0], angles[known])) if first > 0.0 else angles[known]
                values = np.concatenate(([HEAD_SHARE * value[0]], value)) if first > 0.0 else value
                whole[wind, :, heel] = np.interp(angles, points, values)
    return np.nan_to_num(whole)


def _target_lines(model: SpeedModel, winds: Array) -> tuple[TargetLine, TargetLine]:
    from cringle.physics.sails import Arrangement
    from cringle.speed.targets import targets

    runs = [targets(model, winds, case=one) for one in model.run if one.arrangement is not Arrangement.WING]
    if not runs:
        raise InputError("the class has no kite", next_step="add a sail set with main and kite to class.toml")
    up = targets(model, winds, case=model.upwind)
    return _line([up], winds), _line(runs, winds)


def _line(choices: list[Targets], winds: Array) -> TargetLine:
    """Return the best of several targets at each wind; gaps are bridged from the winds beside them."""
    good = np.nan_to_num(np.stack([one.made_good_kn for one in choices]), nan=-1.0)
    best, columns = good.argmax(axis=0), np.arange(winds.size)
    there = good[best, columns] > 0.0
    if not there.any():
        raise InputError("the speed model has no target at any wind", next_step="check class.toml and crew")
    values = []
    for name in ("angle_deg", "heel_deg", "boat_speed_kn"):
        picked = np.stack([getattr(one.cells, name) for one in choices])[best, columns]
        values.append(np.interp(winds, winds[there], picked[there]))
    return TargetLine(*values)


def sketch_polar(name: str = "sketch") -> FrozenPolar:
    """Return an invented polar from a few smooth formulas: quick, for tests and where no boat is known.

    Notes
    -----
    Not a model of any boat: speed rises to a ceiling with wind, has its top on a broad reach, and falls with
    the square of the distance from the best heel.
    """
    winds, angles, heels = (_axis(*one) for one in (WINDS_KN, ANGLES_DEG, HEELS_DEG))
    strength = 8.4 * (1.0 - np.exp(-winds / 9.0))
    shape = np.interp(
        angles,
        [0, 25, 36, 45, 60, 90, 110, 130, 150, 165, 180],
        [0.1, 0.35, 0.74, 0.88, 0.98, 1.08, 1.14, 1.10, 0.95, 0.84, 0.76],
    )
    up_heel, run_heel = np.clip(2.0 * winds - 5.0, 3.0, 19.0), np.full(winds.size, 5.0)
    best = np.where(angles[None, :] < 90.0, up_heel[:, None], run_heel[:, None])
    loss = np.minimum(HEEL_PENALTY * (heels - best[..., None]) ** 2, 0.7)
    table = (strength[:, None] * shape)[..., None] * (1.0 - loss)
    polar = strength[:, None] * shape
    lines = []
    for part, heel in ((angles < 90.0, up_heel), (angles > 90.0, run_heel)):
        fine = np.linspace(angles[part][0], angles[part][-1], 400)
        speed = np.stack([np.interp(fine, angles, row) for row in polar])
        at = np.abs(speed * np.cos(degrees_to_radians(fine))).argmax(axis=1)
        lines.append(TargetLine(fine[at], heel, speed[np.arange(winds.size), at]))
    return FrozenPolar(winds, angles, heels, table, lines[0], lines[1], name)


def true_wind_angle_deg(twd_deg: ArrayLike, course_deg: ArrayLike) -> Array:
    """Return the true wind angle of a course in (-180, 180], starboard positive."""
    return difference_deg(np.asarray(twd_deg, float), np.asarray(course_deg, float))
