"""A number with its unit, its provenance and, where computed, its uncertainty."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum


class Source(StrEnum):
    """Where a number comes from. A guess never looks like anything else."""

    GUESS = "guess"
    ENTERED = "entered"
    MEASURED = "measured"
    COMPUTED = "computed"
    TRIAL = "trial"


PROVENANCE_LETTER = {
    Source.GUESS: "?",
    Source.ENTERED: "E",
    Source.MEASURED: "M",
    Source.COMPUTED: "C",
    Source.TRIAL: "T",
}
"""The letter in a ring beside a number on screens and cards."""


@dataclass(frozen=True)
class Number:
    """A value a person can trust as far as its source says.

    Parameters
    ----------
    value : float
        The number, in `unit`.
    unit : str
        Unit as written after the number: ``mark``, ``mm``, ``turn``, ``kn``, ``deg`` ...
    source : Source
        Guess, entered, measured, computed or trial.
    low, high : float or None
        Ends of the 90 % interval, when computed or from a trial.
    by : str or None
        Who, or which model version.
    at : datetime or None
        When, UTC.
    """

    value: float
    unit: str
    source: Source
    low: float | None = None
    high: float | None = None
    by: str | None = None
    at: datetime | None = None

    def __repr__(self) -> str:
        interval = "" if self.low is None or self.high is None else f" [{self.low:g}, {self.high:g}]"
        return f"Number({self.value:g} {self.unit}{interval}, {self.source})"
