"""The time ledger: seconds lost against a baseline, split by cause; the parts are the total taken apart."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cringle.track.frozen_polar import FrozenPolar
from cringle.units import degrees_to_radians

Array = NDArray[np.float64]
Codes = NDArray[np.int8]

PARTS: Final = (
    "heel",
    "angle",
    "trim",
    "tack",
    "gybe",
    "set",
    "drop",
    "extra_distance",
    "stopped",
    "unknown",
)
"""Causes in the order in which they are taken out of the total."""

SAILED: Final = -1
"""Code of a row split into heel, angle and trim; other codes are the place of their cause in `PARTS`."""

UPWIND, RUN, REACH = 0, 1, 2
"""Kinds of leg."""

FASTEST_RATIO: Final = 3.0
"""Speed made good beyond this many times the baseline is a fault of the log, not sailing (our own limit)."""


def code(cause: str) -> int:
    """Return the code of a cause that is charged whole."""
    return PARTS.index(cause)


@dataclass(frozen=True)
class LedgerRows:
    """What the ledger is drawn up from: one row for each `step_s`, all of shape (n,).

    Parameters
    ----------
    wind_kn : array
        True wind at 10 m; NaN where it is not known.
    angle_deg : array
        True wind angle of the course through the water, of either sign; NaN where it is not known.
    speed_kn : array
        Speed through the water, or what stands in for it; NaN where it is not known.
    heel_deg : array
        Heel to leeward; NaN where it is not known, and the heel part of that row is 0.
    kind : array of int
        `UPWIND`, `RUN` or `REACH`.
    leg : array of int
        Number of the leg, -1 outside.
    charge : array of int
        `SAILED`, or the `code` of the cause that takes the whole row.
    step_s : float
        Seconds between rows.
    angle_noise_deg : float
        Standard deviation of what the receiver adds to the angle of each row.
    """

    wind_kn: Array
    angle_deg: Array
    speed_kn: Array
    heel_deg: Array
    kind: Codes
    leg: NDArray[np.int64]
    charge: Codes
    step_s: float = 1.0
    angle_noise_deg: float = 0.0


@dataclass(frozen=True)
class Baseline:
    """What the sailing is held against.

    Parameters
    ----------
    polar : FrozenPolar
        Speeds over wind, angle and heel, and the targets.
    up_factor, run_factor : float
        Speeds of the baseline over those of the polar, upwind and elsewhere: 1 for the model's targets.
    name : str
        ``model target``, ``fitted target``, ``own best tenth`` or a boat.
    """

    polar: FrozenPolar
    up_factor: float = 1.0
    run_factor: float = 1.0
    name: str = "model target"

    def factor(self, kind: Codes) -> Array:
        """Return the factor of each row."""
        return np.where(kind == UPWIND, self.up_factor, self.run_factor)


@dataclass(frozen=True)
class Split:
    """Seconds lost by row and cause, shape (parts, n), in the order of `PARTS`; 0 outside the legs."""

    seconds: Array
    leg: NDArray[np.int64]

    @property
    def by_part(self) -> dict[str, float]:
        """Seconds of each cause in all."""
        return dict(zip(PARTS, self.seconds.sum(axis=1).tolist(), strict=True))

    @property
    def total_s(self) -> float:
        """Seconds lost in all."""
        return float(self.seconds.sum())

    def of_leg(self, number: int) -> dict[str, float]:
        """Return the seconds of each cause on one leg."""
        return dict(zip(PARTS, self.seconds[:, self.leg == number].sum(axis=1).tolist(), strict=True))


@dataclass(frozen=True)
class Steps:
    """Speed made good towards the leg's end [kn], shape (n,), from the baseline to what was sailed.

    Parameters
    ----------
    target : array
        At the target angle and the target heel.
    heeled : array
        At the target angle and the heel sailed.
    angled : array
        At the angle and the heel sailed.
    observed : array
        What was sailed.
    """

    target: Array
    heeled: Array
    angled: Array
    observed: Array


def made_good(speed_kn: Array, angle_deg: Array, kind: Codes) -> Array:
    """Return speed towards the leg's end [kn]: to windward, to leeward, or along a reach."""
    along = speed_kn * np.cos(degrees_to_radians(angle_deg))
    return np.where(kind == UPWIND, along, np.where(kind == RUN, -along, speed_kn))


