"""The legs of a race, its start, roundings and finish, from the track and the wind."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cringle.track.complete import Complete
from cringle.track.distance import position_metres
from cringle.track.marks import Course, found_marks, near_marks
from cringle.track.structure import (
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
from cringle.track.structure_states import SAILING, Span, State, States, spans_of, states_of
from cringle.track.wind_series import WindSeries

Array = NDArray[np.float64]

SHORTEST_LEG_S: Final = 45
SHORTEST_LEG_M: Final = 60.0
LONGEST_REACH_S: Final = 120
"""A beat or run is at least so long; a reach from the windward to the offset mark is at most so long (our own
limits)."""

BRIDGE_S: Final = 30
"""A slow patch, or one on another point of sail, of up to this length does not end a leg [s]."""

WAIT_S: Final = 60
"""Slow or still for this long between two legs, one race has ended and another may begin [s]."""

RECALL_SHARE: Final = 0.45
"""A beat that makes less than this share of the usual one before sailing back was recalled."""

CAME_BACK_SHARE: Final = 0.5
RECALL_CONFIDENCE: Final = 0.8
"""She started again within half of what she had made to windward; else it was no start (a tow, a trial run)."""

ABANDONED_SHARE: Final = 0.7
"""A last leg that makes less than this share of others of its kind ended before its mark."""

FINISH_SPEED_SHARE: Final = 0.75
LONGEST_SLOWING_S: Final = 40
"""A boat that has finished falls below this share of her speed on the leg, and is slow soon after."""

STOP_S: Final = 10
CLEAR_SD_DEG: Final = 15.0
"""The confidence of a leg falls with the wind's standard deviation over this [deg]."""

NAMES: Final = {State.UP: UP, State.RUN: RUN, State.REACH: REACH}


@dataclass(frozen=True)
class _Track:
    """What legs are cut from: the log, the wind, states, and metres along the wind."""

    log: Complete
    wind: WindSeries
    states: States
    windward_m: Array

    def made_good(self, first: int, end: int) -> float:
        """Return metres to windward from one row to another."""
        return float(self.windward_m[end - 1] - self.windward_m[first])


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
    track = _Track(log, wind, states_of(log, wind), _windward(log, wind))
    races = _races(track, _leg_spans(track))
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


def _windward(log: Complete, wind: WindSeries) -> Array:
    """Return metres to windward of the first position, each step along the wind of its moment."""
    north, east = position_metres(log.series.lat, log.series.lon)
    toward = np.radians(wind.twd_deg)
    steps = np.diff(north) * np.cos(toward[1:]) + np.diff(east) * np.sin(toward[1:])
    return np.concatenate(([0.0], np.cumsum(np.nan_to_num(steps))))


def _leg_spans(track: _Track) -> list[Span]:
    """Return beats, runs and the short reaches between them, with interruptions bridged, in order."""
    whole: list[Span] = []
    for one in spans_of(track.states.state):
        if one.state == State.UNKNOWN and one.seconds <= BRIDGE_S:
            continue
        before = next((b for b in reversed(whole) if b.state in (State.UP, State.RUN)), None)
        if before and one.state == before.state and one.first - before.end <= BRIDGE_S:
            whole = [*whole[: whole.index(before)], Span(one.state, before.first, one.end)]
        else:
            whole.append(one)
    return [one for one in whole if _is_leg(track, one) or one.state not in SAILING or _short_reach(one)]


def _is_leg(track: _Track, span: Span) -> bool:
    if span.state not in (State.UP, State.RUN) or span.seconds < SHORTEST_LEG_S:
        return False
    sign = 1.0 if span.state == State.UP else -1.0
    return sign * track.made_good(span.first, span.end) >= SHORTEST_LEG_M


def _short_reach(span: Span) -> bool:
    return span.state == State.REACH and span.seconds <= LONGEST_REACH_S


def _races(track: _Track, spans: Sequence[Span]) -> list[list[Span]]:
    """Return the legs of each race: a long wait, or a change that no course has, parts two races."""
    races: list[list[Span]] = [[]]
    waited = 0
    for one in spans:
        if one.state not in SAILING:
            waited += one.seconds
            continue
        if one.state == State.REACH:
            if races[-1] and waited == 0 and one.first - races[-1][-1].end <= BRIDGE_S:
                races[-1].append(one)
            continue
        gap = one.first - races[-1][-1].end if races[-1] else 0
        if races[-1] and (waited >= WAIT_S or gap > LONGEST_REACH_S):
            races.append([])
        races[-1].append(one)
        waited = 0
    return [_trimmed(race) for race in races if _trimmed(race)]


def _trimmed(race: list[Span]) -> list[Span]:
    """Return a race from its first beat to its last beat or run, keeping reaches only after a beat."""
    begin = next((place for place, one in enumerate(race) if one.state == State.UP), None)
    if begin is None:
        return []
    kept: list[Span] = []
    for place, one in enumerate(race[begin:], start=begin):
        after = race[place + 1] if place + 1 < len(race) else None
        offset = bool(kept) and kept[-1].state == State.UP and after is not None and after.state == State.RUN
        if one.state != State.REACH or offset:
            kept.append(one)
    return kept


