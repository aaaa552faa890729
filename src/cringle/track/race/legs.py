"""The legs of a race, its start, roundings and finish, from the track and the wind."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cringle.track.distance import position_metres
from cringle.track.race.marks import Course, found_marks, near_marks
from cringle.track.race.races import (
    RECALL_CONFIDENCE,
    RaceTrack,
    came_back,
    gun_row,
    is_false_start,
    leg_spans,
    meeting,
    races_of,
)
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
    Stretch,
    Structure,
)
from cringle.track.reading.complete import Complete
from cringle.track.wind.series import WindSeries
from cringle.track.wind.states import SAILING, Span, State, spans_of, states_of
from cringle.units import degrees_to_radians

Array = NDArray[np.float64]


ABANDONED_SHARE: Final = 0.7
"""A last leg that makes less than this share of others of its kind ended before its mark."""


STOP_S: Final = 10
CLEAR_SD_DEG: Final = 15.0
"""The confidence of a leg falls with the wind's standard deviation over this [deg]."""

NAMES: Final = {State.UP: UP, State.RUN: RUN, State.REACH: REACH}


def find_legs(log: Complete, wind: WindSeries, course: Course | None = None) -> Structure:
    """Return what the races in a log were made of.

    Parameters
    ----------
    log : Complete
        On the even clock.
    wind : WindSeries
        True wind on the same clock.
    course : Course, optional
        Marks with their positions, when they are known.

    Returns
    -------
    Structure
        Without legs when none was sailed.
    """
    windward = windward_metres(log.series.lat, log.series.lon, wind.twd_deg)
    track = RaceTrack(log, wind, states_of(log, wind), windward)
    races = races_of(leg_spans(track))
    legs, recalls, abandoned = _labelled(track, races)
    roundings = near_marks(_roundings(track, legs), log, course)
    starts = tuple(_start(track, _of_race(legs, race)) for race in _numbers(legs))
    finishes = tuple(_finish(track, _of_race(legs, race)) for race in _numbers(legs) if race not in abandoned)
    taken = sum(one.seconds for one in legs)
    sure = sum(one.confidence * one.seconds for one in legs) / taken if taken else 0.0
    return Structure(
        legs=legs,
        roundings=roundings,
        starts=starts,
        finishes=finishes,
        recalls=recalls,
        abandoned=abandoned,
        stops=_stops(track, legs),
        excluded=_excluded(track, legs),
        marks=found_marks(roundings, course),
        confidence=sure,
    )


def windward_metres(lat: Array, lon: Array, twd_deg: Array) -> Array:
    """Return metres to windward of the first position, each step along the wind of its moment.

    Parameters
    ----------
    lat, lon, twd_deg : array, shape (n,)
        Positions and where the wind comes from [deg], one a second.
    """
    north, east = position_metres(lat, lon)
    toward = degrees_to_radians(twd_deg)
    steps = np.diff(north) * np.cos(toward[1:]) + np.diff(east) * np.sin(toward[1:])
    return np.concatenate(([0.0], np.cumsum(np.nan_to_num(steps))))


def _labelled(
    track: RaceTrack, races: list[list[Span]]
) -> tuple[tuple[Leg, ...], tuple[Event, ...], tuple[int, ...]]:
    """Return all legs, the starts that were recalled, and the races that ended before a mark."""
    usual = {
        state: _usual(
            [abs(track.made_good(one.first, one.end)) for race in races for one in race if one.state == state]
        )
        for state in (State.UP, State.RUN)
    }
    legs: list[Leg] = []
    recalls: list[Event] = []
    abandoned: list[int] = []
    number = 0
    for place, race in enumerate(races):
        if is_false_start(track, race, usual[State.UP]) and place + 1 < len(races):
            if came_back(track, race, races[place + 1]):
                row = gun_row(track, race[0])
                recalls.append(Event(row, track.log.series.at(row), number + 1, RECALL_CONFIDENCE))
            continue
        number += 1
        joined = meeting(track, race)
        last = joined[-1]
        if abs(track.made_good(last.first, last.end)) < ABANDONED_SHARE * usual[last.state]:
            abandoned.append(number)
        legs.extend(_leg(track, joined, at, number) for at in range(len(joined)))
    return tuple(legs), tuple(recalls), tuple(abandoned)


