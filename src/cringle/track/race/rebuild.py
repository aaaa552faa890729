"""A race's structure made whole again after its legs were changed by hand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise
from typing import Final

import numpy as np

from cringle.errors import InputError
from cringle.track.race.legs import windward_metres
from cringle.track.race.marks import SEARCH_S, Course, found_marks
from cringle.track.race.structure import (
    LEEWARD,
    OFFSET,
    RUN,
    UP,
    WINDWARD,
    Event,
    Leg,
    Rounding,
    Stretch,
    Structure,
)
from cringle.track.series import Series

CORRECTED: Final = 1.0
"""Confidence in what a person said."""

SHORTEST_LEG_S: Final = 5
"""A leg of fewer seconds is a slip of the pen."""

MARK_AFTER: Final = {UP: WINDWARD, RUN: LEEWARD}


def leg_between(
    series: Series, first: int, end: int, *, kind: str, race: int, like: Leg | None = None
) -> Leg:
    """Return a leg from one row to another.

    Parameters
    ----------
    series : Series
        The log's even clock, with the wind in it.
    first, end : int
        First row, and the one after the last.
    kind : str
        ``up``, ``run`` or ``reach``.
    race : int
        Number of the race.
    like : Leg, optional
        The leg it comes from: its mark is kept.

    Raises
    ------
    InputError
        It would take no time.
    """
    if end - first < SHORTEST_LEG_S:
        raise InputError(
            f"that leaves a leg from {series.at(first).isoformat()} without time",
            next_step="give a time between its neighbours",
        )
    windward = windward_metres(series.lat, series.lon, series.twd)
    return Leg(
        kind=kind,
        first=first,
        end=end,
        start_at=series.at(first),
        end_at=series.at(end),
        race=race,
        mark=MARK_AFTER.get(kind, OFFSET) if like is None else like.mark,
        made_good_m=abs(float(windward[end - 1] - windward[first])),
        confidence=CORRECTED,
    )


def rebuilt(structure: Structure, series: Series) -> Structure:
    """Return the structure with roundings, starts, finishes, marks and the rest as its legs have them now.

    Parameters
    ----------
    structure : Structure
        Its legs, recalls and abandoned races count; what no leg leads to any more is left out.
    series : Series
        The log's even clock.

    Raises
    ------
    InputError
        Two legs overlap.
    """
    legs = sorted(structure.legs, key=lambda one: one.first)
    for before, after in pairwise(legs):
        if after.first < before.end:
            raise InputError(
                f"the leg from {after.start_at.isoformat()} would begin before the one before it ends",
                next_step="give a time between its neighbours",
            )
    legs, abandoned = _renumbered(_marked(legs), structure.abandoned)
    begins = list({one.race: one for one in reversed(legs)}.values())[::-1]
    ends = list({one.race: one for one in legs}.values())
    roundings = tuple(_rounding(structure, pair, series) for pair in pairwise(legs) if _meet(*pair))
    taken = sum(one.seconds for one in legs)
    given = {one.name: (one.lat_deg, one.lon_deg) for one in structure.marks if one.given}
    return replace(
        structure,
        legs=tuple(legs),
        roundings=roundings,
        starts=tuple(_event(structure.starts, (one.first, one.race), series) for one in begins),
        finishes=tuple(
            _event(structure.finishes, (one.end, one.race), series)
            for one in ends
            if one.race not in abandoned
        ),
        recalls=tuple(replace(one, race=_race_after(one, legs)) for one in structure.recalls),
        abandoned=abandoned,
        stops=tuple(one for one in structure.stops if _inside(one, legs)),
        excluded=_excluded(structure, legs, series.rows),
        marks=found_marks(roundings, Course(given) if given else None),
        confidence=sum(one.confidence * one.seconds for one in legs) / taken if taken else 0.0,
    )


def _meet(before: Leg, after: Leg) -> bool:
    return before.race == after.race and before.end == after.first


def _marked(legs: Sequence[Leg]) -> list[Leg]:
    """Return the legs with the finish at the end of each race only."""
    out = []
    for place, one in enumerate(legs):
        last = place + 1 == len(legs) or not _meet(one, legs[place + 1])
        mark = MARK_AFTER.get(one.kind, OFFSET) if one.mark == "finish" and not last else one.mark
        out.append(replace(one, mark="finish" if last else mark))
    return out


def _renumbered(legs: Sequence[Leg], abandoned: Sequence[int]) -> tuple[list[Leg], tuple[int, ...]]:
    """Return legs and abandoned races numbered from 1; legs that do not meet are of two races."""
    number, out, numbers = 0, [], {}
    for place, one in enumerate(legs):
        number += not (place and _meet(legs[place - 1], one))
        numbers[one.race] = number
        out.append(replace(one, race=number))
    return out, tuple(sorted(numbers[one] for one in abandoned if one in numbers))


def _event(known: Sequence[Event], where: tuple[int, int], series: Series) -> Event:
    """Return the event at a row: as it was found, or as it was said."""
    row, race = where
    found = next((one for one in known if one.row == row), None)
    return Event(row, series.at(row), race, CORRECTED) if found is None else replace(found, race=race)


def _race_after(recall: Event, legs: Sequence[Leg]) -> int:
    """Return the race that a recalled start belonged to: the one that began next."""
    return next((one.race for one in legs if one.first >= recall.row), recall.race)


def _rounding(structure: Structure, pair: tuple[Leg, Leg], series: Series) -> Rounding:
    before, after = pair
    reach = SEARCH_S if any(one.given for one in structure.marks) else 0
    near = [one for one in structure.roundings if abs(one.row - after.first) <= reach]
    found = min(near, key=lambda one: abs(one.row - after.first), default=None)
    if found is not None:
        said = CORRECTED if found.mark != before.mark else found.confidence
        return replace(found, race=before.race, mark=before.mark, confidence=said)
    row = min(after.first, series.rows - 1)
    place = (float(series.lat[row]), float(series.lon[row]))
    return Rounding(before.mark, row, series.at(row), *place, before.race, CORRECTED)


def _inside(one: Stretch, legs: Sequence[Leg]) -> bool:
    return any(leg.first <= one.first and one.end <= leg.end for leg in legs)


def _excluded(structure: Structure, legs: Sequence[Leg], rows: int) -> tuple[Stretch, ...]:
    """Return everything outside the legs, with the reason that was found; else sailing on no leg."""
    names = ["", "outside", *{one.why for one in structure.excluded} - {"outside"}]
    why = np.full(rows, names.index("outside"))
    for one in structure.excluded:
        why[one.first : one.end] = names.index(one.why)
    for leg in legs:
        why[leg.first : leg.end] = 0
    edges = [0, *(np.flatnonzero(np.diff(why)) + 1).tolist(), rows]
    return tuple(Stretch(a, b, names[why[a]]) for a, b in pairwise(edges) if b > a and why[a])