def steps_of(rows: LedgerRows, baseline: Baseline) -> Steps:
    """Return the speeds made good between which the causes lie.

    Notes
    -----
    On a reach the angle is given by the marks: target and sailed angle are the same, so nothing is lost to
    angle. Where heel is not known the target heel stands in for it, so nothing is lost to heel.

    Near the best angle a stray to either side costs, so noise on the angle looks like steering. Its mean
    cost, half the difference of second order at plus and minus its standard deviation, is taken off again.
    """
    polar, kind = baseline.polar, rows.kind
    known = np.isfinite(rows.wind_kn) & np.isfinite(rows.angle_deg)
    wind, angle = (np.where(known, one, 0.0) for one in (rows.wind_kn, np.abs(rows.angle_deg)))
    up, down = (polar.target(wind, upwind=upwind) for upwind in (True, False))
    target_angle = np.where(kind == UPWIND, up.angle_deg, np.where(kind == RUN, down.angle_deg, angle))
    target_heel = np.where(kind == UPWIND, up.heel_deg, down.heel_deg)
    heel = np.where(np.isfinite(rows.heel_deg), rows.heel_deg, target_heel)
    scale = np.where(known, baseline.factor(kind), np.nan)

    def good(at_angle: Array) -> Array:
        return made_good(scale * polar.speed(wind, at_angle, heel), at_angle, kind)

    angled, noise = good(angle), rows.angle_noise_deg
    if noise > 0.0:
        angled = 2.0 * angled - 0.5 * (good(angle + noise) + good(angle - noise))
    return Steps(
        target=made_good(scale * polar.speed(wind, target_angle, target_heel), target_angle, kind),
        heeled=good(target_angle),
        angled=np.where(kind == REACH, good(angle), angled),
        observed=made_good(np.where(known, rows.speed_kn, np.nan), angle, kind),
    )


def split(rows: LedgerRows, baseline: Baseline) -> Split:
    """Return the seconds lost, row by row, taken apart by cause.

    Parameters
    ----------
    rows : LedgerRows
        What was sailed.
    baseline : Baseline
        What it is held against.

    Returns
    -------
    Split
        A row's seconds are ``step (1 - made good / baseline's)``. Rows that are charged whole go to their
        cause; the others are taken apart in the order heel, angle, trim: each is the difference of two
        neighbours in `Steps` over the baseline, so the parts add up to the whole exactly.

    Notes
    -----
    A row without wind, angle or speed costs its whole time and goes to ``unknown``, as does one that beats
    the baseline more than `FASTEST_RATIO` times.
    """
    steps = steps_of(rows, baseline)
    inside = rows.leg >= 0
    with np.errstate(invalid="ignore", divide="ignore"):
        shares = np.stack([steps.heeled, steps.angled, steps.observed]) / steps.target
    sound = np.isfinite(shares).all(axis=0) & (np.abs(shares[2]) <= FASTEST_RATIO) & (steps.target > 0.0)
    whole = np.where(sound, 1.0 - shares[2], 1.0)
    charge = np.where(sound | (rows.charge != SAILED), rows.charge, code("unknown"))
    seconds = np.zeros((len(PARTS), rows.speed_kn.size))
    taken = charge == SAILED
    edges = np.concatenate([np.ones((1, shares.shape[1])), shares])
    seconds[:3, taken] = -np.diff(edges[:, taken], axis=0)
    seconds[charge[~taken], np.flatnonzero(~taken)] = whole[~taken]
    seconds[:, ~inside] = 0.0
    return Split(seconds * rows.step_s, rows.leg)