def _usual(metres: list[float]) -> float:
    """Return the upper quartile: short ones are recalls and abandoned legs."""
    return float(np.percentile(metres, 75)) if metres else 0.0


def _leg(track: RaceTrack, race: list[Span], place: int, number: int) -> Leg:
    span = race[place]
    after = race[place + 1].state if place + 1 < len(race) else None
    state = track.states.state[span.first : span.end]
    spread = track.wind.twd_sd_deg[span.first : span.end]
    doubt = float(np.nanmean(spread)) if np.isfinite(spread).any() else CLEAR_SD_DEG
    agree = float((state == span.state).mean())
    return Leg(
        kind=NAMES[span.state],
        first=span.first,
        end=span.end,
        start_at=track.log.series.at(span.first),
        end_at=track.log.series.at(span.end),
        race=number,
        mark=_mark(span.state, after),
        made_good_m=abs(track.made_good(span.first, span.end)),
        confidence=round(agree * float(np.exp(-((doubt / CLEAR_SD_DEG) ** 2))), 3),
    )


def _mark(state: State, after: State | None) -> str:
    if after is None:
        return "finish"
    if state == State.UP:
        return WINDWARD
    return OFFSET if state == State.REACH else LEEWARD


def _numbers(legs: Sequence[Leg]) -> list[int]:
    return sorted({one.race for one in legs})


def _of_race(legs: Sequence[Leg], race: int) -> list[Leg]:
    return [one for one in legs if one.race == race]


def _roundings(track: RaceTrack, legs: tuple[Leg, ...]) -> tuple[Rounding, ...]:
    """Return the turn between each two legs of a race."""
    series = track.log.series
    out = []
    for before, after in pairwise(legs):
        if before.race == after.race:
            row = min(after.first, series.rows - 1)
            out.append(
                Rounding(
                    mark=before.mark,
                    row=row,
                    at=series.at(row),
                    lat_deg=float(series.lat[row]),
                    lon_deg=float(series.lon[row]),
                    race=before.race,
                    confidence=min(before.confidence, after.confidence),
                )
            )
    return tuple(out)


def _start(track: RaceTrack, race: list[Leg]) -> Event:
    """Return the start: sure when the boat waited before it, less when she was under way already."""
    row = race[0].first
    before = track.states.state[max(row - 60, 0) : row]
    waited = float(np.isin(before, (State.SLOW, State.STILL)).mean()) if before.size else 0.0
    sure = round(race[0].confidence * (0.4 + 0.6 * waited), 3)
    return Event(row, track.log.series.at(row), race[0].race, sure)


def _finish(track: RaceTrack, race: list[Leg]) -> Event:
    """Return the finish: sure when the boat slows down after it."""
    row = race[-1].end
    after = track.states.state[row : row + 60]
    slowed = float(np.isin(after, (State.SLOW, State.STILL)).mean()) if after.size else 0.0
    sure = round(race[-1].confidence * (0.4 + 0.6 * slowed), 3)
    return Event(row, track.log.series.at(row), race[-1].race, sure)


def _stops(track: RaceTrack, legs: tuple[Leg, ...]) -> tuple[Stretch, ...]:
    """Return where the boat was slow or still for long in the middle of a leg."""
    inside = np.zeros(track.windward_m.size, dtype=bool)
    for one in legs:
        inside[one.first : one.end] = True
    state = np.where(inside, track.states.state, State.UNKNOWN).astype(np.int8)
    return tuple(
        Stretch(one.first, one.end, one.state.name.lower())
        for one in spans_of(state)
        if one.state in (State.SLOW, State.STILL) and one.seconds >= STOP_S
    )


def _excluded(track: RaceTrack, legs: tuple[Leg, ...]) -> tuple[Stretch, ...]:
    """Return everything outside the legs, with the reason."""
    out: list[Stretch] = []
    row = 0
    for one in (*legs, None):
        until = one.first if one else track.windward_m.size
        for span in spans_of(track.states.state[row:until]):
            why = "outside" if span.state in SAILING else span.state.name.lower()
            out.append(Stretch(row + span.first, row + span.end, why))
        row = one.end if one else until
    return tuple(out)


def on_a_leg(structure: Structure, rows: Array) -> NDArray[np.bool_]:
    """Return which rows lie on a leg."""
    inside = np.zeros(rows.size, dtype=bool)
    for one in structure.legs:
        inside |= (rows >= one.first) & (rows < one.end)
    return inside
