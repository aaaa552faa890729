"""Which stretches of a log belong to which race, and where one leg ends and the next begins."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cringle.track.reading.complete import Complete
from cringle.track.wind.series import WindSeries
from cringle.track.wind.states import SAILING, Span, State, States, spans_of

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
FURTHEST_BACK: Final = 2.0
RECALL_CONFIDENCE: Final = 0.8
"""She started again from no more than half of what she had made to windward, and from no further back than
twice that; else it was no start but a trial run, or a tow."""

FINISH_SPEED_SHARE: Final = 0.75
LONGEST_SLOWING_S: Final = 40
"""A boat that has finished falls below this share of her speed on the leg, and is slow soon after."""

USUAL_ANGLE_DEG: Final = {State.UP: 45.0, State.REACH: 95.0, State.RUN: 150.0}
LEAVING: Final = 0.25
"""A leg ends where the boat has turned a quarter of the way to the next one's angle."""


@dataclass(frozen=True)
class RaceTrack:
    """What legs are cut from: the log, the wind, states, and metres along the wind."""

    log: Complete
    wind: WindSeries
    states: States
    windward_m: Array

    def made_good(self, first: int, end: int) -> float:
        """Return metres to windward from one row to another."""
        return float(self.windward_m[end - 1] - self.windward_m[first])


def leg_spans(track: RaceTrack) -> list[Span]:
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


def _is_leg(track: RaceTrack, span: Span) -> bool:
    if span.state not in (State.UP, State.RUN) or span.seconds < SHORTEST_LEG_S:
        return False
    sign = 1.0 if span.state == State.UP else -1.0
    return sign * track.made_good(span.first, span.end) >= SHORTEST_LEG_M


def _short_reach(span: Span) -> bool:
    return span.state == State.REACH and span.seconds <= LONGEST_REACH_S


def races_of(spans: Sequence[Span]) -> list[list[Span]]:
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
        if one.state == State.REACH and not offset:
            continue
        if kept and kept[-1].state == one.state:
            # no course has two beats, or two runs, on end: a bad patch lies between them
            kept[-1] = Span(one.state, kept[-1].first, one.end)
        else:
            kept.append(one)
    return kept


def is_false_start(track: RaceTrack, race: list[Span], usual_m: float) -> bool:
    """Return whether a race is one short beat, with at most the way back."""
    beats = sum(one.state == State.UP for one in race)
    return beats == 1 and abs(track.made_good(race[0].first, race[0].end)) < RECALL_SHARE * usual_m


def came_back(track: RaceTrack, race: list[Span], following: list[Span]) -> bool:
    """Return whether the boat started again from where she had started before."""
    made = track.windward_m[race[0].end - 1] - track.windward_m[race[0].first]
    between = track.windward_m[following[0].first] - track.windward_m[race[0].first]
    return bool(-FURTHEST_BACK * made < between < CAME_BACK_SHARE * made)


def meeting(track: RaceTrack, race: list[Span]) -> list[Span]:
    """Return the legs of a race end to end: each begins where the one before ends, at the turn between."""
    edges = [gun_row(track, race[0])]
    for before, after in pairwise(race):
        edges.append(_turning_row(track, before, after))
    edges.append(_crossing(track, race[-1]))
    return [
        Span(one.state, edges[place], max(edges[place + 1], edges[place] + 1))
        for place, one in enumerate(race)
    ]


def _crossing(track: RaceTrack, last: Span) -> int:
    """Return the row at which the boat finishes: where her speed falls for good, if it does."""
    if last.end >= track.windward_m.size:
        return last.end
    speed = np.nan_to_num(track.log.series.sog[last.first : last.end])
    fast = np.flatnonzero(speed >= FINISH_SPEED_SHARE * float(np.median(speed)))
    end = last.first + int(fast[-1]) + 1 if fast.size else last.end
    return end if last.end - end <= LONGEST_SLOWING_S else last.end


def _turning_row(track: RaceTrack, before: Span, after: Span) -> int:
    """Return the row at which the boat turns from one leg to the next."""
    low, high = max(before.end - 20, before.first), min(after.first + 20, after.end)
    angle = np.abs(track.states.angle_deg[low:high])
    start, goal = USUAL_ANGLE_DEG[before.state], USUAL_ANGLE_DEG[after.state]
    middle = start + LEAVING * (goal - start)
    past = (angle > middle) if goal > start else (angle < middle)
    # of all rows the one with most rows short of it on its left and most past it on its right
    score = np.concatenate(([0], np.cumsum(~past))) + np.concatenate((np.cumsum(past[::-1])[::-1], [0]))
    return low + int(score.argmax())


def gun_row(track: RaceTrack, beat: Span) -> int:
    """Return the row at which the boat gathers way for the beat: half way up to its usual speed."""
    series = track.log.series
    usual = float(np.nanmedian(series.sog[beat.first : beat.end]))
    low = max(beat.first - 30, 0)
    slow = np.flatnonzero(np.nan_to_num(series.sog[low : beat.first + 20]) < 0.5 * usual)
    return low + int(slow[-1]) - 2 if slow.size and low + int(slow[-1]) >= 2 else beat.first
