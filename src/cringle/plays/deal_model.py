"""The solver's model of dealing a play: who does what when, with two hands, on a deck of limited places."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import combinations
from typing import TYPE_CHECKING, Any

from cringle.plays.constraints import ORIGIN, Order
from cringle.plays.crew import Hand, starting_spot
from cringle.plays.deck import Node
from cringle.plays.network import Bound
from cringle.plays.plan import HANDS_OF_A_PERSON, Aboard, exclude_each_other
from cringle.plays.play_file import Action, PlayFile, Spot

if TYPE_CHECKING:
    from ortools.sat.python.cp_model import CpModel, IntVar

TICKS_PER_S = 10
"""The solver counts in tenths of a second."""

FAR_TICKS = 6000


@dataclass(frozen=True)
class Ways:
    """How long people walk, and past whom.

    Parameters
    ----------
    play : PlayFile
        Says where roles start.
    aboard : Aboard
        People and deck.
    careful : bool
        Whether nobody walks through or works in a full place where somebody else starts. Without it the
        model is looser than the deck, so that what is impossible in it is impossible.
    """

    play: PlayFile
    aboard: Aboard
    careful: bool = False
    _known: dict[tuple[str, Node, Node], float] = field(default_factory=dict)

    def full_for(self, hand: Hand) -> set[Node]:
        """Return the places that are full with other people at the call."""
        count: dict[Node, int] = {}
        for other in self.aboard.hands:
            spot = starting_spot(self.play, other)
            if other.id != hand.id and spot is not None:
                node = self.aboard.deck.node(spot)
                count[node] = count.get(node, 0) + 1
        return {node for node, people in count.items() if people >= self.aboard.deck.capacity(node)}

    def walk_s(self, hand: Hand, leaving: Spot | None, coming: Spot | None) -> float:
        """Return the time a person needs from one spot to another [s]."""
        deck = self.aboard.deck
        if not self.careful or leaving is None or coming is None:
            return deck.between_s(leaving, coming)
        start, goal = deck.node(leaving), deck.node(coming)
        key = (hand.id, start, goal)
        if key not in self._known:
            found = deck.route(start, goal, self.full_for(hand) - {start, goal})
            self._known[key] = float("inf") if found is None else found[1][-1]
        return self._known[key]

    def may_work(self, hand: Hand, action: Action) -> bool:
        """Return whether a person can work at the place of an action without sitting on somebody."""
        if not self.careful or action.at is None:
            return True
        return self.aboard.deck.node(action.at) not in self.full_for(hand)


@dataclass
class DealModel:
    """The model: a time for each point of the play, and a switch for each person and action."""

    model: CpModel
    times: list[IntVar]
    gives: dict[tuple[str, str], IntVar]
    order: Order
    ways: Ways


def able_hands(action: Action, hands: Sequence[Hand]) -> list[Hand]:
    """Return who can do an action; a person's own move belongs to who has the role tonight."""
    able = [one for one in hands if one.can(action)]
    owners = [one for one in able if one.role == action.role]
    return owners if action.own and owners else able


def build_model(order: Order, ways: Ways) -> DealModel:
    """Return the model of a play for some people."""
    from ortools.sat.python import cp_model

    play, aboard = ways.play, ways.aboard
    model = cp_model.CpModel()
    times = [model.new_int_var(0, FAR_TICKS * 2, f"t{point}") for point in range(order.points.count)]
    model.add(times[ORIGIN] == 0)
    gives = {
        (action.id, hand.id): model.new_bool_var(f"{action.id}:{hand.id}")
        for action in play.actions
        for hand in able_hands(action, aboard.hands)
        if ways.may_work(hand, action)
    }
    built = DealModel(model, times, gives, order, ways)
    for action in play.actions:
        model.add_exactly_one(gives[key] for key in gives if key[0] == action.id)
    for bound in order.bounds:
        _add_bound(built, bound)
    _add_people(built)
    _add_hands(built)
    _add_places(built)
    return built


def ticks(seconds: float) -> int:
    """Return a time in the solver's units."""
    return round(seconds * TICKS_PER_S)


