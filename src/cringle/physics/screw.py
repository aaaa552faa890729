"""Rigging screws: threads, and what a turn of the body does."""

from __future__ import annotations

from cringle.constants import INCH_M
from cringle.errors import InputError


def pitch_of_thread(threads_per_inch: float) -> float:
    """Return the pitch of an inch thread.

    Parameters
    ----------
    threads_per_inch : float
        Above zero.

    Returns
    -------
    float
        [m]

    References
    ----------
    .. [1] ASME B1.1, Unified Inch Screw Threads: pitch = 1 inch / threads per inch.
    """
    if threads_per_inch <= 0.0:
        raise InputError(
            f"threads per inch: found {threads_per_inch:g}",
            next_step="read the number on the screw's data sheet",
        )
    return INCH_M / threads_per_inch


def body_turn(pitch_upper: float, pitch_lower: float = 0.0) -> float:
    """Return the change of length for one turn of the body, opposite threads at its two ends.

    Parameters
    ----------
    pitch_upper, pitch_lower : float
        Pitches of both ends; the lower is 0 for an adjuster threaded at one end only. [m]

    Returns
    -------
    float
        [m]
    """
    return pitch_upper + pitch_lower
