"""What a person corrects in the structure of a race and in the list of manoeuvres; the rest follows."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Any, Final, TypeVar

from cringle.errors import InputError
from cringle.track.series import Series
from cringle.track.structure import Event, Leg, Rounding, Structure
from cringle.track.tacks import Manoeuvre

One = TypeVar("One")

WHATS: Final = ("tack", "gybe", "start", "finish", "rounding", "leg")
ACTIONS: Final = {
    "tack": ("remove",),
    "gybe": ("remove",),
    "start": ("move",),
    "finish": ("move",),
    "rounding": ("move",),
    "leg": ("remove",),
}
NEAR_S: Final = 30.0
"""A correction means the detection nearest to its time, at most so far away [s]."""

CORRECTED_CONFIDENCE: Final = 1.0


@dataclass(frozen=True)
class Correction:
    """One correction.

    Parameters
    ----------
    what : str
        ``tack``, ``gybe``, ``start``, ``finish``, ``rounding`` or ``leg``.
    action : str
        ``remove`` (tack, gybe, leg) or ``move`` (start, finish, rounding).
    at : datetime
        Time of the detection meant, UTC; for a leg any time in it.
    to : datetime or None
        Where it is moved to, UTC.

    Raises
    ------
    InputError
        There is no such correction.
    """

    what: str
    action: str
    at: datetime
    to: datetime | None = None

    def __post_init__(self) -> None:
        if self.what not in WHATS:
            raise InputError(f"correction of {self.what!r}", next_step=f"use one of: {', '.join(WHATS)}")
        if self.action not in ACTIONS[self.what]:
            accepted = ", ".join(ACTIONS[self.what])
            raise InputError(f"{self.action!r} of a {self.what}", next_step=f"use one of: {accepted}")
        if (self.action == "move") != (self.to is not None):
            raise InputError("a move needs the time it goes to, a removal none", next_step="check it")

    def to_json(self) -> dict[str, Any]:
        """Return it as plain values, for keeping."""
        to = None if self.to is None else self.to.isoformat()
        return {"what": self.what, "action": self.action, "at": self.at.isoformat(), "to": to}

    @classmethod
    def from_json(cls, kept: Mapping[str, Any]) -> Correction:
        """Return a correction as it was kept."""
        to = kept.get("to")
        return cls(
            str(kept["what"]),
            str(kept["action"]),
            datetime.fromisoformat(kept["at"]),
            None if to is None else datetime.fromisoformat(to),
        )


def corrected_manoeuvres(
    manoeuvres: Sequence[Manoeuvre], corrections: Sequence[Correction]
) -> tuple[Manoeuvre, ...]:
    """Return the manoeuvres without those that a person removed.

    Raises
    ------
    InputError
        A correction fits no manoeuvre; the message gives its time.
    """
    left = list(manoeuvres)
    for one in corrections:
        if one.what in {"tack", "gybe"}:
            same = [found for found in left if found.kind == one.what]
            left.remove(_nearest(same, [found.at for found in same], one))
    return tuple(left)


def corrected(structure: Structure, corrections: Sequence[Correction], series: Series) -> Structure:
    """Return the structure with a person's corrections in it.

    Parameters
    ----------
    structure : Structure
        As it was found.
    corrections : sequence of Correction
        Those of tacks and gybes are for `corrected_manoeuvres` and are passed over.
    series : Series
        The log's even clock.

    Raises
    ------
    InputError
        A correction fits no detection, or moves it across its neighbour.
    """
    for one in corrections:
        if one.what == "leg":
            structure = _without_leg(structure, one)
        elif one.what in {"start", "finish", "rounding"}:
            structure = _moved(structure, one, series)
    return structure


def _nearest(found: Sequence[One], times: Sequence[datetime], correction: Correction) -> One:
    near = [(abs(at - correction.at), place) for place, at in enumerate(times)]
    if not near or min(near)[0] > timedelta(seconds=NEAR_S):
        raise InputError(
            f"no {correction.what} within {NEAR_S:g} s of {correction.at.isoformat()}",
            next_step="take the time from the debrief's list",
        )
    return found[min(near)[1]]


def _without_leg(structure: Structure, correction: Correction) -> Structure:
    """Return the structure without a leg and without the roundings, start or finish at its ends."""
    meant = [one for one in structure.legs if one.start_at <= correction.at <= one.end_at]
    if not meant:
        raise InputError(
            f"no leg at {correction.at.isoformat()}", next_step="take the time from the debrief's list"
        )
    gone = meant[0]
    edges = (gone.first, gone.end)
    return _weighed(
        replace(
            structure,
            legs=tuple(one for one in structure.legs if one is not gone),
            roundings=tuple(one for one in structure.roundings if one.row not in edges),
            starts=tuple(one for one in structure.starts if one.row != gone.first),
            finishes=tuple(one for one in structure.finishes if one.row != gone.end),
        )
    )


def _moved(structure: Structure, correction: Correction, series: Series) -> Structure:
    """Return the structure with a start, finish or rounding at another time, and the legs that meet there."""
    events: Mapping[str, Sequence[Event | Rounding]] = {
        "start": structure.starts,
        "finish": structure.finishes,
        "rounding": structure.roundings,
    }
    there = events[correction.what]
    meant = _nearest(there, [one.at for one in there], correction)
    to = correction.to or correction.at
    row = round((to - series.start).total_seconds())
    legs = tuple(_with_edge(one, meant.row, row, series) for one in structure.legs)
    if not 0 <= row < series.rows or any(one.seconds <= 0 for one in legs):
        raise InputError(
            f"{correction.what} moved to {to.isoformat()}: that leaves a leg without time",
            next_step="give a time between its neighbours",
        )

    def placed(one: Event) -> Event:
        hit = one.row == meant.row
        return replace(one, row=row, at=series.at(row), confidence=CORRECTED_CONFIDENCE) if hit else one

    roundings = tuple(_turned(one, meant.row, row, series) for one in structure.roundings)
    return _weighed(
        replace(
            structure,
            legs=legs,
            roundings=roundings,
            starts=tuple(placed(one) for one in structure.starts),
            finishes=tuple(placed(one) for one in structure.finishes),
        )
    )


def _with_edge(leg: Leg, old: int, new: int, series: Series) -> Leg:
    if leg.first == old:
        leg = replace(leg, first=new, start_at=series.at(new))
    return replace(leg, end=new, end_at=series.at(new)) if leg.end == old else leg


def _turned(one: Rounding, old: int, new: int, series: Series) -> Rounding:
    if one.row != old:
        return one
    return replace(
        one,
        row=new,
        at=series.at(new),
        lat_deg=float(series.lat[new]),
        lon_deg=float(series.lon[new]),
        confidence=CORRECTED_CONFIDENCE,
    )


def _weighed(structure: Structure) -> Structure:
    """Return the structure with the confidence that its legs have now."""
    taken = sum(one.seconds for one in structure.legs)
    sure = sum(one.confidence * one.seconds for one in structure.legs)
    return replace(structure, confidence=sure / taken if taken else 0.0)
