"""What heel does around its target: steady, hunting, or slow to react, from its spectrum."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

SEGMENT_S: Final = 64
"""The spectrum is taken over pieces of about a minute."""

STEADY_SD_DEG: Final = 2.0
"""Heel that wanders less than this around its mean is steady [deg] (our own limit)."""

QUICK_PERIODS_S: Final = (3.0, 12.0)
SLOW_PERIODS_S: Final = (15.0, 64.0)
"""Hunting shows in the quick periods, slowness to react in the slow ones (common practice, no source)."""

LEADING_SHARE: Final = 0.5
"""Share of the power from which a band of periods leads."""


@dataclass(frozen=True)
class HeelPattern:
    """What heel does around its target.

    Parameters
    ----------
    name : str
        ``steady``, ``hunting``, ``slow to react`` or ``mixed``.
    sd_deg : float
        Spread around the mean of each stretch.
    quick_share, slow_share : float
        Share of the power in `QUICK_PERIODS_S` and in `SLOW_PERIODS_S`.
    period_s : float
        The period with the most power.
    """

    name: str
    sd_deg: float
    quick_share: float
    slow_share: float
    period_s: float


def heel_pattern(error_deg: Array) -> HeelPattern | None:
    """Return the pattern of heel, or None where no stretch of `SEGMENT_S` seconds is without a gap.

    Parameters
    ----------
    error_deg : array, shape (n,)
        Heel above its target, one a second; NaN where it does not count.

    Notes
    -----
    Mean of the periodograms of stretches without a gap, Hann window, mean removed. P. D. Welch, "The
    use of fast Fourier transform for the estimation of power spectra", IEEE Trans. Audio Electroacoust. 15
    (1967) 70-73.
    """
    pieces = _pieces(error_deg)
    if not pieces:
        return None
    from scipy.signal import welch

    spectra = [welch(one, fs=1.0, nperseg=SEGMENT_S, detrend="constant") for one in pieces]
    frequency = spectra[0][0][1:]
    power = np.average([one[1][1:] for one in spectra], axis=0, weights=[piece.size for piece in pieces])
    whole = float(power.sum())
    if whole <= 0.0:
        return HeelPattern("steady", 0.0, 0.0, 0.0, float(SEGMENT_S))
    quick, slow = (_share(frequency, power, band) / whole for band in (QUICK_PERIODS_S, SLOW_PERIODS_S))
    spread = float(np.sqrt(np.mean(np.concatenate([one - one.mean() for one in pieces]) ** 2)))
    return HeelPattern(
        name=_name(spread, quick, slow),
        sd_deg=spread,
        quick_share=quick,
        slow_share=slow,
        period_s=float(1.0 / frequency[power.argmax()]),
    )


def _name(spread: float, quick: float, slow: float) -> str:
    if spread <= STEADY_SD_DEG:
        return "steady"
    if quick >= LEADING_SHARE:
        return "hunting"
    return "slow to react" if slow >= LEADING_SHARE else "mixed"


def _share(frequency: Array, power: Array, periods: tuple[float, float]) -> float:
    inside = (frequency >= 1.0 / periods[1]) & (frequency <= 1.0 / periods[0])
    return float(power[inside].sum())


def _pieces(values: Array) -> list[Array]:
    """Return the stretches without a gap that are long enough."""
    known = np.isfinite(values)
    bounds = np.concatenate([[0], np.flatnonzero(np.diff(known.astype(np.int8))) + 1, [values.size]])
    return [values[start:end] for start, end in pairwise(bounds) if end - start >= SEGMENT_S and known[start]]
