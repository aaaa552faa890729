"""Pulling a handful of factors to the boat's own logs: robust least squares with priors.

The factors start from 1, each with a prior as wide as the table of assumptions says the model may be off. An
observation moves them only as far as it outweighs the prior, and a wild one counts little. A common error of
the wind instrument is fitted beside them, so that it does not pass for sail power.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from cringle.errors import InputError, NotConvergedError
from cringle.speed.cases import Case
from cringle.speed.ensemble import FACTOR_NAMES, Array, Fitted
from cringle.speed.equilibrium import solve
from cringle.speed.factors import HIGHEST, LOWEST, Factors
from cringle.speed.model import SpeedModel

PRIOR_SPREAD = {
    "sail_power": 0.06,
    "hull_drag": 0.07,
    "planing_drag": 0.12,
    "righting_moment": 0.08,
    "windage": 0.20,
}
"""One standard deviation of the logarithm of each factor: from the spreads of the coefficients it stands for
in the tables of assumptions (a 90 % spread is 1.645 of these either way)."""

WIND_SPREAD = 0.04
"""One standard deviation of the common error of the wind speed (logarithm). Estimate: a calibrated unit."""

SPEED_SPREAD = 0.03
"""One standard deviation of one steady stretch's speed about the model (logarithm): gusts inside it,
steering, waves, log or current. Estimate."""

FULL_WEIGHT_S = 60.0
"""A stretch at least so long counts in full; a shorter one has its variance in proportion larger."""

LEAST_FACTOR_S = 5.0
"""A stretch shorter than this is not steady."""

STEP = 2e-3
"""Step of the logarithms for the slopes."""

MOST_ROWS = 5000
"""More stretches than this are thinned by the caller."""


@dataclass(frozen=True)
class Stretch:
    """One steady stretch.

    Parameters
    ----------
    wind_kn : float
        True wind at 10 m.
    angle_deg : float
        True wind angle to the course, either tack.
    speed_kn : float
        Through the water, or over the ground where there is no current.
    case : str
        Name of the sails and technique, such as ``up`` or ``soak furled``.
    heel_deg : float or None
        To leeward; None where it is not known: the best heel of the model then.
    seconds : float
        How long it lasted.
    """

    wind_kn: float
    angle_deg: float
    speed_kn: float
    case: str
    heel_deg: float | None = None
    seconds: float = FULL_WEIGHT_S


@dataclass(frozen=True)
class FitReport:
    """What a fit found.

    Parameters
    ----------
    fitted : Fitted
        Factors and the covariance of their logarithms.
    wind_factor : float
        Common error of the wind found beside them.
    prior_spread, spread : tuple of float
        Standard deviations of the logarithms before and after, in the order of `FACTOR_NAMES`.
    used, left_out : int
        Stretches that counted; those the model cannot sail at all.
    before_percent, after_percent : float
        Root mean square of speed less model over model.
    residual_before_percent, residual_after_percent : array, shape (stretches,)
        For each stretch; NaN where it was left out.
    weight : array, shape (stretches,)
        What the robust loss left of each one's say, 0 to 1.
    """

    fitted: Fitted
    wind_factor: float
    prior_spread: tuple[float, ...]
    spread: tuple[float, ...]
    used: int
    left_out: int
    before_percent: float
    after_percent: float
    residual_before_percent: Array
    residual_after_percent: Array
    weight: Array

    @property
    def earned(self) -> tuple[float, ...]:
        """Share of the prior's variance that the data took away, by factor: 0 nothing learnt, 1 all."""
        pairs = zip(self.spread, self.prior_spread, strict=True)
        return tuple(max(0.0, 1.0 - (after / before) ** 2) for after, before in pairs)


@dataclass(frozen=True)
class _Data:
    """Stretches as arrays, grouped by case."""

    model: SpeedModel
    groups: tuple[tuple[Case, NDArray[np.intp]], ...]
    wind: Array
    angle: Array
    heel: Array
    log_speed: Array
    spread: Array


