"""Whether a file holds the fixes of two boats, one among the other's."""

from __future__ import annotations

from typing import Final

import numpy as np
import polars as pl
from numpy.typing import NDArray

from cringle.errors import InputError
from cringle.track.distance import FASTEST_STEP_M_PER_S, steps

Array = NDArray[np.float64]

LEAST_STEP_M: Final = 10.0
"""Boats closer than this to each other cannot be told from the error of a receiver [m]."""

BACK_SHARE: Final = 0.3
"""A fix is among another boat's when those on either side of it are so much closer to each other."""

LEAST_SHARE: Final = 0.08
"""So many such fixes are two boats, fewer are faults of the receiver."""

FEWEST: Final = 20


def share_to_and_fro(track: pl.DataFrame) -> float:
    """Return the share of fixes to which the track jumps and from which it jumps back.

    Parameters
    ----------
    track : DataFrame
        Sorted by time.
    """
    known = track.select("time", "lat", "lon").drop_nulls()
    if known.height < FEWEST:
        return 0.0
    lat, lon = known["lat"].to_numpy(), known["lon"].to_numpy()
    taken = np.diff(known["time"].dt.epoch("us").to_numpy()) / 1e6
    length = steps(lat, lon).length
    far = length > FASTEST_STEP_M_PER_S * taken + LEAST_STEP_M
    across = _every_other(lat, lon)
    back = across < BACK_SHARE * np.minimum(length[1:], length[:-1])
    return float((far[1:] & far[:-1] & back).mean())


def _every_other(lat: Array, lon: Array) -> Array:
    """Return the distance from each fix to the next but one [m]."""
    out = np.empty(lat.size - 2)
    for first in (0, 1):
        out[first::2] = steps(lat[first::2], lon[first::2]).length[: out[first::2].size]
    return out


def refuse_mixed(track: pl.DataFrame, name: str, *, elsewhere: int = 0) -> None:
    """Raise when a file holds two boats mixed.

    Parameters
    ----------
    track : DataFrame
        Sorted by time.
    name : str
        What the file is called.
    elsewhere : int
        Fixes that the reader dropped because they gave another place at the same time.

    Raises
    ------
    InputError
        With the share of fixes, and what to do.
    """
    twice = elsewhere / max(track.height + elsewhere, 1)
    share = share_to_and_fro(track)
    if max(share, twice) < LEAST_SHARE:
        return
    how = (
        f"{100.0 * twice:.0f} % of the fixes give another place at the same time"
        if twice > share
        else f"{100.0 * share:.0f} % of the fixes jump away and back"
    )
    raise InputError(f"{name}: {how}: two boats in one file", next_step="give each boat's log by itself")
