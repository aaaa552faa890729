"""Manoeuvres ranked, held against the play's plan, with the fault whose trace they show."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from cringle.track.turns.loss import Loss

KINDS: Final = ("tack", "gybe")

STOPS_SHARE: Final = 0.4
SLOW_S: Final = 30.0
TOO_LOW_DEG: Final = 7.0
HEELS_MORE_DEG: Final = 8.0
SLOW_TURN_DEG_PER_S: Final = 6.0
FAST_TURN_DEG_PER_S: Final = 22.0
"""From these on a trace shows something: lowest speed over entry speed, recovery, angle after, heel after
less before, and the fastest turn of the course (our own limits)."""


@dataclass(frozen=True)
class UsualFault:
    """One fault of a play's own list: what one sees, why, and what cures it."""

    symptom: str
    cause: str
    cure: str


@dataclass(frozen=True)
class PlayPlan:
    """What a play says about one kind of manoeuvre.

    Parameters
    ----------
    kind : str
        ``tack`` or ``gybe``.
    play, title : str
        Its id and title.
    planned_s : float or None
        Planned seconds from the wind crossing to full speed.
    faults : tuple of UsualFault
        Its own list.
    """

    kind: str
    play: str
    title: str
    planned_s: float | None
    faults: tuple[UsualFault, ...]


@dataclass(frozen=True)
class Trait:
    """Something a trace can show: a sentence part, the words a fault's symptom has for it, and the test."""

    name: str
    words: tuple[str, ...]
    shows: Callable[[Loss], bool]


def _stops(one: Loss) -> bool:
    return bool(one.lowest_kn is not None and one.entry_kn and one.lowest_kn < STOPS_SHARE * one.entry_kn)


def _slow(one: Loss) -> bool:
    return one.lowest_kn is not None and (one.recovery_s is None or one.recovery_s > SLOW_S)


def _low(one: Loss) -> bool:
    return one.overshoot_deg is not None and one.overshoot_deg > TOO_LOW_DEG


def _heels(one: Loss) -> bool:
    before, after = one.heel_before_deg, one.heel_after_deg
    return before is not None and after is not None and after - before > HEELS_MORE_DEG


def _turns_slowly(one: Loss) -> bool:
    return one.turn_rate_deg_per_s is not None and one.turn_rate_deg_per_s < SLOW_TURN_DEG_PER_S


def _turns_fast(one: Loss) -> bool:
    return one.turn_rate_deg_per_s is not None and one.turn_rate_deg_per_s > FAST_TURN_DEG_PER_S


TRAITS: Final = (
    Trait("nearly stopped", ("stop", "head to wind", "stall"), _stops),
    Trait("heeled much more afterwards", ("heels", "broach", "rounds up"), _heels),
    Trait("came out too low", ("too low", "bears away", "falls off"), _low),
    Trait("took long to get back to speed", ("no speed", "no plane", "accelerat"), _slow),
    Trait("turned slowly", ("turns slowly", "slow turn"), _turns_slowly),
    Trait("turned very fast", ("brakes", "turns too fast"), _turns_fast),
)
"""In the order in which they are named: the first that shows is the one to mend."""


@dataclass(frozen=True)
class Judged:
    """One manoeuvre with its place in its kind (1 is best), what its trace shows, the fault that fits."""

    loss: Loss
    rank: int | None
    shows: tuple[str, ...]
    fault: UsualFault | None
    late_s: float | None


@dataclass(frozen=True)
class KindSummary:
    """All manoeuvres of one kind: count, metres lost in the best, the middle and the worst, and its play."""

    kind: str
    count: int
    best: Loss | None
    median_m: float | None
    mean_m: float | None
    worst: Loss | None
    play: PlayPlan | None


def judged(losses: Sequence[Loss], plans: Sequence[PlayPlan] = ()) -> tuple[Judged, ...]:
    """Return each manoeuvre ranked among its kind, in order of time.

    Parameters
    ----------
    losses : sequence of Loss
        In order of time.
    plans : sequence of PlayPlan
        The plays there are for tacks and gybes.
    """
    return tuple(_judged(one, losses, plans) for one in losses)


def _judged(one: Loss, losses: Sequence[Loss], plans: Sequence[PlayPlan]) -> Judged:
    plan = plan_for(one.kind, plans)
    traits = [trait for trait in TRAITS if trait.shows(one)]
    late = None
    if plan is not None and plan.planned_s is not None and one.recovery_s is not None:
        late = one.recovery_s - plan.planned_s
    return Judged(
        loss=one,
        rank=_rank(one, losses),
        shows=tuple(trait.name for trait in traits),
        fault=None if plan is None else _fault(traits, plan),
        late_s=late,
    )


def _rank(one: Loss, losses: Sequence[Loss]) -> int | None:
    if one.metres_lost is None:
        return None
    same = [other.metres_lost for other in losses if other.kind == one.kind and other.metres_lost is not None]
    return 1 + sum(metres < one.metres_lost for metres in same)


def _fault(traits: Sequence[Trait], plan: PlayPlan) -> UsualFault | None:
    """Return the first fault of the play whose symptom names the first trait that it names at all."""
    for trait in traits:
        for fault in plan.faults:
            if any(word in fault.symptom.lower() for word in trait.words):
                return fault
    return None


def plan_for(kind: str, plans: Sequence[PlayPlan]) -> PlayPlan | None:
    """Return the first play for a kind of manoeuvre."""
    return next((one for one in plans if one.kind == kind), None)


def summarised(losses: Sequence[Loss], kind: str, plans: Sequence[PlayPlan] = ()) -> KindSummary:
    """Return the best, the middle and the worst of one kind."""
    same = [one for one in losses if one.kind == kind]
    known = sorted((one for one in same if one.metres_lost is not None), key=_metres)
    metres = [_metres(one) for one in known]
    return KindSummary(
        kind=kind,
        count=len(same),
        best=known[0] if known else None,
        median_m=float(np.median(metres)) if metres else None,
        mean_m=float(np.mean(metres)) if metres else None,
        worst=known[-1] if known else None,
        play=plan_for(kind, plans),
    )


def _metres(one: Loss) -> float:
    return float("nan") if one.metres_lost is None else one.metres_lost