def fit(model: SpeedModel, stretches: Sequence[Stretch]) -> FitReport:
    """Return the factors that bring a model to steady stretches.

    Parameters
    ----------
    model : SpeedModel
        The boat with the people that were aboard; its factors must be 1.
    stretches : sequence of Stretch
        Observed.

    Raises
    ------
    InputError
        No stretch, too many, or one with an impossible number or an unknown case; the message names it.
    NotConvergedError
        The model can sail none of them.

    Notes
    -----
    Minimises ``sum 2 (sqrt(1 + r^2) - 1) + sum (p / s)^2``: r is the difference of the logarithms of observed
    and computed speed over its standard deviation, p the logarithm of each factor, s its prior. Beyond one
    standard deviation the soft loss grows like the distance and not its square, so one wild stretch pulls no
    harder than a fixed force: its reach is bounded by the prior's variance times the sensitivity.
    The covariance is the inverse of the curvature at the end, prior included.
    """
    from scipy.optimize import least_squares

    data = _data(model, stretches)
    names = (*FACTOR_NAMES, "wind")
    prior = np.array([*(PRIOR_SPREAD[name] for name in FACTOR_NAMES), WIND_SPREAD])
    start = np.zeros(len(names))
    first = _residuals(data, start)
    known = np.isfinite(first)
    if not known.any():
        raise NotConvergedError(
            "the model can sail none of these stretches",
            next_step="check winds, angles, sails and the units of the file",
        )

    def all_residuals(logs: Array) -> Array:
        scaled = np.where(known, np.nan_to_num(_residuals(data, logs)), 0.0)
        return np.concatenate((_softened(scaled), logs / prior))

    def slopes(logs: Array) -> Array:
        scaled = np.where(known, np.nan_to_num(_residuals(data, logs)), 0.0)
        bend = _bend(scaled)
        return np.concatenate((bend[:, None] * _slopes(data, logs, scaled, known), np.diag(1.0 / prior)))

    bound = float(np.log(HIGHEST)) * 0.99
    found = least_squares(
        all_residuals, start, jac=slopes, x_scale=prior, bounds=(-bound, bound), xtol=1e-6, ftol=1e-8
    )
    logs = np.asarray(found.x, dtype=np.float64)
    last = np.where(known, np.nan_to_num(_residuals(data, logs)), 0.0)
    slope = _slopes(data, logs, last, known)
    curvature = (slope / np.sqrt(1.0 + np.square(last))[:, None]).T @ slope + np.diag(1.0 / np.square(prior))
    covariance = np.asarray(np.linalg.inv(curvature), dtype=np.float64)
    return _report(data, (logs, covariance, prior), (first, last, np.asarray(known)))


def _softened(scaled: Array) -> Array:
    """Return residuals whose squares are the soft loss."""
    return np.sign(scaled) * np.sqrt(2.0 * (np.sqrt(1.0 + np.square(scaled)) - 1.0))


def _bend(scaled: Array) -> Array:
    """Return the slope of `_softened`."""
    soft = np.abs(_softened(scaled))
    steep = np.abs(scaled) / (np.where(soft > 0.0, soft, 1.0) * np.sqrt(1.0 + np.square(scaled)))
    return np.where(soft > 1e-6, steep, 1.0)


def _slopes(data: _Data, logs: Array, here: Array, known: NDArray[np.bool_]) -> Array:
    """Return how the residuals grow with each logarithm, shape (stretches, factors)."""
    columns = []
    for place in range(logs.size):
        moved = logs.copy()
        moved[place] += STEP
        change = np.where(known, np.nan_to_num(_residuals(data, moved)) - here, 0.0)
        columns.append(change / STEP)
    return np.stack(columns, axis=1)


def _report(
    data: _Data, found: tuple[Array, Array, Array], seen: tuple[Array, Array, NDArray[np.bool_]]
) -> FitReport:
    (logs, covariance, prior), (first, last, known) = found, seen
    count = len(FACTOR_NAMES)
    before, after = (100.0 * np.expm1(np.where(known, one * data.spread, np.nan)) for one in (first, last))
    factors = np.clip(np.exp(logs[:count]), LOWEST, HIGHEST)
    rows = tuple(tuple(row) for row in covariance[:count, :count].tolist())
    return FitReport(
        fitted=Fitted(Factors(**dict(zip(FACTOR_NAMES, factors.tolist(), strict=True))), rows),
        wind_factor=float(np.exp(logs[count])),
        prior_spread=tuple(prior[:count].tolist()),
        spread=tuple(np.sqrt(np.diag(covariance))[:count].tolist()),
        used=int(known.sum()),
        left_out=int((~known).sum()),
        before_percent=float(np.sqrt(np.nanmean(np.square(before)))),
        after_percent=float(np.sqrt(np.nanmean(np.square(after)))),
        residual_before_percent=before,
        residual_after_percent=after,
        weight=np.where(known, 1.0 / np.sqrt(1.0 + np.square(last)), 0.0),
    )


