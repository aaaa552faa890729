"""What a person corrects in the structure of a race and in the list of manoeuvres; the rest follows."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Final, TypeVar

from cringle.errors import InputError
from cringle.track.race.correction import Correction
from cringle.track.race.rebuild import CORRECTED, leg_between, rebuilt
from cringle.track.race.structure import (
    LEEWARD,
    OFFSET,
    REACH,
    RUN,
    UP,
    WINDWARD,
    Event,
    Leg,
    Rounding,
    Structure,
)
from cringle.track.reading.complete import Complete
from cringle.track.series import Series
from cringle.track.turns.tacks import Manoeuvre, manoeuvre_at

One = TypeVar("One")

NEAR_S: Final = 30.0
"""A correction means the detection nearest to its time, at most so far away [s]."""

BEFORE_MARK: Final = {WINDWARD: UP, OFFSET: REACH, LEEWARD: RUN}
AFTER_MARK: Final = {WINDWARD: RUN, OFFSET: RUN, LEEWARD: UP}
"""What is sailed to a mark, and from it."""


def corrected_manoeuvres(
    manoeuvres: Sequence[Manoeuvre], corrections: Sequence[Correction], log: Complete
) -> tuple[Manoeuvre, ...]:
    """Return the manoeuvres with a person's corrections in them, in order of time.

    Parameters
    ----------
    manoeuvres : sequence of Manoeuvre
        As they were found.
    corrections : sequence of Correction
        Those of the race are passed over.
    log : Complete
        The log with its wind: what an added manoeuvre is measured from.

    Raises
    ------
    InputError
        A correction fits no manoeuvre, or adds one where the log has no wind; the message gives its time.
    """
    left = list(manoeuvres)
    for one in (one for one in corrections if one.is_turn):
        if one.action != "add":
            same = [found for found in left if found.kind == one.what]
            left.remove(nearest(same, [found.at for found in same], one))
        if one.action != "remove":
            left.append(manoeuvre_at(log, one.to or one.at, kind=one.what))
    return tuple(sorted(left, key=lambda one: one.at))


def corrected(structure: Structure, corrections: Sequence[Correction], series: Series) -> Structure:
    """Return the structure with a person's corrections in it.

    Parameters
    ----------
    structure : Structure
        As it was found.
    corrections : sequence of Correction
        Those of tacks and gybes are for `corrected_manoeuvres` and are passed over.
    series : Series
        The log's even clock, with the wind in it.

    Raises
    ------
    InputError
        A correction fits no detection, or moves it across its neighbour.
    """
    for one in corrections:
        if not one.is_turn:
            structure = rebuilt(_STEPS[one.what, one.action](structure, one, series), series)
    return structure


@dataclass(frozen=True)
class Missed:
    """A correction that fits nothing (any more), and why."""

    correction: Correction
    why: str


def followed(
    structure: Structure, corrections: Sequence[Correction], series: Series
) -> tuple[Structure, tuple[Missed, ...]]:
    """Return the structure with all corrections that fit, and those that fit nothing (any more)."""
    missed = []
    for one in corrections:
        try:
            structure = corrected(structure, [one], series)
        except InputError as error:
            missed.append(Missed(one, error.message))
    return structure, tuple(missed)


def followed_manoeuvres(
    manoeuvres: Sequence[Manoeuvre], corrections: Sequence[Correction], log: Complete
) -> tuple[tuple[Manoeuvre, ...], tuple[Missed, ...]]:
    """Return the manoeuvres with all corrections that fit, and those that fit nothing (any more)."""
    found, missed = tuple(manoeuvres), []
    for one in corrections:
        try:
            found = corrected_manoeuvres(found, [one], log)
        except InputError as error:
            missed.append(Missed(one, error.message))
    return found, tuple(missed)


def nearest(found: Sequence[One], times: Sequence[datetime], correction: Correction) -> One:
    """Return the detection a correction means.

    Raises
    ------
    InputError
        There is none within `NEAR_S`.
    """
    near = [(abs(at - correction.at), place) for place, at in enumerate(times)]
    if not near or min(near)[0] > timedelta(seconds=NEAR_S):
        raise InputError(
            f"no {correction.what} within {NEAR_S:g} s of {correction.at.isoformat()}",
            next_step="take the time from the debrief's list",
        )
    return found[min(near)[1]]


def _row(at: datetime | None, series: Series) -> int:
    """Return the row of an instant.

    Raises
    ------
    InputError
        It lies outside the log.
    """
    row = -1 if at is None else round((at - series.start).total_seconds())
    if not 0 <= row < series.rows:
        raise InputError(
            f"{at} is outside the log",
            next_step=f"it goes from {series.start.isoformat()} to {series.at(series.rows - 1).isoformat()}",
        )
    return row


def _leg_at(structure: Structure, at: datetime) -> Leg:
    """Return the leg that holds an instant.

    Raises
    ------
    InputError
        There is none.
    """
    found = next((one for one in structure.legs if one.start_at <= at < one.end_at), None)
    if found is None:
        raise InputError(f"no leg at {at.isoformat()}", next_step="take the time from the debrief's list")
    return found


def _without_leg(structure: Structure, correction: Correction, series: Series) -> Structure:
    del series
    gone = _leg_at(structure, correction.at)
    return replace(structure, legs=tuple(one for one in structure.legs if one is not gone))


def _with_leg(structure: Structure, correction: Correction, series: Series) -> Structure:
    """Return the structure with a leg where there was none; it joins the races it touches."""
    first, end = _row(correction.at, series), _row(correction.to, series)
    before = min(structure.legs, key=lambda one: abs(one.end - first), default=None)
    after = min(structure.legs, key=lambda one: abs(one.first - end), default=None)
    before = before if before and abs(before.end - first) <= NEAR_S else None
    after = after if after and abs(after.first - end) <= NEAR_S else None
    new = 1 + max((one.race for one in structure.legs), default=0)
    number = before.race if before else (after.race if after else new)
    joined = {one.race for one in (before, after) if one}
    legs = [leg_between(series, first, end, kind=str(correction.kind), race=number)]
    for one in structure.legs:
        edges = (one.first if one is not after else end, one.end if one is not before else first)
        race = number if one.race in joined else one.race
        same = edges == (one.first, one.end)
        moved = one if same else leg_between(series, *edges, kind=one.kind, race=race, like=one)
        legs.append(replace(moved, race=race))
    abandoned = tuple(one for one in structure.abandoned if one not in joined)
    return replace(structure, legs=tuple(legs), abandoned=abandoned)


def _moved(structure: Structure, correction: Correction, series: Series) -> Structure:
    """Return the structure with a start, finish or rounding at another time, and the legs that meet there."""
    events: dict[str, Sequence[Event | Rounding]] = {
        "start": structure.starts,
        "finish": structure.finishes,
        "rounding": structure.roundings,
    }
    there = events[correction.what]
    meant = nearest(there, [one.at for one in there], correction)
    old, new = _edge_row(structure, meant), _row(correction.to, series)
    passed = [one for one in structure.legs if one.race == meant.race and _is_passed(one, old, new)]
    edges = {old, *(row for one in passed for row in (one.first, one.end))}
    left = (one for one in structure.legs if one not in passed)
    moved = (_with_edge(one, edges, new, series) if one.race == meant.race else one for one in left)
    return replace(structure, legs=tuple(moved))


def _is_passed(leg: Leg, old: int, new: int) -> bool:
    """Return whether an end that moves swallows a leg: a reach to an offset mark, of some seconds."""
    return leg.kind == REACH and min(old, new) <= leg.first and leg.end <= max(old, new)


def _edge_row(structure: Structure, event: Event | Rounding) -> int:
    """Return the end of a leg that an event stands for; a given mark may lie some seconds off it."""
    rows = [row for one in structure.legs if one.race == event.race for row in (one.first, one.end)]
    return min(rows, key=lambda row: abs(row - event.row))


def _with_edge(leg: Leg, old: set[int], new: int, series: Series) -> Leg:
    if not old.intersection((leg.first, leg.end)):
        return leg
    first, end = (new if one in old else one for one in (leg.first, leg.end))
    return leg_between(series, first, end, kind=leg.kind, race=leg.race, like=leg)


def _split(structure: Structure, correction: Correction, series: Series) -> Structure:
    """Return the structure with a rounding in the middle of a leg: what led to the mark, what led from it."""
    leg, row, mark = _leg_at(structure, correction.at), _row(correction.at, series), str(correction.kind)
    parts = (
        replace(leg_between(series, leg.first, row, kind=BEFORE_MARK[mark], race=leg.race), mark=mark),
        leg_between(series, row, leg.end, kind=AFTER_MARK[mark], race=leg.race),
    )
    return replace(structure, legs=(*(one for one in structure.legs if one is not leg), *parts))


def _joined(structure: Structure, correction: Correction, series: Series) -> Structure:
    """Return the structure without a rounding: both legs are one, of the longer one's kind."""
    meant = nearest(structure.roundings, [one.at for one in structure.roundings], correction)
    edge = _edge_row(structure, meant)
    both = [one for one in structure.legs if one.race == meant.race and edge in (one.first, one.end)]
    longer = max(both, key=lambda one: one.seconds)
    one = leg_between(series, both[0].first, both[-1].end, kind=longer.kind, race=longer.race)
    return replace(structure, legs=(*(leg for leg in structure.legs if leg not in both), one))


