"""Heel discipline: how much of the time the heel is right, how fast it comes back, what else it does."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cringle.track.heel.pattern import HeelPattern, heel_pattern
from cringle.track.heel.response import HeelResponse, heel_response
from cringle.track.ledger.ledger import RUN, UPWIND

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]

BAND_DEG: Final = 2.0
"""Heel within this of the target is right [deg]."""

WIND_BANDS_KN: Final = (0.0, 6.0, 10.0, 14.0, 18.0, 60.0)
"""Edges of the winds by which the share is given [kn] (our own choice)."""

LEAST_SECONDS: Final = 30
WRONG_SIDE_DEG: Final = 2.0
"""Heel so far to the other side of upright than the target is on the wrong side [deg] (our own limit)."""


@dataclass(frozen=True)
class HeelRows:
    """What heel discipline is read from, one row a second, shape (n,).

    Parameters
    ----------
    heel_deg : array
        To leeward; NaN where it is not known, in manoeuvres, and off the legs.
    target_deg : array
        The heel to keep at the wind of each second; NaN where there is no target.
    wind_kn : array
        True wind; NaN where it is not known.
    kind : array of int
        `UPWIND`, `RUN` or `REACH`.
    leg : array of int
        Number of the leg, -1 outside.
    """

    heel_deg: Array
    target_deg: Array
    wind_kn: Array
    kind: NDArray[np.int8]
    leg: NDArray[np.int64]

    @property
    def error_deg(self) -> Array:
        """Heel above the target."""
        return self.heel_deg - self.target_deg


@dataclass(frozen=True)
class HeelShare:
    """A part of the log: seconds, share within `BAND_DEG` of the target, mean and spread of error [deg]."""

    time_s: int
    in_band_share: float
    error_mean_deg: float
    error_sd_deg: float


@dataclass(frozen=True)
class HeelDiscipline:
    """Heel against its target; parts with too little time are None.

    Parameters
    ----------
    whole, upwind, run : HeelShare or None
        On all legs, on beats, on runs.
    by_wind : mapping
        ``6-10`` (knots) and so on to its share.
    by_leg : tuple of (int, HeelShare)
        Number of the leg, and its share.
    response : HeelResponse or None
        How it leaves the band and comes back.
    wrong_side_share : float or None
        Share of the time on runs with the heel on the other side of upright than the target.
    pattern : HeelPattern or None
        Steady, hunting or slow to react, upwind.
    """

    whole: HeelShare | None
    upwind: HeelShare | None
    run: HeelShare | None
    by_wind: Mapping[str, HeelShare]
    by_leg: tuple[tuple[int, HeelShare], ...]
    response: HeelResponse | None
    wrong_side_share: float | None
    pattern: HeelPattern | None


def heel_discipline(rows: HeelRows) -> HeelDiscipline | None:
    """Return heel against its target, or None without heel or target.

    Parameters
    ----------
    rows : HeelRows
        Heel, target, wind and legs.
    """
    error = rows.error_deg
    known = np.isfinite(error) & (rows.leg >= 0)
    whole = _share(error[known])
    if whole is None:
        return None
    upwind, run = known & (rows.kind == UPWIND), known & (rows.kind == RUN)
    return HeelDiscipline(
        whole=whole,
        upwind=_share(error[upwind]),
        run=_share(error[run]),
        by_wind=_by_wind(error, rows.wind_kn, known),
        by_leg=_by_leg(error, rows.leg, known),
        response=heel_response(np.where(upwind, error, np.nan), rows.wind_kn, band_deg=BAND_DEG),
        wrong_side_share=_wrong_side(rows, run),
        pattern=heel_pattern(np.where(upwind, error, np.nan)),
    )


def _share(error: Array) -> HeelShare | None:
    if error.size < LEAST_SECONDS:
        return None
    inside = float((np.abs(error) <= BAND_DEG).mean())
    return HeelShare(int(error.size), inside, float(error.mean()), float(error.std()))


def _by_wind(error: Array, wind_kn: Array, known: Mask) -> dict[str, HeelShare]:
    found = {}
    for low, high in pairwise(WIND_BANDS_KN):
        share = _share(error[known & (wind_kn >= low) & (wind_kn < high)])
        if share is not None:
            found[f"{low:g}-{high:g}" if high < WIND_BANDS_KN[-1] else f"{low:g}+"] = share
    return found


def _by_leg(error: Array, leg: NDArray[np.int64], known: Mask) -> tuple[tuple[int, HeelShare], ...]:
    shares = ((int(one), _share(error[known & (leg == one)])) for one in np.unique(leg[known]))
    return tuple((number, share) for number, share in shares if share is not None)


def _wrong_side(rows: HeelRows, run: Mask) -> float | None:
    """Return the share of the run on the wrong side, for the side the target of this class and wind is on."""
    heel, target = rows.heel_deg[run], rows.target_deg[run]
    meant = np.abs(target) > 0.5
    if meant.sum() < LEAST_SECONDS:
        return None
    return float((heel[meant] * np.sign(target[meant]) < -WRONG_SIDE_DEG).mean())
