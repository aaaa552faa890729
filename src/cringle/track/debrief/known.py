"""A debrief beside manoeuvres that somebody noted by hand: what agrees, what is missing on either side."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Final

from cringle.errors import LogError
from cringle.track.debrief.debrief import Debrief
from cringle.track.reading.short_list import TIMES, instant_of, read_list
from cringle.track.turns.tacks import Manoeuvre
from cringle.units import wrap_degrees

TIME_TOLERANCE_S: Final = 10.0
"""A manoeuvre found within this of a noted one of the same kind is the same [s]."""


NUMBERS: Final = (
    "heading_before_mag_deg",
    "heading_after_mag_deg",
    "awa_before_deg",
    "awa_after_deg",
    "stw_before_kn",
    "stw_lowest_kn",
    "sog_before_kn",
    "sog_lowest_kn",
)
"""Columns besides ``time`` (ISO 8601, UTC) and ``kind``; any of them may be left out or empty."""


@dataclass(frozen=True)
class Noted:
    """One manoeuvre noted by hand: when (UTC), kind, and the numbers noted with it."""

    at: datetime
    kind: str
    numbers: dict[str, float]


@dataclass(frozen=True)
class Pair:
    """A noted manoeuvre beside the found one; either may be None."""

    noted: Noted | None
    found: Manoeuvre | None

    @property
    def late_s(self) -> float | None:
        """How much later than noted it was found [s]; None when one of them is missing."""
        if self.noted is None or self.found is None:
            return None
        return (self.found.at - self.noted.at).total_seconds()


def read_noted(path: Path) -> list[Noted]:
    """Return the manoeuvres of a CSV with ``time``, ``kind`` and any of `NUMBERS`.

    Raises
    ------
    LogError
        The file cannot be read; the message has the line, what stands there and what is accepted.
    """
    return [_noted(row, path, line) for line, row in read_list(path, ("time", "kind"))]


def _noted(row: dict[str, str], path: Path, line: int) -> Noted:
    try:
        at = instant_of(row["time"])
        numbers = {name: float(row[name]) for name in NUMBERS if row.get(name)}
    except (TypeError, ValueError) as error:
        raise LogError(str(error), path=path, line=line, next_step=TIMES) from error
    kind = (row["kind"] or "").strip()
    if kind not in {"tack", "gybe"}:
        raise LogError(f"kind {kind!r}; accepted: tack, gybe", path=path, line=line)
    return Noted(at, kind, numbers)


def beside(found: Debrief, noted: Sequence[Noted]) -> list[Pair]:
    """Return noted and found manoeuvres side by side, in order of time; each belongs to one pair only."""
    left = list(found.manoeuvres or ())
    pairs = []
    for one in sorted(noted, key=lambda note: note.at):
        match = _nearest(one, left)
        if match is not None:
            left.remove(match)
        pairs.append(Pair(one, match))
    return sorted([*pairs, *(Pair(None, one) for one in left)], key=_when)


def _nearest(note: Noted, left: Sequence[Manoeuvre]) -> Manoeuvre | None:
    near = [
        (abs((one.at - note.at).total_seconds()), place)
        for place, one in enumerate(left)
        if one.kind == note.kind and abs((one.at - note.at).total_seconds()) <= TIME_TOLERANCE_S
    ]
    return left[min(near)[1]] if near else None


def _when(pair: Pair) -> datetime:
    one = pair.noted or pair.found
    return one.at if one is not None else datetime.max.replace(tzinfo=UTC)


def magnetic_deg(true_deg: float | None, variation_deg: float | None) -> float | None:
    """Return a true heading as magnetic in [0, 360); east variation is positive. None when not known."""
    if true_deg is None or variation_deg is None:
        return None
    return float(wrap_degrees(true_deg - variation_deg))
