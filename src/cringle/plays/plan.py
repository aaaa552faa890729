"""A play in time for given people: earliest and latest times, slack, the critical chain, or why it cannot be.

One person does one thing at a time with two hands, and needs time to get from one place to the next. Where
the play
leaves the order of two actions of one person open, the order is chosen that lets the play end sooner.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import combinations

import numpy as np

from cringle.plays.constraints import ORIGIN, Order, loop_ids, loop_sentence, order_of
from cringle.plays.crew import Deal, Hand, starting_spot
from cringle.plays.deck import Deck
from cringle.plays.network import (
    TOLERANCE_S,
    Array,
    Bound,
    added,
    at_least,
    can_add,
    distances,
    earliest,
    holds,
    impossible_loop,
)
from cringle.plays.play_file import Action, PlayFile

HANDS_OF_A_PERSON = 2
MOST_DEAD_ENDS = 2000
"""Orders that led nowhere before giving up; then the answer is "not proven", never "impossible"."""


@dataclass(frozen=True)
class Plan:
    """A play in time.

    Parameters
    ----------
    play : PlayFile
        What is played.
    order : Order
        Its points and bounds, the chosen order of each person's actions included.
    deal : mapping
        Action to person.
    start_s, end_s, latest_start_s, slack_s : mapping
        Action to seconds after the call; empty when the play cannot be.
    cue_s : mapping
        Cue to seconds.
    makespan_s : float or None
        When everything is done.
    critical : tuple of str
        Actions without slack, in the order of time.
    conflicts : tuple of str
        One sentence each.
    loop : tuple of str
        Actions of the bounds that cannot all hold.
    proven : bool
        False when the search for an order ended at its limit.
    """

    play: PlayFile
    order: Order
    deal: Deal
    start_s: Mapping[str, float] = field(default_factory=dict)
    end_s: Mapping[str, float] = field(default_factory=dict)
    latest_start_s: Mapping[str, float] = field(default_factory=dict)
    slack_s: Mapping[str, float] = field(default_factory=dict)
    cue_s: Mapping[str, float] = field(default_factory=dict)
    makespan_s: float | None = None
    critical: tuple[str, ...] = ()
    conflicts: tuple[str, ...] = ()
    loop: tuple[str, ...] = ()
    proven: bool = True

    @property
    def feasible(self) -> bool:
        """Whether the play can be done as it is written, by these people."""
        return not self.loop and not self.conflicts


@dataclass(frozen=True)
class Aboard:
    """The people and the deck of a plan."""

    hands: Sequence[Hand]
    deck: Deck

    def hand(self, identifier: str) -> Hand:
        """Return the person of that id."""
        return next(one for one in self.hands if one.id == identifier)


def plan_play(
    play: PlayFile,
    aboard: Aboard,
    deal: Deal,
    *,
    durations_s: Mapping[str, float] | None = None,
    like_s: Mapping[str, float] | None = None,
) -> Plan:
    """Return a play in time, or the named reason why it cannot be.

    Parameters
    ----------
    play : PlayFile
        Checked.
    aboard : Aboard
        People and deck.
    deal : mapping
        Action to person.
    durations_s : mapping, optional
        Duration of each action [s]; the likely ones when left out.
    like_s : mapping, optional
        Starts of the actions in a plan found elsewhere [s]; its order is tried first.
    """
    order = order_of(play, durations_s)
    bounds = (*order.bounds, *_coming_bounds(play, aboard, deal, order))
    order = replace(order, bounds=bounds)
    matrix = distances(order.points.count, bounds)
    if not holds(matrix):
        return _impossible(play, order, deal)
    search = _Search(play, aboard, deal, order, like_s or {})
    done = search.run(matrix)
    if done is None:
        return _stuck(play, order, deal, search)
    matrix, chosen = done
    order = replace(order, bounds=(*bounds, *chosen))
    return _timed(play, order, deal, matrix)


def _impossible(play: PlayFile, order: Order, deal: Deal) -> Plan:
    chain = impossible_loop(order.points.count, order.bounds)
    ids = loop_ids(chain, order.points.start)
    return Plan(play, order, deal, loop=tuple(ids), conflicts=(loop_sentence(chain),))


def _stuck(play: PlayFile, order: Order, deal: Deal, search: _Search) -> Plan:
    proven = not search.gave_up
    sentence = search.deepest or "no order was found"
    return Plan(
        play,
        order,
        deal,
        conflicts=(sentence if proven else f"{sentence} (not proven: the search ended at its limit)",),
        proven=proven,
    )


def _timed(play: PlayFile, order: Order, deal: Deal, matrix: Array) -> Plan:
    points = order.points
    times = earliest(matrix)
    makespan = float(times[points.finish])
    closed = added(matrix, Bound(ORIGIN, points.finish, makespan))
    last = closed[0]
    start = {name: float(times[point]) for name, point in points.start.items()}
    late = {name: float(last[point]) for name, point in points.start.items()}
    slack = {name: max(0.0, late[name] - start[name]) for name in start}
    chain = sorted((name for name in start if slack[name] <= TOLERANCE_S), key=lambda one: start[one])
    return Plan(
        play,
        order,
        deal,
        start_s=start,
        end_s={name: float(times[point]) for name, point in points.end.items()},
        latest_start_s=late,
        slack_s=slack,
        cue_s={name: float(times[point]) for name, point in points.cue.items()},
        makespan_s=makespan,
        critical=tuple(chain),
    )


def _coming_bounds(play: PlayFile, aboard: Aboard, deal: Deal, order: Order) -> Iterator[Bound]:
    """Yield that nobody is at the place of an action sooner than they can get there from their first."""
    for action in play.actions:
        hand = aboard.hand(deal[action.id])
        walk = aboard.deck.between_s(starting_spot(play, hand), action.at)
        if walk > 0.0:
            why = f"{hand.name} needs {walk:g} s to get to {action.id}"
            yield at_least(ORIGIN, order.points.start[action.id], min(walk, 1e6), why, (action.id,))


def exclude_each_other(one: Action, other: Action, deck: Deck) -> bool:
    """Return whether one person cannot do two actions at the same time."""
    if not (one.background or other.background) or one.hands + other.hands > HANDS_OF_A_PERSON:
        return True
    if one.at is None or other.at is None:
        return False
    places = {
        deck.node(spot) for action in (one, other) for spot in (action.at, action.to) if spot is not None
    }
    return len(places) > 1


@dataclass(frozen=True)
class _Pair:
    """Two actions of one person, and the times between them either way round [s]."""

    first: Action
    second: Action
    gap_s: float
    gap_back_s: float


class _Search:
    """Finds an order of each person's actions, the earliest first, going back where that leads nowhere."""

    def __init__(
        self, play: PlayFile, aboard: Aboard, deal: Deal, order: Order, like_s: Mapping[str, float]
    ) -> None:
        self._points = order.points
        self._like = {point: like_s[name] for name, point in order.points.start.items() if name in like_s}
        self._deal = deal
        self._aboard = aboard
        self._pairs = tuple(_pairs(play, aboard, deal))
        first = [self._points.start[one.first.id] for one in self._pairs]
        second = [self._points.start[one.second.id] for one in self._pairs]
        self._first, self._second = np.array(first, dtype=int), np.array(second, dtype=int)
        self._gap = np.array([one.gap_s for one in self._pairs])
        self._back = np.array([one.gap_back_s for one in self._pairs])
        self.gave_up = False
        self.deepest = ""
        self._dead_ends = 0
        self._depth = -1

    def run(self, matrix: Array) -> tuple[Array, list[Bound]] | None:
        """Return the network with every clash put in order and the bounds that did it, or None."""
        waiting: list[Iterator[tuple[Array, Bound]]] = []
        chosen: list[Bound] = []
        while (pair := self._first_clash(matrix)) is not None:
            waiting.append(self._nexts(matrix, pair, len(chosen)))
            found = next(waiting[-1], None)
            while found is None:
                waiting.pop()
                self._dead_ends += 1
                self.gave_up = self._dead_ends > MOST_DEAD_ENDS
                if not waiting or self.gave_up:
                    return None
                chosen.pop()
                found = next(waiting[-1], None)
            matrix = found[0]
            chosen.append(found[1])
        return matrix, chosen

    def _nexts(self, matrix: Array, pair: _Pair, depth: int) -> Iterator[tuple[Array, Bound]]:
        """Yield the network with each order of a pair that can hold, the better one first."""
        choices = [one for one in self._choices(pair) if can_add(matrix, one)]
        if not choices and depth > self._depth:
            self._depth, self.deepest = depth, self._sentence(pair)
        for one in sorted(
            choices, key=lambda bound: (self._against(bound), self._finish_with(matrix, bound))
        ):
            yield added(matrix, one), one

    def _finish_with(self, matrix: Array, bound: Bound) -> float:
        """Return the earliest finish with one more bound [s], without making the whole network."""
        finish = self._points.finish
        through = matrix[finish, bound.earlier] + bound.at_most + matrix[bound.later, ORIGIN]
        return -min(float(matrix[finish, ORIGIN]), float(through))

    def _against(self, bound: Bound) -> bool:
        """Return whether a choice goes against the order that was asked for."""
        before, after = self._like.get(bound.later - 1), self._like.get(bound.earlier)
        return before is not None and after is not None and before > after

    def _first_clash(self, matrix: Array) -> _Pair | None:
        """Return the first two actions of one person that overlap when everything is as early as can be."""
        if not self._pairs:
            return None
        times = earliest(matrix)
        start, end = times[self._first], times[self._first + 1]
        other_start, other_end = times[self._second], times[self._second + 1]
        clash = (end + self._gap > other_start + TOLERANCE_S) & (other_end + self._back > start + TOLERANCE_S)
        if not clash.any():
            return None
        when = np.where(clash, np.maximum(start, other_start), np.inf)
        return self._pairs[int(np.argmin(when))]

    def _choices(self, pair: _Pair) -> list[Bound]:
        who = self._aboard.hand(self._deal[pair.first.id]).name
        ways = ((pair.first, pair.second, pair.gap_s), (pair.second, pair.first, pair.gap_back_s))
        return [
            at_least(
                self._points.end[one.id],
                self._points.start[other.id],
                gap,
                f"{who} does {one.id} before {other.id}",
                (other.id, one.id),
            )
            for one, other, gap in ways
            if np.isfinite(gap)
        ]

    def _sentence(self, pair: _Pair) -> str:
        one, other = pair.first, pair.second
        who = self._aboard.hand(self._deal[one.id]).name
        if one.background or other.background:
            hands = one.hands + other.hands
            why = f"that takes {hands} hands" if hands > HANDS_OF_A_PERSON else "that is two places at once"
        else:
            walk = min(pair.gap_s, pair.gap_back_s)
            why = (
                f"and needs {walk:g} s to get from one to the other"
                if walk > 0.0
                else "one person, one action"
            )
        return f"{who} would have to do {one.id} and {other.id} at the same time: {why}"


def _pairs(play: PlayFile, aboard: Aboard, deal: Deal) -> Iterator[_Pair]:
    for one, other in combinations(play.actions, 2):
        if deal[one.id] == deal[other.id] and exclude_each_other(one, other, aboard.deck):
            yield _Pair(
                one,
                other,
                aboard.deck.between_s(one.leaves_at, other.at),
                aboard.deck.between_s(other.leaves_at, one.at),
            )
