"""A plan laid out as lanes: one for each person, bars that do not cover each other, readable words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from cringle.plays.plan import Plan

LETTER_S = 0.15
"""Room for one letter of a bar's words on the time axis [s] at the usual scale."""

GAP_S = 0.25


@dataclass(frozen=True)
class Bar:
    """One action in its lane.

    Parameters
    ----------
    action, person : str
        Ids.
    row : int
        Counted from the top over all lanes.
    start_s, end_s, tail_s : float
        Start, end, and the latest end that does no harm [s].
    words : str
        What stands above the bar.
    critical, background : bool
        Whether it has no slack, and whether it only goes on beside others.
    """

    action: str
    person: str
    row: int
    start_s: float
    end_s: float
    tail_s: float
    words: str
    critical: bool
    background: bool


@dataclass(frozen=True)
class CueMark:
    """A cue over the lanes: when, what one sees or hears, and in which line of words it stands."""

    cue: str
    time_s: float
    words: str
    row: int


@dataclass(frozen=True)
class Lanes:
    """Everything of a timeline but its look.

    Parameters
    ----------
    bars, cues : tuple
        What to draw.
    rows : mapping
        Person to the first and the last row of their lane.
    until_s : float
        End of the time axis [s].
    """

    bars: tuple[Bar, ...]
    cues: tuple[CueMark, ...]
    rows: Mapping[str, tuple[int, int]]
    until_s: float


def lanes_of(plan: Plan, people: Sequence[str], *, letter_s: float = LETTER_S) -> Lanes:
    """Return a plan as lanes.

    Parameters
    ----------
    plan : Plan
        One that has times.
    people : sequence of str
        Ids in the order of the lanes.
    letter_s : float
        Room for one letter of words on the time axis [s].
    """
    bars: list[Bar] = []
    rows: dict[str, tuple[int, int]] = {}
    first = 0
    for person in people:
        own = _lane(plan, person, first, letter_s)
        last = max((one.row for one in own), default=first)
        bars += own
        rows[person] = (first, last)
        first = last + 1
    words_end = max((one.start_s + len(one.words) * letter_s for one in bars), default=0.0)
    end = max([plan.makespan_s or 0.0, *plan.cue_s.values(), words_end])
    return Lanes(tuple(bars), tuple(_cue_marks(plan, letter_s)), rows, end + GAP_S)


def _lane(plan: Plan, person: str, first: int, letter_s: float) -> list[Bar]:
    """Return the bars of one person, each in the first row in which bar and words have room."""
    mine = [one for one in plan.play.actions if plan.deal[one.id] == person]
    mine.sort(key=lambda one: (one.background, plan.start_s[one.id]))
    taken: list[list[tuple[float, float]]] = []
    bars = []
    for action in mine:
        start, end, slack = plan.start_s[action.id], plan.end_s[action.id], plan.slack_s[action.id]
        words = action.say or action.id.replace("_", " ")
        needs = (start, max(end, start + len(words) * letter_s) + GAP_S)
        row = _free_row(taken, needs)
        bars.append(
            Bar(
                action.id,
                person,
                first + row,
                start,
                end,
                end + (0.0 if action.hold else slack),
                words,
                action.id in plan.critical and not action.background,
                action.background,
            )
        )
    return bars


def _free_row(taken: list[list[tuple[float, float]]], needs: tuple[float, float]) -> int:
    for row, spans in enumerate(taken):
        if all(needs[1] <= start or needs[0] >= end for start, end in spans):
            spans.append(needs)
            return row
    taken.append([needs])
    return len(taken) - 1


def _cue_marks(plan: Plan, letter_s: float) -> list[CueMark]:
    taken: list[list[tuple[float, float]]] = []
    marks = []
    for cue in sorted(plan.play.cues, key=lambda one: plan.cue_s[one.id]):
        at = plan.cue_s[cue.id]
        row = _free_row(taken, (at, at + len(cue.words) * letter_s + GAP_S))
        marks.append(CueMark(cue.id, at, cue.words, row))
    return marks