def _renamed(structure: Structure, correction: Correction, series: Series) -> Structure:
    del series
    meant = nearest(structure.roundings, [one.at for one in structure.roundings], correction)
    edge = _edge_row(structure, meant)
    legs = tuple(
        replace(one, mark=str(correction.kind)) if (one.race, one.end) == (meant.race, edge) else one
        for one in structure.legs
    )
    return replace(structure, legs=legs)


def _finished(structure: Structure, correction: Correction, series: Series) -> Structure:
    """Return the structure with a finish where a race was taken for given up."""
    row = _row(correction.at, series)
    last = _last_leg_before(structure, row)
    ended = leg_between(series, last.first, row, kind=last.kind, race=last.race, like=last)
    return replace(
        structure,
        legs=tuple(ended if one is last else one for one in structure.legs),
        abandoned=tuple(one for one in structure.abandoned if one != last.race),
    )


def _last_leg_before(structure: Structure, row: int) -> Leg:
    """Return the last leg of the race that was under way at a row, or ended last before it."""
    begun = [one for one in structure.legs if one.first < row]
    if not begun:
        raise InputError("a finish before any leg", next_step="give a time after the start")
    return max((one for one in structure.legs if one.race == begun[-1].race), key=lambda one: one.first)


def _not_finished(structure: Structure, correction: Correction, series: Series) -> Structure:
    del series
    meant = nearest(structure.finishes, [one.at for one in structure.finishes], correction)
    return replace(structure, abandoned=tuple(sorted({*structure.abandoned, meant.race})))


