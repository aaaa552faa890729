"""Soak, wing and plane compared: speed made good of each by wind, and the windows in which each is best."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cringle.constants import NAUTICAL_MILE_M
from cringle.errors import InputError
from cringle.speed.cases import Case
from cringle.speed.model import SpeedModel
from cringle.speed.polar import Chosen
from cringle.speed.targets import ANGLE_STEP_DEG, Targets, searched, targets_in
from cringle.units import knots_to_metres_per_second

Array = NDArray[np.float64]

KEEP_M_PER_MIN = 3.0
"""A technique is kept until another is better by so much [m/min]: about what one change of technique costs
(a gybe, or the kite across) over three minutes. Judgement."""

LEAST_KEEP_KN = 0.5
"""And by at least so much wind [kn], as nobody reads it closer."""


@dataclass(frozen=True)
class Technique:
    """One case among the techniques: speeds by angle, and what it makes good straight down each wind."""

    case: Case
    polar: Chosen
    best: Targets

    @property
    def made_good_kn(self) -> Array:
        """Speed made good to leeward, 0 where it cannot be sailed."""
        return np.nan_to_num(self.best.made_good_kn)


@dataclass(frozen=True)
class Window:
    """Winds in which one technique is best.

    Parameters
    ----------
    case : Case
        The technique, jib out or furled.
    from_kn, to_kn : float
        Where it is the fastest.
    keep_from_kn, keep_to_kn : float
        Winds in which somebody already sailing it keeps it.
    margin_m_per_min, margin_s_per_mile : float
        In the middle of the window, over the best other technique.
    next_best : Case or None
        That other technique.
    """

    case: Case
    from_kn: float
    to_kn: float
    keep_from_kn: float
    keep_to_kn: float
    margin_m_per_min: float
    margin_s_per_mile: float
    next_best: Case | None


def techniques(
    model: SpeedModel,
    wind_kn: ArrayLike,
    *,
    cases: Sequence[Case] = (),
    angle_step_deg: float = ANGLE_STEP_DEG,
    heel_step_deg: float = 0.5,
) -> tuple[Technique, ...]:
    """Return every technique for the run with its targets.

    Parameters
    ----------
    model : SpeedModel
        The boat in its sea state.
    wind_kn : array, shape (w,)
        True winds at 10 m, rising.
    cases : sequence of Case, optional
        Those wanted; all of `model.run` without it.
    angle_step_deg, heel_step_deg : float
        Of the search.
    """
    found = []
    for one in cases or model.run:
        grid = searched(model, wind_kn, case=one, angle_step_deg=angle_step_deg, heel_step_deg=heel_step_deg)
        found.append(Technique(one, grid, targets_in(model, grid)))
    return tuple(found)


def metres_per_minute(speed_kn: ArrayLike) -> Array:
    """Return a speed in m/min from knots."""
    return 60.0 * np.asarray(knots_to_metres_per_second(np.asarray(speed_kn, dtype=np.float64)))


def seconds_per_mile(slow_kn: ArrayLike, fast_kn: ArrayLike) -> Array:
    """Return the seconds that a nautical mile takes longer at the slower of two speeds; NaN at rest."""
    slow, fast = (np.asarray(one, dtype=np.float64) for one in (slow_kn, fast_kn))
    with np.errstate(divide="ignore", invalid="ignore"):
        cost = NAUTICAL_MILE_M * (
            1.0 / knots_to_metres_per_second(slow) - 1.0 / knots_to_metres_per_second(fast)
        )
    return np.where(np.isfinite(cost), cost, np.nan)


def technique_windows(found: Sequence[Technique], *, made_good_kn: Array | None = None) -> tuple[Window, ...]:
    """Return the windows in which each technique is best, in rising wind.

    Parameters
    ----------
    found : sequence of Technique
        From `techniques`, over one axis of winds, close enough (half a knot) for the ends wanted.
    made_good_kn : array, shape (techniques, winds), optional
        Speed made good toward the end of a leg instead of straight down the wind.

    Raises
    ------
    InputError
        No technique, or fewer than two winds.

    Notes
    -----
    A technique that leads in one wind of the axis only, by less than `KEEP_M_PER_MIN`, between winds that are
    another's has no window: the step of the search alone makes such a lead.
    """
    if not found or found[0].best.wind_kn.size < 2:
        raise InputError("no techniques over a range of winds", next_step="give at least two winds")
    wind = found[0].best.wind_kn
    good = np.stack([one.made_good_kn for one in found]) if made_good_kn is None else made_good_kn
    leader = np.where(good.max(axis=0) > 0.0, np.argmax(good, axis=0), -1)
    leader = _without_flicker(leader, good)
    starts = np.flatnonzero(np.diff(leader, prepend=-2))
    windows = []
    for first, after in zip(starts, [*starts[1:], wind.size], strict=True):
        if leader[first] >= 0:
            windows.append(_window(found, wind, good, (int(first), int(after) - 1)))
    return tuple(windows)


def _without_flicker(leader: NDArray[np.intp], good: Array) -> NDArray[np.intp]:
    """Return the leaders without one that leads in a single wind, by less than anybody changes for."""
    calm = leader.copy()
    for place in range(1, leader.size - 1):
        around = calm[place - 1]
        if around != leader[place] and around == leader[place + 1] and around >= 0:
            lead = metres_per_minute(good[leader[place], place] - good[around, place])
            calm[place] = around if lead <= KEEP_M_PER_MIN else leader[place]
    return calm


def _window(found: Sequence[Technique], wind: Array, good: Array, span: tuple[int, int]) -> Window:
    first, last = span
    own = int(np.argmax(good[:, first]))
    rival = np.delete(good, own, axis=0).max(axis=0) if len(found) > 1 else np.zeros_like(wind)
    ahead = good[own] - rival
    start = _crossing(wind, ahead, first - 1) if first > 0 else float(wind[0])
    end = _crossing(wind, ahead, last) if last + 1 < wind.size else float(wind[-1])
    middle = (first + last) // 2
    other = [k for k in np.argsort(good[:, middle])[::-1] if k != own and good[k, middle] > 0.0]
    slow = good[other[0], middle] if other else 0.0
    keep = ahead > -KEEP_M_PER_MIN / metres_per_minute(1.0)
    low, high = _kept(wind, keep, span)
    return Window(
        found[own].case,
        start,
        end,
        max(float(wind[0]), min(low, start - LEAST_KEEP_KN)),
        min(float(wind[-1]), max(high, end + LEAST_KEEP_KN)),
        float(metres_per_minute(good[own, middle] - slow)),
        float(seconds_per_mile(slow, good[own, middle])) if other else float("nan"),
        found[other[0]].case if other else None,
    )


def _crossing(wind: Array, ahead: Array, place: int) -> float:
    """Return the wind at which the lead changes sign between a place and the next."""
    here, after = ahead[place], ahead[place + 1]
    part = 0.5 if here == after else float(np.clip(here / (here - after), 0.0, 1.0))
    return float(wind[place] + part * (wind[place + 1] - wind[place]))


def _kept(wind: Array, keep: NDArray[np.bool_], span: tuple[int, int]) -> tuple[float, float]:
    """Return the ends of the unbroken run of winds in which a technique is kept."""
    first, last = span
    while first > 0 and keep[first - 1]:
        first -= 1
    while last + 1 < wind.size and keep[last + 1]:
        last += 1
    return float(wind[first]), float(wind[last])


def window_at(windows: Sequence[Window], wind_kn: float, *, sailing: Case | None = None) -> Window | None:
    """Return the window for a wind; the one already sailed as long as it is to be kept.

    Parameters
    ----------
    windows : sequence of Window
        From `technique_windows`.
    wind_kn : float
        True wind at 10 m.
    sailing : Case, optional
        What is sailed now.
    """
    if sailing is not None:
        for one in windows:
            if one.case == sailing and one.keep_from_kn <= wind_kn <= one.keep_to_kn:
                return one
    for one in windows:
        if one.from_kn <= wind_kn <= one.to_kn:
            return one
    return None
