"""Dealing the actions of a play anew: the shortest play these people can do, then the fewest changes.

Every bound of the play holds, one person does one thing at a time with two hands and walks between places,
and no place that an action needs is taken by more people than it holds. A crowd among people who only stand
there is not part of the model; the check that follows reports it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import combinations
from typing import TYPE_CHECKING, Any

from cringle.plays.activities import WORKERS, Stop, solve
from cringle.plays.constraints import ORIGIN, Order, loop_sentence, order_of
from cringle.plays.crew import Hand, require_crew_size, starting_spot
from cringle.plays.network import Array, Bound, distances, holds, impossible_loop
from cringle.plays.plan import HANDS_OF_A_PERSON, Aboard, exclude_each_other
from cringle.plays.play_file import Action, PlayFile

if TYPE_CHECKING:
    from ortools.sat.python.cp_model import CpModel, IntVar

TICKS_PER_S = 10
"""The solver counts in tenths of a second."""

FAR_TICKS = 6000
LONGEST_THINK_S = 10.0


@dataclass(frozen=True)
class Dealt:
    """A play dealt to people.

    Parameters
    ----------
    deal : mapping
        Action to person; empty when none was found.
    start_s : mapping
        Action to its start [s], as the solver has it.
    makespan_s, bound_s : float or None
        Length of the play, and what no deal can be shorter than [s].
    status : str
        ``proven``, ``not proven`` or ``impossible``.
    changes : tuple of str
        Actions that somebody else does than usual.
    reason : str
        Why it is impossible, in one sentence.
    seconds : float
        Time it took.
    """

    deal: Mapping[str, str] = field(default_factory=dict)
    start_s: Mapping[str, float] = field(default_factory=dict)
    makespan_s: float | None = None
    bound_s: float | None = None
    status: str = "not proven"
    changes: tuple[str, ...] = ()
    reason: str = ""
    seconds: float = 0.0


@dataclass
class _Model:
    """The solver's model of a play."""

    model: CpModel
    times: list[IntVar]
    gives: dict[tuple[str, str], IntVar]


def deal_play(
    play: PlayFile,
    aboard: Aboard,
    *,
    usual: Mapping[str, str] | None = None,
    limit_s: float = LONGEST_THINK_S,
    stop: Stop | None = None,
) -> Dealt:
    """Return the shortest play these people can do, and among those the one with the fewest changes.

    Parameters
    ----------
    play : PlayFile
        Checked.
    aboard : Aboard
        Two to six people, and the deck.
    usual : mapping, optional
        Action to the person who usually does it; without it, the person whose role it is.
    limit_s : float
        Longest time to think, both steps together [s].
    stop : callable, optional
        True ends the search as the limit would.

    Returns
    -------
    Dealt
        ``impossible`` only with a proof; at the limit the best found, its bound, and ``not proven``.
    """
    from ortools.sat.python import cp_model

    require_crew_size(len(aboard.hands))
    nobody = [one for one in play.actions if not any(hand.can(one) for hand in aboard.hands)]
    if nobody:
        return Dealt(status="impossible", reason=_nobody(nobody))
    wanted = dict(usual) if usual is not None else usual_hands(play, aboard.hands)
    order = order_of(play)
    built = _build(play, aboard, order)
    finish = built.times[order.points.finish]
    built.model.minimize(finish)
    solver, status = solve(built.model, limit_s=limit_s, workers=WORKERS, stop=stop)
    if status == cp_model.INFEASIBLE:
        return Dealt(status="impossible", reason=_why_not(play, aboard, order), seconds=solver.wall_time)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        bound = solver.best_objective_bound / TICKS_PER_S
        return Dealt(bound_s=bound, reason="nothing found before the limit", seconds=solver.wall_time)
    first = _read(built, order, solver, wanted, status == cp_model.OPTIMAL)
    left_s = limit_s - solver.wall_time
    if status != cp_model.OPTIMAL or left_s <= 0.0:
        return first
    return _fewest_changes(built, order, (wanted, first), left_s, stop)


