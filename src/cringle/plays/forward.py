"""A plan as a flow of events: each comes when the last of what it waits for has come.

Only what pushes an event later is kept. Of two ends that are meant to meet, the action that the plan starts
later follows the start of the other at the planned distance; a held action ends with what it waits for.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from cringle.errors import InputError
from cringle.plays.constraints import ORIGIN
from cringle.plays.durations import Array
from cringle.plays.network import TOLERANCE_S
from cringle.plays.plan import Plan


@dataclass(frozen=True)
class Push:
    """``time[later] >= time[earlier] + gap``; or the gap is the duration of the action of that index."""

    earlier: int
    later: int
    gap: float = 0.0
    action: int | None = None


@dataclass(frozen=True)
class Flow:
    """A plan in the order in which events come.

    Parameters
    ----------
    count, finish : int
        Number of events, and the one at which all is done.
    incoming : tuple
        For each event of `sequence`, what pushes it.
    sequence : tuple of int
        Events, each after everything that pushes it.
    given : mapping
        Event to the cue the water gives it.
    cue, end : mapping
        Cue and action to their events.
    spans : tuple of (int, int)
        For each action the events of its start and end.
    """

    count: int
    finish: int
    incoming: tuple[tuple[Push, ...], ...]
    sequence: tuple[int, ...]
    given: Mapping[int, str]
    cue: Mapping[str, int]
    end: Mapping[str, int]
    spans: tuple[tuple[int, int], ...]


def flow_of(plan: Plan) -> Flow:
    """Return the flow of a plan.

    Raises
    ------
    InputError
        Events wait for each other in a circle.
    """
    pushes = [*_own_pushes(plan), *_order_pushes(plan), *_cue_pushes(plan), *_chosen_pushes(plan)]
    points, play = plan.order.points, plan.play
    alias = _one_start(plan)
    pushes = [*_merged(pushes, alias), *(Push(first, other) for other, first in alias.items())]
    given = {points.cue[one.id]: one.id for one in play.cues if one.at_s is not None}
    into: list[list[Push]] = [[] for _ in range(points.count)]
    for push in pushes:
        if push.later not in given:
            into[push.later].append(push)
    sequence = _sequence(points.count, into)
    spans = tuple(
        (alias.get(points.start[one.id], points.start[one.id]), points.end[one.id]) for one in play.actions
    )
    incoming = tuple(tuple(into[event]) for event in sequence)
    return Flow(points.count, points.finish, incoming, sequence, given, points.cue, points.end, spans)


def _own_pushes(plan: Plan) -> list[Push]:
    points = plan.order.points
    found = []
    for index, action in enumerate(plan.play.actions):
        start, end = points.start[action.id], points.end[action.id]
        found += [
            Push(ORIGIN, start),
            Push(start, end, 0.0, index),
            Push(end, points.finish),
        ]
    return found


def _order_pushes(plan: Plan) -> list[Push]:
    points = plan.order.points
    found = []
    for action in plan.play.actions:
        start, end = points.start[action.id], points.end[action.id]
        found += [Push(points.end[other], start) for other in action.after]
        found += [Push(points.ended(other), end) for other in action.not_until]
        for other in action.ends_with:
            found += _meeting(plan, action.id, other)
    return found


def _one_start(plan: Plan) -> dict[int, int]:
    """Return the starts that are one event with another: of actions that start together, the first."""
    start = plan.order.points.start
    first = {point: point for point in start.values()}

    def root(point: int) -> int:
        while first[point] != point:
            point = first[point]
        return point

    for action in plan.play.actions:
        for other in action.starts_with:
            one, two = sorted((root(start[action.id]), root(start[other])))
            first[two] = one
    return {point: root(point) for point in first if root(point) != point}


def _merged(pushes: list[Push], alias: Mapping[int, int]) -> list[Push]:
    """Return the pushes with starts that are one event taken as one."""
    found = [
        replace(one, earlier=alias.get(one.earlier, one.earlier), later=alias.get(one.later, one.later))
        for one in pushes
    ]
    return [one for one in found if one.earlier != one.later]


def _meeting(plan: Plan, name: str, other: str) -> list[Push]:
    """Aim at one end: who starts later follows the other's start; a held action follows the other's end."""
    points, play = plan.order.points, plan.play
    pushes = []
    first, second = sorted((name, other), key=lambda one: plan.start_s[one])
    gap = plan.start_s[second] - plan.start_s[first]
    pushes.append(Push(points.start[first], points.start[second], gap))
    for held, awaited in ((name, other), (other, name)):
        if play.action(held).hold and not play.action(awaited).hold:
            pushes.append(Push(points.end[awaited], points.end[held]))
    return pushes


def _cue_pushes(plan: Plan) -> list[Push]:
    points = plan.order.points
    found = []
    for cue in plan.play.cues:
        if cue.on is not None:
            found.append(Push(points.event(cue.on), points.cue[cue.id]))
    for action in plan.play.actions:
        start = points.start[action.id]
        if action.not_before_cue is not None:
            found.append(Push(points.cue[action.not_before_cue], start))
        if action.ends_at_cue is not None:
            found.append(Push(points.cue[action.ends_at_cue], start, -plan.order.durations_s[action.id]))
    return found


def _chosen_pushes(plan: Plan) -> list[Push]:
    """Return the order of each person's actions, and the walks between them."""
    starts, ends = set(plan.order.points.start.values()), set(plan.order.points.end.values())
    found = []
    for bound in plan.order.bounds:
        if bound.at_most > TOLERANCE_S or bound.later not in ends | {ORIGIN}:
            continue
        if bound.earlier in starts and len(bound.items) > 0 and bound.earlier != bound.later - 1:
            found.append(Push(bound.later, bound.earlier, -bound.at_most))
    return found


