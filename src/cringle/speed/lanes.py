"""Lanes: what a polar says at one wind, answers to choices on the water, and their pictures.

Everything is drawn and computed with the true wind from the top: `across` to the right, `up` to windward, in
metres. The leg is straight up or down the wind unless a question says otherwise.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from cringle.errors import InputError, NotConvergedError, OutOfRangeError
from cringle.speed.cases import Case
from cringle.speed.ensemble import Array, interval
from cringle.speed.ensemble_targets import surface
from cringle.speed.model import SpeedModel
from cringle.speed.polar import grid_of
from cringle.units import degrees_to_radians, knots_to_metres_per_second

Point = Literal["up", "down"]

STEADY_SHARE = 0.05
"""Change of the wind from which the growth of the speed with the wind is taken."""

ANGLES_DEG = (32.0, 175.0)
"""Angles of a lane polar."""

UP_STEP_DEG, RUN_STEP_DEG = 1.5, 2.5
"""Steps of the angle upwind and beyond the beam."""

REACH_FROM_DEG = 75.0
"""Up to here main and jib; from here the sails of the run."""


@dataclass(frozen=True)
class LanePolar:
    """The fastest speed at every angle in one wind, whatever the technique.

    Parameters
    ----------
    wind_kn : float
        True wind at 10 m.
    angle_deg, speed_kn : array, shape (a,)
        Rising angles; NaN where the boat cannot be sailed.
    growth_kn : array, shape (a,)
        Growth of the speed with the wind: its logarithm over that of the wind.

    Raises
    ------
    InputError
        The angles do not rise, or shapes differ.
    """

    wind_kn: float
    angle_deg: Array
    speed_kn: Array
    growth_kn: Array

    def __post_init__(self) -> None:
        if not (self.angle_deg.shape == self.speed_kn.shape == self.growth_kn.shape):
            raise InputError("lane polar: angles, speeds and growths differ in number")
        if self.angle_deg.size < 3 or np.any(np.diff(self.angle_deg) <= 0.0):
            raise InputError("lane polar: at least three rising angles are needed", next_step="sort them")

    def speed(self, angle_deg: float) -> float:
        """Return the speed at an angle, either tack [m/s].

        Raises
        ------
        OutOfRangeError
            The angle lies outside the polar.
        NotConvergedError
            The boat cannot be sailed there.
        """
        angle = abs(angle_deg)
        low, high = float(self.angle_deg[0]), float(self.angle_deg[-1])
        if not low - 1e-9 <= angle <= high + 1e-9:
            raise OutOfRangeError(
                "true wind angle", angle, low, high, unit="deg", next_step="ask for an angle inside the polar"
            )
        known = np.isfinite(self.speed_kn)
        near = np.abs(self.angle_deg[known] - angle).min() if known.any() else np.inf
        if near > 2.0 * float(np.max(np.diff(self.angle_deg))):
            raise NotConvergedError(
                f"the boat cannot be sailed at {angle:g} deg in {self.wind_kn:g} kn",
                next_step="ask for another angle or wind",
            )
        value = np.interp(angle, self.angle_deg[known], self.speed_kn[known])
        return float(knots_to_metres_per_second(value))

    def growth(self, angle_deg: float) -> float:
        """Return the growth of the speed with the wind at an angle [1]."""
        known = np.isfinite(self.growth_kn)
        return float(np.interp(abs(angle_deg), self.angle_deg[known], self.growth_kn[known]))

    def target_deg(self, point: Point) -> float:
        """Return the angle of best speed made good.

        Raises
        ------
        NotConvergedError
            There is none.
        """
        side = self.angle_deg < 90.0 if point == "up" else self.angle_deg > 90.0
        made = np.where(side, self.speed_kn * np.abs(np.cos(degrees_to_radians(self.angle_deg))), np.nan)
        if not np.isfinite(made).any():
            raise NotConvergedError(
                f"no target {point} the wind in {self.wind_kn:g} kn", next_step="ask for another wind"
            )
        return float(self.angle_deg[int(np.nanargmax(made))])

    def made_good(self, angle_deg: float) -> float:
        """Return the speed made good up or down the wind at an angle, positive [m/s]."""
        return self.speed(angle_deg) * abs(float(np.cos(degrees_to_radians(angle_deg))))


@dataclass(frozen=True)
class Track:
    """A line on the picture: whose, and its corners in metres, first where it starts."""

    name: str
    across_m: tuple[float, ...]
    up_m: tuple[float, ...]


@dataclass(frozen=True)
class LaneAnswer:
    """Answer to one choice.

    Parameters
    ----------
    question : str
        Its short name.
    words : str
        The answer in a sentence or two.
    gain_m : float
        Metres gained (positive) or lost, made good toward the end of the leg.
    gain_m_90 : tuple of low and high, or None
        90 % interval.
    break_even : float
        The number at which the choice makes no difference; NaN where there is none.
    break_even_unit, break_even_words : str
        Of it.
    numbers : tuple of (name with unit, value)
        Everything else computed.
    tracks : tuple of Track
        For the picture.
    """

    question: str
    words: str
    gain_m: float
    break_even: float
    break_even_unit: str
    break_even_words: str
    numbers: tuple[tuple[str, float], ...]
    tracks: tuple[Track, ...]
    gain_m_90: tuple[float, float] | None = None
    break_even_90: tuple[float, float] | None = None


def lane_polar(model: SpeedModel, wind_kn: float) -> LanePolar:
    """Return the lane polar of a boat in one wind.

    Parameters
    ----------
    model : SpeedModel
        The boat in its sea state.
    wind_kn : float
        True wind at 10 m.

    Notes
    -----
    Upwind of `REACH_FROM_DEG` main and jib, beyond it the fastest of all techniques; both branches count.
    """
    if not 0.0 < wind_kn <= 40.0:
        raise OutOfRangeError("true wind speed", wind_kn, 0.5, 40.0, unit="kn", next_step="check the unit")
    winds = np.array([wind_kn * (1.0 - STEADY_SHARE), wind_kn, wind_kn * (1.0 + STEADY_SHARE)])
    up = grid_of(ANGLES_DEG[0], REACH_FROM_DEG - 7.0, UP_STEP_DEG)
    run = grid_of(95.0, ANGLES_DEG[1], RUN_STEP_DEG)
    upwind = _fastest(model, (model.upwind,), winds, up)
    speed = np.concatenate((upwind, _fastest(model, model.run or (model.upwind,), winds, run)), axis=1)
    with np.errstate(invalid="ignore", divide="ignore"):
        growth = np.log(speed[2] / speed[0]) / np.log(winds[2] / winds[0])
    growth = np.where(np.isfinite(growth), np.clip(growth, -1.0, 3.0), np.nan)
    return LanePolar(wind_kn, np.concatenate((up, run)), speed[1], growth)


def _fastest(model: SpeedModel, cases: Sequence[Case], winds: Array, angles: Array) -> Array:
    """Return the fastest speed of some cases, shape (w, a); NaN where none is sailed."""
    best = np.zeros((winds.size, angles.size))
    for case in cases:
        heels = _heels(case)
        found = surface(model, case, winds, angle_deg=angles, heel_deg=heels)
        best = np.maximum(best, found.speed_kn.max(axis=-1))
    return np.where(best > 0.0, best, np.nan)


def _heels(case: Case) -> Array:
    low, high = case.heel_low_deg, case.heel_high_deg
    return np.linspace(low, high, max(2, round((high - low) / 2.0)) + 1)


def with_interval(
    ask: Callable[[LanePolar], LaneAnswer], polar: LanePolar, drawn: Sequence[LanePolar]
) -> LaneAnswer:
    """Return an answer with the 90 % interval of its metres and its break-even.

    Parameters
    ----------
    ask : callable
        The question, put to a polar.
    polar : LanePolar
        Of the best values.
    drawn : sequence of LanePolar
        Of the members of the ensemble.
    """
    best = ask(polar)
    numbers = np.array([_numbers(ask, one) for one in drawn]).reshape(-1, 2)
    if numbers.shape[0] == 0:
        return best
    middle = np.array([best.gain_m, best.break_even])
    known = interval(middle, middle, numbers)
    low, high = known.low.tolist(), known.high.tolist()
    return LaneAnswer(
        **{
            **vars(best),
            "gain_m_90": (low[0], high[0]),
            "break_even_90": None if np.isnan(low[1]) else (low[1], high[1]),
        }
    )


def _numbers(ask: Callable[[LanePolar], LaneAnswer], polar: LanePolar) -> tuple[float, float]:
    try:
        found = ask(polar)
    except (NotConvergedError, OutOfRangeError):
        return float("nan"), float("nan")
    return found.gain_m, found.break_even


def minutes_of(seconds: float) -> float:
    """Return minutes."""
    return seconds / 60.0


def course(angle_deg: float, metres: float) -> tuple[float, float]:
    """Return where one gets on a course at a signed angle to the wind, wind from the top (across, up) [m].

    Positive angles have the wind from starboard: upwind the boat then goes to the left.
    """
    turn = float(degrees_to_radians(angle_deg))
    return -metres * float(np.sin(turn)), metres * float(np.cos(turn))


def track_of(
    name: str, legs: Sequence[tuple[float, float]], start: tuple[float, float] = (0.0, 0.0)
) -> Track:
    """Return a track from signed angles [deg] and distances [m]."""
    across, up = [start[0]], [start[1]]
    for angle, metres in legs:
        x, y = course(angle, metres)
        across.append(across[-1] + x)
        up.append(up[-1] + y)
    return Track(name, tuple(across), tuple(up))
