"""How much of the scatter of an angle from second to second is the receiver's: it makes bends look costly."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

FEWEST_PAIRS: Final = 60
WILD_DEG: Final = 20.0
"""A change of more than this from one second to the next but one is a turn or a fault [deg]."""


def white_noise_deg(angle_deg: Array, use: NDArray[np.bool_]) -> float:
    """Return the standard deviation of the part of an angle that is new in every second [deg].

    Parameters
    ----------
    angle_deg : array, shape (n,)
        One row a second; NaN where not known.
    use : bool array, shape (n,)
        Rows of plain sailing.

    Returns
    -------
    float
        0 with fewer than `FEWEST_PAIRS` pairs, or where none is seen.

    Notes
    -----
    The mean square of the change over ``k`` seconds is ``2 s^2`` of what is new in every second plus what a
    helm does in ``k`` seconds, which starts in proportion to ``k``. A straight line through one and two
    seconds, drawn on to none, leaves ``2 s^2`` (the nugget of a variogram: Matheron, Economic Geology 58,
    1963, from memory).
    """
    angle = np.where(use, angle_deg, np.nan)
    one, two = (_mean_square(angle[step:] - angle[:-step]) for step in (1, 2))
    if not (np.isfinite(one) and np.isfinite(two)):
        return 0.0
    return float(np.sqrt(max(one - 0.5 * two, 0.0)))


def _mean_square(change_deg: Array) -> float:
    known = change_deg[np.isfinite(change_deg) & (np.abs(np.nan_to_num(change_deg)) < WILD_DEG)]
    return float((known**2).mean()) if known.size >= FEWEST_PAIRS else float("nan")