def _recalled(structure: Structure, correction: Correction, series: Series) -> Structure:
    """Return the structure with a start taken for recalled: its one leg is none, or began later."""
    meant = nearest(structure.starts, [one.at for one in structure.starts], correction)
    recalls = (*structure.recalls, Event(meant.row, meant.at, meant.race, CORRECTED))
    recalls = tuple(sorted(recalls, key=lambda one: one.row))
    if correction.to is not None:
        later = Correction("start", "move", meant.at, correction.to)
        return replace(_moved(structure, later, series), recalls=recalls)
    legs = [one for one in structure.legs if one.race == meant.race]
    if len(legs) > 1:
        raise InputError(
            f"the race started at {meant.at.isoformat()} goes on for {len(legs)} legs",
            next_step="say when the start was that counted",
        )
    left = tuple(one for one in structure.legs if one not in legs)
    return replace(structure, recalls=recalls, legs=left)


def _not_recalled(structure: Structure, correction: Correction, series: Series) -> Structure:
    del series
    meant = nearest(structure.recalls, [one.at for one in structure.recalls], correction)
    return replace(structure, recalls=tuple(one for one in structure.recalls if one is not meant))


_Step = Callable[[Structure, Correction, Series], Structure]

_STEPS: Final[dict[tuple[str, str], _Step]] = {
    ("start", "move"): _moved,
    ("finish", "move"): _moved,
    ("finish", "add"): _finished,
    ("finish", "remove"): _not_finished,
    ("rounding", "move"): _moved,
    ("rounding", "add"): _split,
    ("rounding", "remove"): _joined,
    ("rounding", "rename"): _renamed,
    ("leg", "add"): _with_leg,
    ("leg", "remove"): _without_leg,
    ("recall", "add"): _recalled,
    ("recall", "remove"): _not_recalled,
}
