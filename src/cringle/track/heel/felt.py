"""Felt against measured: what somebody said the heel was, and what it was."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Final

import numpy as np

from cringle.errors import InputError, LogError
from cringle.track.reading.short_list import TIMES, instant_of, read_list
from cringle.track.sailing.sailing import Sailing

AROUND_S: Final = 5
"""What was felt is held against the mean heel of so long before and after [s]."""

FEWEST: Final = 3
"""Fewer readings than this give no bias."""

LARGEST_DEG: Final = 60.0
NINETY: Final = 1.645
"""Half width of the 90 % interval in standard errors, normal distribution."""


@dataclass(frozen=True)
class Felt:
    """What one person said the heel was: when (UTC), who, degrees to leeward."""

    at: datetime
    who: str
    heel_deg: float


@dataclass(frozen=True)
class FeltBias:
    """How far a person's feeling is off: readings, mean of felt less measured, its 90 % interval [deg]."""

    who: str
    count: int
    bias_deg: float
    bias_deg_low: float
    bias_deg_high: float


def read_felt(path: Path) -> list[Felt]:
    """Return the readings of a CSV with ``time`` (ISO 8601, UTC), ``who`` and ``heel_deg``.

    Raises
    ------
    LogError
        The file cannot be read; the message has the line and what is accepted.
    """
    return [_felt(row, path, line) for line, row in read_list(path, ("time", "who", "heel_deg"))]


def _felt(row: dict[str, str], path: Path, line: int) -> Felt:
    try:
        at, heel = instant_of(row["time"]), float(row["heel_deg"])
    except (TypeError, ValueError) as error:
        raise LogError(str(error), path=path, line=line, next_step=f"{TIMES}, heel in degrees") from error
    if not abs(heel) <= LARGEST_DEG:
        raise LogError(f"heel {heel:g}; accepted: up to {LARGEST_DEG:g} either way", path=path, line=line)
    return Felt(at, (row["who"] or "").strip() or "crew", heel)


def felt_biases(felt: Sequence[Felt], sailing: Sailing) -> tuple[FeltBias, ...]:
    """Return how far each person's feeling is off, those with the most readings first.

    Parameters
    ----------
    felt : sequence of Felt
        What was said.
    sailing : Sailing
        What was measured; readings outside the log, or where heel is not known, are left out.
    """
    errors: dict[str, list[float]] = {}
    for one in felt:
        row = round((one.at - sailing.start).total_seconds())
        part = sailing.heel_deg[max(row - AROUND_S, 0) : row + AROUND_S + 1] if row >= 0 else np.empty(0)
        if np.isfinite(part).any():
            errors.setdefault(one.who, []).append(one.heel_deg - float(np.nanmean(part)))
    found = [bias_of(who, one) for who, one in errors.items() if len(one) >= FEWEST]
    return tuple(sorted(found, key=lambda one: -one.count))


def bias_of(who: str, errors_deg: Sequence[float]) -> FeltBias:
    """Return how far a person's feeling is off, from felt less measured [deg].

    Raises
    ------
    InputError
        There are too few.
    """
    errors = np.asarray(errors_deg, dtype=np.float64)
    if errors.size < FEWEST:
        count = f"{errors.size} call{' says' if errors.size == 1 else 's say'}"
        raise InputError(f"{count} nothing", next_step=f"call at least {FEWEST} times")
    mean = float(errors.mean())
    half = NINETY * float(errors.std(ddof=1)) / float(np.sqrt(errors.size))
    return FeltBias(who, int(errors.size), mean, mean - half, mean + half)