def _nobody(actions: Sequence[Action]) -> str:
    words = [
        f"{one.id} needs {' and '.join(part for part in (one.role, one.skill) if part)}" for one in actions
    ]
    return f"nobody aboard can: {'; '.join(words)}"


def _why_not(play: PlayFile, aboard: Aboard, order: Order) -> str:
    """Return the actions that must go on at once where they are more than the people, else a plain no."""
    matrix = distances(order.points.count, order.bounds)
    if not holds(matrix):
        return loop_sentence(impossible_loop(order.points.count, order.bounds))
    start, end = order.points.start, order.points.end
    group: list[Action] = []
    for seed in play.actions:
        together = [seed]
        for one in play.actions:
            if one is not seed and all(_meet(matrix, start, end, (one.id, two.id)) for two in together):
                together.append(one)
        busy = [one for one in together if not one.background]
        group = max(group, busy, key=len)
    count = len(aboard.hands)
    if len(group) > count:
        return f"{', '.join(one.id for one in group)} must go on at the same time: more than {count} people"
    return f"no order and no deal among {count} people keeps every bound of the play"


def _meet(matrix: Array, start: Mapping[str, int], end: Mapping[str, int], pair: tuple[str, str]) -> bool:
    """Return whether two actions must overlap: neither can end before the other starts."""
    one, other = pair
    return bool(matrix[end[one], start[other]] < 0.0 and matrix[end[other], start[one]] < 0.0)


def usual_hands(play: PlayFile, hands: Sequence[Hand]) -> dict[str, str]:
    """Return who does each action in their own role, left out where nobody has it."""
    found = {}
    for action in play.actions:
        own = [one for one in hands if one.can(action) and action.role in (None, one.role)]
        if own:
            found[action.id] = own[0].id
    return found


def _build(play: PlayFile, aboard: Aboard, order: Order) -> _Model:
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    times = [model.new_int_var(0, FAR_TICKS * 2, f"t{point}") for point in range(order.points.count)]
    model.add(times[ORIGIN] == 0)
    gives = {
        (action.id, hand.id): model.new_bool_var(f"{action.id}:{hand.id}")
        for action in play.actions
        for hand in aboard.hands
        if hand.can(action)
    }
    built = _Model(model, times, gives)
    for action in play.actions:
        model.add_exactly_one(gives[action.id, hand.id] for hand in aboard.hands if hand.can(action))
    for bound in order.bounds:
        _add_bound(built, bound)
    _add_people(built, play, aboard, order)
    _add_hands(built, play, aboard, order)
    _add_places(built, play, aboard, order)
    return built


def _ticks(seconds: float) -> int:
    return round(seconds * TICKS_PER_S)


def _add_bound(built: _Model, bound: Bound) -> None:
    built.model.add(built.times[bound.later] - built.times[bound.earlier] <= _ticks(bound.at_most))


def _add_people(built: _Model, play: PlayFile, aboard: Aboard, order: Order) -> None:
    """Let nobody do two things at once, nor be in the next place before they can have walked there."""
    points, model, times = order.points, built.model, built.times
    for hand in aboard.hands:
        for action in play.actions:
            walk = aboard.deck.between_s(starting_spot(play, hand), action.at)
            if walk > 0.0 and (action.id, hand.id) in built.gives:
                gives = built.gives[action.id, hand.id]
                model.add(times[points.start[action.id]] >= _capped(walk)).only_enforce_if(gives)
        mine = [one for one in play.actions if (one.id, hand.id) in built.gives]
        spans = [_span(built, order, one, hand) for one in mine if not one.background]
        model.add_no_overlap(spans)
    for one, other in combinations(play.actions, 2):
        both = [hand for hand in aboard.hands if hand.can(one) and hand.can(other)]
        if both and exclude_each_other(one, other, aboard.deck):
            _put_in_order(built, order, aboard, (one, other, both))