def _data(model: SpeedModel, stretches: Sequence[Stretch]) -> _Data:
    _check(model, stretches)
    names = [one.case for one in stretches]
    wind, angle, speed, seconds = (
        np.array([getattr(one, name) for one in stretches], dtype=np.float64)
        for name in ("wind_kn", "angle_deg", "speed_kn", "seconds")
    )
    groups = tuple(
        (model.case(name), np.array([place for place, one in enumerate(names) if one == name]))
        for name in dict.fromkeys(names)
    )
    heel = np.array([np.nan if one.heel_deg is None else one.heel_deg for one in stretches])
    for case, rows in groups:
        lost = rows[np.isnan(heel[rows])]
        if lost.size:
            heel[lost] = _best_heel(model, case, wind[lost], angle[lost])
    spread = SPEED_SPREAD * np.sqrt(np.maximum(FULL_WEIGHT_S / seconds, 1.0))
    return _Data(model, groups, wind, np.abs(angle), heel, np.log(speed), spread)


def _check(model: SpeedModel, stretches: Sequence[Stretch]) -> None:
    if not 1 <= len(stretches) <= MOST_ROWS:
        raise InputError(
            f"{len(stretches)} steady stretches, accepted 1 to {MOST_ROWS}",
            next_step="give a file with a row for each stretch of a minute or so",
        )
    if model.around.factors != Factors():
        raise InputError("the model carries an earlier fit", next_step="fit from the model as it is")
    for number, one in enumerate(stretches, 1):
        model.case(one.case)
        for name, value, low, high in (
            ("wind_kn", one.wind_kn, 1.0, 40.0),
            ("angle_deg", abs(one.angle_deg), 20.0, 180.0),
            ("speed_kn", one.speed_kn, 0.2, 30.0),
            ("heel_deg", one.heel_deg if one.heel_deg is not None else 0.0, -30.0, 50.0),
            ("seconds", one.seconds, LEAST_FACTOR_S, 7200.0),
        ):
            if not low <= value <= high:
                raise InputError(
                    f"stretch {number}, {name}: found {value:g}, accepted {low:g} to {high:g}",
                    next_step="correct or remove that row",
                )


def _best_heel(model: SpeedModel, case: Case, wind: Array, angle: Array) -> Array:
    """Return the heel with the highest speed at each wind and angle, by degrees."""
    heels = np.linspace(
        case.heel_low_deg, case.heel_high_deg, round(case.heel_high_deg - case.heel_low_deg) + 1
    )
    cells = solve(model, wind[:, None], np.abs(angle)[:, None], case=case, heel_deg=heels[None, :])
    speed = np.where(cells.converged, cells.boat_speed_kn, -1.0)
    return np.asarray(heels[np.argmax(speed, axis=1)])


def _residuals(data: _Data, logs: Array) -> Array:
    """Return log of observed over computed speed, over its standard deviation; NaN where not sailed."""
    count = len(FACTOR_NAMES)
    values = np.clip(np.exp(logs[:count]), LOWEST, HIGHEST).tolist()
    factors = Factors(**dict(zip(FACTOR_NAMES, values, strict=True)))
    boat = data.model.with_around(replace(data.model.around, factors=factors))
    wind = data.wind * np.exp(logs[count])
    out = np.full(wind.size, np.nan)
    for case, rows in data.groups:
        cells = solve(boat, wind[rows], data.angle[rows], case=case, heel_deg=data.heel[rows])
        with np.errstate(invalid="ignore", divide="ignore"):
            computed = np.log(cells.boat_speed_kn)
        out[rows] = (data.log_speed[rows] - computed) / data.spread[rows]
    return out