def _sequence(count: int, into: list[list[Push]]) -> tuple[int, ...]:
    """Return the events so that each comes after everything that pushes it."""
    waiting = [len(pushes) for pushes in into]
    out: list[list[int]] = [[] for _ in range(count)]
    for pushes in into:
        for push in pushes:
            out[push.earlier].append(push.later)
    ready = [event for event in range(count) if waiting[event] == 0]
    found: list[int] = []
    while ready:
        event = ready.pop()
        found.append(event)
        for later in out[event]:
            waiting[later] -= 1
            if waiting[later] == 0:
                ready.append(later)
    if len(found) < count:
        raise InputError(
            "events of this play wait for each other in a circle", next_step="run: cringle play check"
        )
    return tuple(found)


def propagate(flow: Flow, lasting: list[Array], given: Mapping[str, Array]) -> Array:
    """Return when each event comes in each run, shape (events, runs) [s].

    Parameters
    ----------
    flow : Flow
        The plan.
    lasting : list of array, shape (runs,)
        Duration of each action [s].
    given : mapping
        Cue to its time in each run [s].
    """
    runs = lasting[0].size if lasting else 1
    at = np.zeros((flow.count, runs))
    for event, pushes in zip(flow.sequence, flow.incoming, strict=True):
        if event in flow.given:
            at[event] = given[flow.given[event]]
            continue
        row = at[event]
        for push in pushes:
            gap = push.gap if push.action is None else lasting[push.action]
            np.maximum(row, at[push.earlier] + gap, out=row)
    return at


def tail_lengths(flow: Flow, at: Array, lasting: list[Array]) -> Array:
    """Return the longest way from each event to the finish, shape (events, runs) [s]; -inf where none is."""
    tails = np.full_like(at, -np.inf)
    tails[flow.finish] = 0.0
    for event, pushes in zip(reversed(flow.sequence), reversed(flow.incoming), strict=True):
        for push in pushes:
            gap = push.gap if push.action is None else lasting[push.action]
            np.maximum(tails[push.earlier], tails[event] + gap, out=tails[push.earlier])
    return tails