def _span(built: _Model, order: Order, action: Action, hand: Hand) -> Any:
    model, times, points = built.model, built.times, order.points
    size = model.new_int_var(0, FAR_TICKS, f"d:{action.id}:{hand.id}")
    start, end = times[points.start[action.id]], times[points.end[action.id]]
    gives = built.gives[action.id, hand.id]
    return model.new_optional_interval_var(start, size, end, gives, f"i:{action.id}:{hand.id}")


def _capped(seconds: float) -> int:
    return FAR_TICKS * 3 if seconds == float("inf") else _ticks(seconds)


def _put_in_order(
    built: _Model, order: Order, aboard: Aboard, pair: tuple[Action, Action, list[Hand]]
) -> None:
    """Where one person does both, one action comes first, with the walk between them."""
    one, other, both = pair
    model, points, times = built.model, order.points, built.times
    gap = aboard.deck.between_s(one.leaves_at, other.at)
    back = aboard.deck.between_s(other.leaves_at, one.at)
    if not (one.background or other.background) and gap == 0.0 and back == 0.0:
        return
    first = model.new_bool_var(f"{one.id}<{other.id}")
    for hand in both:
        same = [built.gives[one.id, hand.id], built.gives[other.id, hand.id]]
        ahead = times[points.start[other.id]] - times[points.end[one.id]] >= _capped(gap)
        behind = times[points.start[one.id]] - times[points.end[other.id]] >= _capped(back)
        model.add(ahead).only_enforce_if([*same, first])
        model.add(behind).only_enforce_if([*same, first.negated()])


def _add_hands(built: _Model, play: PlayFile, aboard: Aboard, order: Order) -> None:
    """Let nobody use more than two hands."""
    for hand in aboard.hands:
        mine = [one for one in play.actions if (one.id, hand.id) in built.gives and one.hands > 0]
        if any(one.background for one in mine):
            spans = [_span(built, order, one, hand) for one in mine]
            built.model.add_cumulative(spans, [one.hands for one in mine], HANDS_OF_A_PERSON)


def _add_places(built: _Model, play: PlayFile, aboard: Aboard, order: Order) -> None:
    """Let no place be worked in by more people than it holds."""
    model, times, points = built.model, built.times, order.points
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


def _changed(wanted: Mapping[str, str], deal: Mapping[str, str]) -> tuple[str, ...]:
    return tuple(name for name, who in deal.items() if wanted.get(name) != who)


def _read(built: _Model, order: Order, solver: Any, wanted: Mapping[str, str], proven: bool) -> Dealt:
    deal = {name: who for (name, who), gives in built.gives.items() if solver.value(gives)}
    starts = {
        name: solver.value(built.times[point]) / TICKS_PER_S for name, point in order.points.start.items()
    }
    return Dealt(
        deal,
        starts,
        solver.value(built.times[order.points.finish]) / TICKS_PER_S,
        solver.best_objective_bound / TICKS_PER_S,
        "proven" if proven else "not proven",
        _changed(wanted, deal),
        seconds=solver.wall_time,
    )


def _fewest_changes(
    built: _Model, order: Order, found: tuple[Mapping[str, str], Dealt], limit_s: float, stop: Stop | None
) -> Dealt:
    """Among the shortest plays, return the one in which most people do what they know."""
    from ortools.sat.python import cp_model

    wanted, first = found
    if not first.changes:
        return first
    finish = built.times[order.points.finish]
    built.model.add(finish <= _ticks(first.makespan_s or 0.0))
    changes = [gives for (name, who), gives in built.gives.items() if wanted.get(name) != who]
    built.model.minimize(sum(changes))
    for (name, who), gives in built.gives.items():
        built.model.add_hint(gives, first.deal.get(name) == who)
    solver, status = solve(built.model, limit_s=limit_s, workers=WORKERS, stop=stop)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return replace(first, status="not proven", seconds=first.seconds + solver.wall_time)
    second = _read(built, order, solver, wanted, status == cp_model.OPTIMAL)
    return replace(second, bound_s=first.bound_s, seconds=first.seconds + solver.wall_time)