def _labelled(
    track: _Track, races: list[list[Span]]
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
        if _false_start(track, race, usual[State.UP]) and place + 1 < len(races):
            if _came_back(track, race, races[place + 1]):
                row = _gun(track, race[0])
                recalls.append(Event(row, track.log.series.at(row), number + 1, RECALL_CONFIDENCE))
            continue
        number += 1
        joined = _meeting(track, race)
        last = joined[-1]
        if abs(track.made_good(last.first, last.end)) < ABANDONED_SHARE * usual[last.state]:
            abandoned.append(number)
        legs.extend(_leg(track, joined, at, number) for at in range(len(joined)))
    return tuple(legs), tuple(recalls), tuple(abandoned)


def _false_start(track: _Track, race: list[Span], usual_m: float) -> bool:
    """Return whether a race is one short beat, with at most the way back."""
    beats = sum(one.state == State.UP for one in race)
    return beats == 1 and abs(track.made_good(race[0].first, race[0].end)) < RECALL_SHARE * usual_m


def _came_back(track: _Track, race: list[Span], following: list[Span]) -> bool:
    """Return whether the boat started again from where she had started before."""
    made = track.windward_m[race[0].end - 1] - track.windward_m[race[0].first]
    between = track.windward_m[following[0].first] - track.windward_m[race[0].first]
    return bool(abs(between) < CAME_BACK_SHARE * made)


def _usual(metres: list[float]) -> float:
    """Return the upper quartile: short ones are recalls and abandoned legs."""
    return float(np.percentile(metres, 75)) if metres else 0.0


def _meeting(track: _Track, race: list[Span]) -> list[Span]:
    """Return the legs of a race end to end: each begins where the one before ends, at the turn between them."""
    edges = [_gun(track, race[0])]
    for before, after in zip(race[:-1], race[1:], strict=True):
        edges.append(_turning_row(track, before, after))
    edges.append(_crossing(track, race[-1]))
    return [
        Span(one.state, edges[place], max(edges[place + 1], edges[place] + 1))
        for place, one in enumerate(race)
    ]


USUAL_ANGLE_DEG: Final = {State.UP: 45.0, State.REACH: 95.0, State.RUN: 150.0}
LEAVING: Final = 0.25
"""A leg ends where the boat has turned a quarter of the way to the next one's angle."""


def _turning_row(track: _Track, before: Span, after: Span) -> int:
    """Return the row at which the boat turns from one leg to the next."""
    low, high = max(before.end - 20, before.first), min(after.first + 20, after.end)
    angle = np.abs(track.states.angle_deg[low:high])
    start, goal = USUAL_ANGLE_DEG[before.state], USUAL_ANGLE_DEG[after.state]
    middle = start + LEAVING * (goal - start)
    past = (angle > middle) if goal > start else (angle < middle)
    # of all rows the one with most rows short of it on its left and most past it on its right
    score = np.concatenate(([0], np.cumsum(~past))) + np.concatenate((np.cumsum(past[::-1])[::-1], [0]))
    return low + int(score.argmax())


def _crossing(track: _Track, last: Span) -> int:
    """Return the row at which the boat finishes: where her speed falls for good, if it does."""
    if last.end >= track.windward_m.size:
        return last.end
    speed = np.nan_to_num(track.log.series.sog[last.first : last.end])
    fast = np.flatnonzero(speed >= FINISH_SPEED_SHARE * float(np.median(speed)))
    end = last.first + int(fast[-1]) + 1 if fast.size else last.end
    return end if last.end - end <= LONGEST_SLOWING_S else last.end


def _gun(track: _Track, beat: Span) -> int:
    """Return the row at which the boat gathers way for the beat: half way up to its usual speed."""
    series = track.log.series
    usual = float(np.nanmedian(series.sog[beat.first : beat.end]))
    low = max(beat.first - 30, 0)
    slow = np.flatnonzero(np.nan_to_num(series.sog[low : beat.first + 20]) < 0.5 * usual)
    return low + int(slow[-1]) - 2 if slow.size and low + int(slow[-1]) >= 2 else beat.first


def _leg(track: _Track, race: list[Span], place: int, number: int) -> Leg:
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


def _roundings(track: _Track, legs: tuple[Leg, ...]) -> tuple[Rounding, ...]:
    """Return the turn between each two legs of a race."""
    series = track.log.series
    out = []
    for before, after in zip(legs[:-1], legs[1:], strict=True):
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


def _start(track: _Track, race: list[Leg]) -> Event:
    """Return the start: sure when the boat waited before it, less when she was under way already."""
    row = race[0].first
    before = track.states.state[max(row - 60, 0) : row]
    waited = float(np.isin(before, (State.SLOW, State.STILL)).mean()) if before.size else 0.0
    sure = round(race[0].confidence * (0.4 + 0.6 * waited), 3)
    return Event(row, track.log.series.at(row), race[0].race, sure)


def _finish(track: _Track, race: list[Leg]) -> Event:
    """Return the finish: sure when the boat slows down after it."""
    row = race[-1].end
    after = track.states.state[row : row + 60]
    slowed = float(np.isin(after, (State.SLOW, State.STILL)).mean()) if after.size else 0.0
    sure = round(race[-1].confidence * (0.4 + 0.6 * slowed), 3)
    return Event(row, track.log.series.at(row), race[-1].race, sure)


def _stops(track: _Track, legs: tuple[Leg, ...]) -> tuple[Stretch, ...]:
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


def _excluded(track: _Track, legs: tuple[Leg, ...]) -> tuple[Stretch, ...]:
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
