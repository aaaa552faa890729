"""What the book knows besides the numbers, when tonight is answered; and what a person asks for."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

from cringle.errors import InputError, OutOfRangeError
from cringle.settings.table import DEFAULT_SEA, HIGHEST_WIND_KN, Table
from cringle.settings.tonight import Call


@dataclass(frozen=True)
class Records:
    """The current state of the book, as far as tonight needs it.

    Parameters
    ----------
    table : Table
        Numbers and row notes.
    locks : mapping
        Rigging screw to what is recorded of its lock, such as ``locked``.
    turns : mapping
        Rigging screw to the turns recorded for it.
    goal, trial : str or None
        One goal and one trial for the next outing.
    call : Call or None
        The crew's own call for the run.
    """

    table: Table
    locks: Mapping[str, str] = field(default_factory=dict, hash=False)
    turns: Mapping[str, float] = field(default_factory=dict, hash=False)
    goal: str | None = None
    trial: str | None = None
    call: Call | None = None


@dataclass(frozen=True)
class TonightRequest:
    """What a person asks for half an hour before the start.

    Parameters
    ----------
    wind_kn : float or None
        Mean wind as measured [kn]; the middle of the range when left out.
    low_kn, high_kn : float or None
        Range of the wind [kn].
    gust_kn : float or None
        Gust [kn].
    height_m : float or None
        Height where it was measured [m]; the table's own when left out.
    sea : str
        ``flat``, ``chop`` or ``waves``.
    sail_set : str or None
        Id of the class file; the first one for going upwind when left out.
    aboard : tuple of str
        Names of the people aboard, or ``name=kg`` for a guest; empty for everybody of the crew file.
    """

    wind_kn: float | None = None
    low_kn: float | None = None
    high_kn: float | None = None
    gust_kn: float | None = None
    height_m: float | None = None
    sea: str = DEFAULT_SEA
    sail_set: str | None = None
    aboard: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        for name in ("wind_kn", "low_kn", "high_kn", "gust_kn"):
            _check_wind(name.removesuffix("_kn"), getattr(self, name))
        if (self.low_kn is None) != (self.high_kn is None):
            raise InputError("a range has two ends", next_step="give both --low and --high, or neither")
        if self.low_kn is not None and self.high_kn is not None and self.low_kn > self.high_kn:
            raise InputError(
                f"range from {self.low_kn:g} to {self.high_kn:g} kn is upside down", next_step="swap its ends"
            )
        self._check_mean()

    def _check_mean(self) -> None:
        if self.wind_kn is None and self.low_kn is None:
            raise InputError("no wind given", next_step="add --wind 11, or --low 9 --high 13")
        low, high = self.low_kn, self.high_kn
        if low is not None and high is not None and not low <= self.mean_kn <= high:
            raise OutOfRangeError("wind", self.mean_kn, low, high, unit="kn")
        if self.gust_kn is not None and self.gust_kn < self.mean_kn:
            raise InputError(
                f"gust {self.gust_kn:g} kn is less than the mean wind {self.mean_kn:g} kn",
                next_step="a gust is the highest wind of a puff",
            )

    @property
    def mean_kn(self) -> float:
        """The wind to set the sheets for, as entered [kn]."""
        if self.wind_kn is not None:
            return self.wind_kn
        return ((self.low_kn or 0.0) + (self.high_kn or 0.0)) / 2.0


def _check_wind(name: str, wind_kn: float | None) -> None:
    if wind_kn is None:
        return
    if not math.isfinite(wind_kn) or not 0.0 <= wind_kn <= HIGHEST_WIND_KN:
        raise OutOfRangeError(
            name, wind_kn, 0.0, HIGHEST_WIND_KN, unit="kn", next_step="give the true wind in knots"
        )
