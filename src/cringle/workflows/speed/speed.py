"""Targets, polar and techniques of the boat in a book, each number with its 90 % interval."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from cringle.errors import InputError, OutOfRangeError
from cringle.physics.sails import Gear
from cringle.speed.cases import Case
from cringle.speed.ensemble import Interval
from cringle.speed.ensemble_targets import TargetIntervals, ensemble_targets, target_intervals
from cringle.speed.polar import Polar, grid_of, polar
from cringle.speed.targets import Targets, targets
from cringle.speed.techniques import Technique, Window, technique_windows, techniques
from cringle.workflows.speed.open import SpeedAsked, SpeedBook, open_speed

Array = NDArray[np.float64]

WINDS_KN = (4.0, 24.0, 1.0)
"""Winds told when none are asked for: first, last, step."""

WINDOW_STEP_KN = 0.5
"""Step of the winds among which windows are looked for."""

MOST_DRAWN_WINDS = 9
"""The ensemble is sailed in so many winds; intervals between them by straight lines."""

POLAR_ANGLES_DEG = (32.0, 180.0, 4.0)
"""Angles of the polar: first, last, step."""

STRONGEST_KN = 40.0
"""Winds up to here are told."""


@dataclass(frozen=True)
class CaseTargets:
    """Targets of one case with their intervals."""

    found: Targets
    known: TargetIntervals


@dataclass(frozen=True)
class TargetsAnswer:
    """Targets upwind and of every technique."""

    book: SpeedBook
    wind_kn: Array
    gear: Gear
    up: CaseTargets
    run: tuple[CaseTargets, ...]

    def best_run(self, place: int) -> CaseTargets | None:
        """Return the technique with the best speed made good in one wind, None where there is none."""
        able = [one for one in self.run if one.found.cells.converged[place]]
        return max(able, key=lambda one: float(one.found.made_good_kn[place]), default=None)


@dataclass(frozen=True)
class PolarAnswer:
    """The polar of every case."""

    book: SpeedBook
    polars: tuple[Polar, ...]


@dataclass(frozen=True)
class TechniquesAnswer:
    """Techniques for the run: targets with intervals, and the windows in which each is best."""

    book: SpeedBook
    wind_kn: Array
    cases: tuple[CaseTargets, ...]
    windows: tuple[Window, ...]


def winds_asked(winds_kn: Sequence[float]) -> Array:
    """Return winds in rising order, each once; the usual ones when none are asked for.

    Raises
    ------
    OutOfRangeError
        A wind that is none.
    """
    if not winds_kn:
        return grid_of(*WINDS_KN)
    for wind in winds_kn:
        if not 0.0 < wind <= STRONGEST_KN:
            raise OutOfRangeError(
                "true wind speed", wind, 0.5, STRONGEST_KN, unit="kn", next_step="give knots, such as 6,10,14"
            )
    return np.asarray(np.unique(np.asarray(winds_kn, dtype=np.float64)))


def speed_targets(
    folder: Path,
    winds_kn: Sequence[float] = (),
    *,
    asked: SpeedAsked | None = None,
    gear: str = "settled",
) -> TargetsAnswer:
    """Return the targets up and down the wind.

    Parameters
    ----------
    folder : Path
        The book.
    winds_kn : sequence of float
        True winds at 10 m; every knot from 4 to 24 without any.
    asked : SpeedAsked, optional
        Sea and people.
    gear : str
        ``settled`` or ``build``.

    Raises
    ------
    InputError
        A wind, gear, sea or person that is none.
    """
    winds, book = winds_asked(winds_kn), open_speed(folder, asked)
    if gear not in {str(one) for one in Gear}:
        raise InputError(f"gear {gear!r}", next_step=f"use one of: {', '.join(str(one) for one in Gear)}")
    cases = tuple(one.in_gear(Gear(gear)) for one in (book.model.upwind, *book.model.run))
    up, *run = targets_of_cases(book, winds, cases)
    return TargetsAnswer(book, winds, Gear(gear), up, tuple(run))


def targets_of_cases(book: SpeedBook, winds: Array, cases: Sequence[Case]) -> tuple[CaseTargets, ...]:
    """Return targets of cases with intervals; the ensemble is sailed in a few of the winds."""
    thin = _thinned(winds)
    drawn = ensemble_targets(book.boats, thin, cases=cases)
    found = []
    for case in cases:
        whole = targets(book.model, winds, case=case, gear=case.gear)
        some = whole if thin.size == winds.size else targets(book.model, thin, case=case, gear=case.gear)
        known = target_intervals(book.model, some, drawn[case.name])
        found.append(CaseTargets(whole, _stretched(whole, some, known)))
    return tuple(found)


def _thinned(winds: Array) -> Array:
    if winds.size <= MOST_DRAWN_WINDS:
        return winds
    return np.asarray(winds[np.unique(np.linspace(0, winds.size - 1, MOST_DRAWN_WINDS).round().astype(int))])


def _stretched(whole: Targets, some: Targets, known: TargetIntervals) -> TargetIntervals:
    """Return intervals at every wind from those at some, as distances from the best value."""
    pairs = (
        (whole.cells.boat_speed_kn, some.cells.boat_speed_kn, known.speed_kn),
        (whole.cells.angle_deg, some.cells.angle_deg, known.angle_deg),
        (whole.made_good_kn, some.made_good_kn, known.vmg_kn),
        (whole.cells.heel_deg, some.cells.heel_deg, known.heel_deg),
    )
    speed, angle, made, heel = (_between(whole.wind_kn, some.wind_kn, pair) for pair in pairs)
    return TargetIntervals(speed, angle, made, _clipped(heel, whole.case))


def _between(winds: Array, thin: Array, pair: tuple[Array, Array, Interval]) -> Interval:
    whole, some, known = pair
    ends = []
    for one in (known.low, known.high):
        shift = one - some
        there = np.isfinite(shift)
        if not there.any():
            ends.append(np.full(winds.size, np.nan))
            continue
        ends.append(whole + np.interp(winds, thin[there], shift[there]))
    return Interval(ends[0], ends[1])


def _clipped(heel: Interval, case: Case) -> Interval:
    return Interval(*(np.clip(one, case.heel_low_deg, case.heel_high_deg) for one in (heel.low, heel.high)))


def speed_polar(
    folder: Path,
    winds_kn: Sequence[float] = (),
    *,
    asked: SpeedAsked | None = None,
    step_deg: float = POLAR_ANGLES_DEG[2],
    cases: Sequence[str] = (),
) -> PolarAnswer:
    """Return the full polar.

    Parameters
    ----------
    folder : Path
        The book.
    winds_kn : sequence of float
        True winds at 10 m.
    asked : SpeedAsked, optional
        Sea and people.
    step_deg : float
        Of the angle.
    cases : sequence of str
        Names of the cases wanted; all without any.

    Raises
    ------
    InputError
        A wind, step, case, sea or person that is none.
    """
    if not 0.5 <= step_deg <= 20.0:
        raise OutOfRangeError("step of the angle", step_deg, 0.5, 20.0, unit="deg", next_step="such as 4")
    winds, book = winds_asked(winds_kn), open_speed(folder, asked)
    model = book.model
    wanted = tuple(model.case(one) for one in cases) or (model.upwind, *model.run)
    angles = grid_of(POLAR_ANGLES_DEG[0], POLAR_ANGLES_DEG[1], step_deg)
    return PolarAnswer(book, tuple(polar(model, winds, angles, case=one) for one in wanted))


def speed_techniques(
    folder: Path, winds_kn: Sequence[float] = (), *, asked: SpeedAsked | None = None
) -> TechniquesAnswer:
    """Return every technique for the run in every wind, and the windows in which each is best.

    Parameters
    ----------
    folder : Path
        The book.
    winds_kn : sequence of float
        True winds at 10 m for the rows; windows are looked for over their whole range.
    asked : SpeedAsked, optional
        Sea and people.

    Raises
    ------
    InputError
        A wind, sea or person that is none, or no kite in the class file.
    """
    winds, book = winds_asked(winds_kn), open_speed(folder, asked)
    if not book.model.run:
        raise InputError(
            "the class file has no sail set with main and kite", next_step="add one to class.toml"
        )
    rows = targets_of_cases(book, winds, book.model.run)
    return TechniquesAnswer(book, winds, rows, technique_windows(window_techniques(book, winds)))


def window_techniques(book: SpeedBook, winds: Array) -> tuple[Technique, ...]:
    """Return the techniques over the range of some winds, close enough for windows."""
    low, high = float(winds[0]), float(winds[-1])
    if high - low < 2.0 * WINDOW_STEP_KN:
        low, high = max(low - 3.0, 1.0), min(high + 3.0, STRONGEST_KN)
    return techniques(book.model, grid_of(low, high, WINDOW_STEP_KN))
