"""Dealing the actions of a play anew: the shortest play these people can do, then the fewest changes.

Every bound of the play holds, one person does one thing at a time with two hands and walks between places,
and no
place that an action needs is taken by more people than it holds. That model is a little looser than the
deck, so
that what is impossible in it is impossible. Where its answer lets two people meet in one place, it is solved
again
with the rule that nobody passes through or works in a full place where somebody else starts; the answer is
then the shortest under that rule. What is left is reported by the check that follows.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from cringle.plays.activities import WORKERS, Stop, solve
from cringle.plays.check import check_plan
from cringle.plays.constraints import Order, loop_sentence, order_of
from cringle.plays.crew import Hand, require_crew_size
from cringle.plays.deal_model import TICKS_PER_S, DealModel, Ways, able_hands, build_model, ticks
from cringle.plays.network import Array, distances, holds, impossible_loop
from cringle.plays.plan import Aboard
from cringle.plays.play_file import Action, PlayFile
from cringle.plays.shorten import without_idle_moves

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
        Why it is impossible, or what keeps it from being shorter.
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
    require_crew_size(len(aboard.hands))
    play = without_idle_moves(play, [one.role for one in aboard.hands])
    nobody = [one for one in play.actions if not able_hands(one, aboard.hands)]
    if nobody:
        return Dealt(status="impossible", reason=_nobody(nobody))
    asked = _Asked(dict(usual) if usual is not None else usual_hands(play, aboard.hands), stop)
    loose = _solved(play, aboard, asked, careful=False, limit_s=limit_s)
    left_s = limit_s - loose.seconds
    if not loose.deal or left_s <= 0.0 or not _conflicts(play, aboard, loose):
        return loose
    careful = _solved(play, aboard, asked, careful=True, limit_s=left_s)
    if not careful.deal or len(_conflicts(play, aboard, careful)) >= len(_conflicts(play, aboard, loose)):
        return loose
    sooner = ticks(loose.makespan_s or 0.0) < ticks(careful.makespan_s or 0.0)
    note = f"{loose.makespan_s:.1f} s if people could pass through each other's places" if sooner else ""
    return replace(careful, reason=note, seconds=loose.seconds + careful.seconds)


@dataclass(frozen=True)
class _Asked:
    """Who usually does what, and who may stop the search."""

    usual: Mapping[str, str]
    stop: Stop | None


def _conflicts(play: PlayFile, aboard: Aboard, dealt: Dealt) -> tuple[str, ...]:
    return check_plan(play, aboard, dealt.deal, like_s=dealt.start_s).plan.conflicts


def _solved(play: PlayFile, aboard: Aboard, asked: _Asked, *, careful: bool, limit_s: float) -> Dealt:
    """Return the shortest deal, then the one with the fewest changes, under loose or careful walking."""
    from ortools.sat.python import cp_model

    order = order_of(play)
    ways = Ways(play, aboard, careful)
    if any(
        not any(ways.may_work(hand, one) for hand in able_hands(one, aboard.hands)) for one in play.actions
    ):
        return Dealt(reason="no deal keeps everybody out of everybody's way")
    built = build_model(order, ways)
    built.model.minimize(built.times[order.points.finish])
    solver, status = solve(built.model, limit_s=limit_s, workers=WORKERS, stop=asked.stop)
    if status == cp_model.INFEASIBLE:
        return Dealt(status="impossible", reason=_why_not(play, aboard, order), seconds=solver.wall_time)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        bound = solver.best_objective_bound / TICKS_PER_S
        return Dealt(bound_s=bound, reason="nothing found before the limit", seconds=solver.wall_time)
    first = _read(built, solver, asked.usual, proven=status == cp_model.OPTIMAL)
    left_s = limit_s - solver.wall_time
    if status != cp_model.OPTIMAL or left_s <= 0.0:
        return first
    return _fewest_changes(built, first, asked, left_s)


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


def _changed(wanted: Mapping[str, str], deal: Mapping[str, str]) -> tuple[str, ...]:
    return tuple(name for name, who in deal.items() if wanted.get(name) != who)


def _read(built: DealModel, solver: Any, wanted: Mapping[str, str], *, proven: bool) -> Dealt:
    order = built.order
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


def _fewest_changes(built: DealModel, first: Dealt, asked: _Asked, limit_s: float) -> Dealt:
    """Among the shortest plays, return the one in which most people do what they know."""
    from ortools.sat.python import cp_model

    if not first.changes:
        return first
    wanted = asked.usual
    built.model.add(built.times[built.order.points.finish] <= ticks(first.makespan_s or 0.0))
    changes = [gives for (name, who), gives in built.gives.items() if wanted.get(name) != who]
    built.model.minimize(sum(changes))
    for (name, who), gives in built.gives.items():
        built.model.add_hint(gives, first.deal.get(name) == who)
    solver, status = solve(built.model, limit_s=limit_s, workers=WORKERS, stop=asked.stop)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return replace(first, status="not proven", seconds=first.seconds + solver.wall_time)
    second = _read(built, solver, wanted, proven=status == cp_model.OPTIMAL)
    return replace(second, bound_s=first.bound_s, seconds=first.seconds + solver.wall_time)