def _add_bound(built: DealModel, bound: Bound) -> None:
    built.model.add(built.times[bound.later] - built.times[bound.earlier] <= ticks(bound.at_most))


def _add_people(built: DealModel) -> None:
    """Let nobody do two things at once, nor be in the next place before they can have walked there."""
    points, model, times = built.order.points, built.model, built.times
    play, aboard = built.ways.play, built.ways.aboard
    for hand in aboard.hands:
        for action in play.actions:
            walk = built.ways.walk_s(hand, starting_spot(play, hand), action.at)
            if walk > 0.0 and (action.id, hand.id) in built.gives:
                gives = built.gives[action.id, hand.id]
                model.add(times[points.start[action.id]] >= _capped(walk)).only_enforce_if(gives)
        mine = [one for one in play.actions if (one.id, hand.id) in built.gives]
        spans = [_span(built, one, hand) for one in mine if not one.background]
        model.add_no_overlap(spans)
    for one, other in combinations(play.actions, 2):
        both = [
            hand
            for hand in aboard.hands
            if (one.id, hand.id) in built.gives and (other.id, hand.id) in built.gives
        ]
        if both and exclude_each_other(one, other, aboard.deck):
            _put_in_order(built, (one, other), both)


def _span(built: DealModel, action: Action, hand: Hand) -> Any:
    model, times, points = built.model, built.times, built.order.points
    size = model.new_int_var(0, FAR_TICKS, f"d:{action.id}:{hand.id}")
    start, end = times[points.start[action.id]], times[points.end[action.id]]
    gives = built.gives[action.id, hand.id]
    return model.new_optional_interval_var(start, size, end, gives, f"i:{action.id}:{hand.id}")


def _capped(seconds: float) -> int:
    return FAR_TICKS * 3 if seconds == float("inf") else ticks(seconds)


def _put_in_order(built: DealModel, pair: tuple[Action, Action], both: Sequence[Hand]) -> None:
    """Where one person does both, one action comes first, with the walk between them."""
    one, other = pair
    model, points, times = built.model, built.order.points, built.times
    first = model.new_bool_var(f"{one.id}<{other.id}")
    for hand in both:
        gap = built.ways.walk_s(hand, one.leaves_at, other.at)
        back = built.ways.walk_s(hand, other.leaves_at, one.at)
        if not (one.background or other.background) and gap == 0.0 and back == 0.0:
            continue
        same = [built.gives[one.id, hand.id], built.gives[other.id, hand.id]]
        ahead = times[points.start[other.id]] - times[points.end[one.id]] >= _capped(gap)
        behind = times[points.start[one.id]] - times[points.end[other.id]] >= _capped(back)
        model.add(ahead).only_enforce_if([*same, first])
        model.add(behind).only_enforce_if([*same, first.negated()])


def _add_hands(built: DealModel) -> None:
    """Let nobody use more than two hands."""
    play, aboard = built.ways.play, built.ways.aboard
    for hand in aboard.hands:
        mine = [one for one in play.actions if (one.id, hand.id) in built.gives and one.hands > 0]
        if any(one.background for one in mine):
            spans = [_span(built, one, hand) for one in mine]
            built.model.add_cumulative(spans, [one.hands for one in mine], HANDS_OF_A_PERSON)


def _add_places(built: DealModel) -> None:
    """Let no place be worked in by more people than it holds."""
    model, times, points = built.model, built.times, built.order.points
    play, aboard = built.ways.play, built.ways.aboard
    by_place: dict[Any, list[Any]] = {}
    for action in play.actions:
        if action.at is None or action.background or action.to is not None:
            continue
        size = model.new_int_var(0, FAR_TICKS, f"p:{action.id}")
        start, end = times[points.start[action.id]], times[points.end[action.id]]
        span = model.new_interval_var(start, size, end, f"p:{action.id}")
        by_place.setdefault(aboard.deck.node(action.at), []).append(span)
    for node, spans in by_place.items():
        if len(spans) > aboard.deck.capacity(node):
            model.add_cumulative(spans, [1] * len(spans), aboard.deck.capacity(node))
