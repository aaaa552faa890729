"""What the ledger is held against: the model's target, a fitted one, the own best tenth, another boat."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cringle.errors import InputError
from cringle.track.frozen_polar import FrozenPolar
from cringle.track.ledger.ledger import RUN, SAILED, UPWIND, Baseline, LedgerRows, steps_of

Array = NDArray[np.float64]

BASELINES: Final = ("model", "fitted", "own", "boat")
"""Names under which a person chooses a baseline."""

STRETCH_S: Final = 30
"""Sailing is judged by stretches of this length [s]."""

FEWEST_STRETCHES: Final = 5
"""Fewer stretches than this do not tell how well a boat can sail."""

SLOWEST_SHARE: Final = 0.5
"""A stretch below this share of the target is no steady sailing."""


def stretch_shares(rows: LedgerRows, polar: FrozenPolar, kind: int) -> Array:
    """Return speed made good over the target's, one mean for each steady stretch of `STRETCH_S` rows.

    Parameters
    ----------
    rows : LedgerRows
        What was sailed.
    polar : FrozenPolar
        Gives the targets.
    kind : int
        `UPWIND` or `RUN`.
    """
    steps = steps_of(rows, Baseline(polar))
    steady = (rows.charge == SAILED) & (rows.leg >= 0) & (rows.kind == kind)
    with np.errstate(invalid="ignore", divide="ignore"):
        share = np.where(steady, steps.observed / steps.target, np.nan)
    length = max(round(STRETCH_S / rows.step_s), 1)
    whole = share[: share.size // length * length].reshape(-1, length)
    known = np.isfinite(whole).mean(axis=1) >= 0.8
    means = np.array([float(np.nanmean(one)) for one in whole[known]])
    return means[means > SLOWEST_SHARE]


def own_best_tenth(rows: LedgerRows, polar: FrozenPolar) -> Baseline:
    """Return the boat's own best tenth: the share of the target reached in one stretch out of ten.

    Raises
    ------
    InputError
        There are too few steady stretches to tell.
    """
    up, run = (_percentile(stretch_shares(rows, polar, kind), 90.0) for kind in (UPWIND, RUN))
    return _baseline(polar, up, run, "own best tenth")


def of_boat(rows: LedgerRows, polar: FrozenPolar, name: str) -> Baseline:
    """Return what another boat reached in the middle one of her steady stretches.

    Raises
    ------
    InputError
        There are too few steady stretches to tell.
    """
    up, run = (_percentile(stretch_shares(rows, polar, kind), 50.0) for kind in (UPWIND, RUN))
    return _baseline(polar, up, run, name)


def _percentile(shares: Array, percent: float) -> float | None:
    return float(np.percentile(shares, percent)) if shares.size >= FEWEST_STRETCHES else None


def _baseline(polar: FrozenPolar, up: float | None, run: float | None, name: str) -> Baseline:
    """Return the baseline; where one kind of leg has too few stretches the other's share stands in."""
    known = [one for one in (up, run) if one is not None]
    if not known:
        raise InputError(
            f"baseline {name}: fewer than {FEWEST_STRETCHES} steady half minutes upwind and on the run",
            next_step="choose the model's target: --baseline model",
        )
    return replace(
        Baseline(polar, name=name),
        up_factor=known[0] if up is None else up,
        run_factor=known[-1] if run is None else run,
    )
