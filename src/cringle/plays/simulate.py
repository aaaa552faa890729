"""A play many times over: when it is done, what decides it, and how well two ends meet.

People do not know their own delays beforehand. Each action starts as soon as everything it waits for has
come; two ends that are meant to meet are aimed at by the plan (the quicker action starts later by the likely
difference), and meet only as well as the times allow.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from cringle.errors import InputError
from cringle.plays.durations import Array, inverse_table, look_up
from cringle.plays.forward import Flow, flow_of, propagate, tail_lengths
from cringle.plays.plan import Plan
from cringle.plays.play_file import ThreePoint

DEFAULT_SAMPLES = 20_000
WORTH_SAMPLES = 4_000
MOST_SAMPLES = 2_000_000
CHUNK = 20_000
CORRELATION = 0.3
"""Of the times of one person's actions within one run (judgement): a slow day is slow in everything."""

SEED = 20260617
SAME_S = 1e-6


@dataclass(frozen=True)
class RiskSettings:
    """How a play is sampled.

    Parameters
    ----------
    samples : int
        Runs.
    correlation : float
        Of one person's actions, 0 to 1.
    seed : int
        The same seed gives the same answer.
    """

    samples: int = DEFAULT_SAMPLES
    correlation: float = CORRELATION
    seed: int = SEED

    def __post_init__(self) -> None:
        if not 1 <= self.samples <= MOST_SAMPLES:
            raise InputError(f"samples: found {self.samples}, accepted 1 to {MOST_SAMPLES}")
        if not 0.0 <= self.correlation <= 1.0:
            raise InputError(f"correlation: found {self.correlation:g}, accepted 0 to 1")


@dataclass(frozen=True)
class Gap:
    """How far the head arrives after the tack [s]: mean and standard deviation; negative when before."""

    mean_s: float
    sd_s: float


@dataclass(frozen=True)
class Risk:
    """What many runs of a play say.

    Parameters
    ----------
    p_done : float
        Share of runs done by the cue that the play names.
    p50_s, p90_s, mean_s, sd_s : float
        Of the time until all is done [s].
    criticality : mapping
        Action to the share of runs in which it decided the end.
    second_saved_s : mapping
        Action to what one second saved in it is worth on average [s].
    gap : Gap or None
        Between the arrival of tack and head.
    samples : int
        Runs.
    """

    p_done: float
    p50_s: float
    p90_s: float
    mean_s: float
    sd_s: float
    criticality: Mapping[str, float] = field(default_factory=dict)
    second_saved_s: Mapping[str, float] = field(default_factory=dict)
    gap: Gap | None = None
    samples: int = 0


def simulate(
    plan: Plan, *, times: Mapping[str, ThreePoint] | None = None, settings: RiskSettings | None = None
) -> Risk:
    """Return what many runs of a play say.

    Parameters
    ----------
    plan : Plan
        One that can be done.
    times : mapping, optional
        Action to its three times [s]; as written where left out.
    settings : RiskSettings, optional
        Runs, correlation and seed.

    Raises
    ------
    InputError
        The play cannot be done as planned.
    """
    if plan.makespan_s is None:
        raise InputError(
            f"{plan.play.id} cannot be done as planned", next_step=f"run: cringle play check {plan.play.id}"
        )
    setup = settings or RiskSettings()
    flow = flow_of(plan)
    three = {**{one.id: one.duration_s for one in plan.play.actions}, **(times or {})}
    cues = {one.id: one.at_s for one in plan.play.cues if one.at_s is not None}
    draws = _Draws(plan, three, cues, setup)
    done, due, gaps = [], [], []
    critical = np.zeros(len(plan.play.actions))
    left = setup.samples
    while left > 0:
        count = min(CHUNK, left)
        left -= count
        lasting, given = draws.take(count)
        at = propagate(flow, lasting, given)
        finish = at[flow.finish]
        done.append(finish)
        due.append(at[flow.cue[plan.play.done_by]])
        critical += _critical_counts(flow, at, lasting, finish)
        if plan.play.ends is not None:
            gaps.append(at[flow.end[plan.play.ends.head]] - at[flow.end[plan.play.ends.tack]])
    ended, wanted = np.concatenate(done), np.concatenate(due)
    names = [one.id for one in plan.play.actions]
    return Risk(
        p_done=float(np.mean(ended <= wanted + SAME_S)),
        p50_s=float(np.quantile(ended, 0.5)),
        p90_s=float(np.quantile(ended, 0.9)),
        mean_s=float(np.mean(ended)),
        sd_s=float(np.std(ended)),
        criticality=dict(zip(names, (critical / setup.samples).tolist(), strict=True)),
        second_saved_s=_second_saved(flow, _Draws(plan, three, cues, setup), names, setup.samples),
        gap=_gap(gaps),
        samples=setup.samples,
    )


def _gap(parts: list[Array]) -> Gap | None:
    if not parts:
        return None
    whole = np.concatenate(parts)
    return Gap(float(np.mean(whole)), float(np.std(whole)))


class _Draws:
    """Draws durations, alike within one person, and the times of the cues the water gives."""

    def __init__(
        self,
        plan: Plan,
        three: Mapping[str, ThreePoint],
        cues: Mapping[str, ThreePoint],
        setup: RiskSettings,
    ) -> None:
        self._random = np.random.default_rng(setup.seed)
        people = list(dict.fromkeys(plan.deal.values()))
        self._who = [people.index(plan.deal[one.id]) for one in plan.play.actions]
        self._people = len(people)
        self._tables = [inverse_table(three[one.id]) for one in plan.play.actions]
        self._cues = {name: inverse_table(times) for name, times in cues.items()}
        self._own = float(np.sqrt(1.0 - setup.correlation))
        self._shared = float(np.sqrt(setup.correlation))

    def take(self, count: int) -> tuple[list[Array], dict[str, Array]]:
        """Return the duration of each action and the time of each given cue, each of shape (count,) [s].

        All cues of one run come early or late together, because the boat sails one speed.
        """
        persons = self._random.standard_normal((self._people, count))
        lasting = [
            look_up(table, self._own * self._random.standard_normal(count) + self._shared * persons[who])
            for table, who in zip(self._tables, self._who, strict=True)
        ]
        pace = self._random.standard_normal(count)
        return lasting, {name: look_up(table, pace) for name, table in self._cues.items()}


def _critical_counts(flow: Flow, at: Array, lasting: list[Array], finish: Array) -> Array:
    """Return in how many runs each action lay on the longest chain."""
    tails = tail_lengths(flow, at, lasting)
    decided = [
        np.count_nonzero(at[start] + lasting[index] + tails[end] >= finish - SAME_S)
        for index, (start, end) in enumerate(flow.spans)
    ]
    return np.array(decided, dtype=float)


def _second_saved(flow: Flow, draws: _Draws, names: list[str], samples: int) -> dict[str, float]:
    """Return how much sooner the play ends on average when one action takes a second less."""
    lasting, given = draws.take(min(samples, WORTH_SAMPLES))
    before = float(np.mean(propagate(flow, lasting, given)[flow.finish]))
    worth = {}
    for index, name in enumerate(names):
        shorter = list(lasting)
        shorter[index] = np.maximum(0.0, lasting[index] - 1.0)
        worth[name] = before - float(np.mean(propagate(flow, shorter, given)[flow.finish]))
    return worth
