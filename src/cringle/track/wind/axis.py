"""A first guess of the wind's direction from a track: the one that makes the courses look like sailing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cringle.track.circle import difference_deg
from cringle.track.frozen_polar import FrozenPolar
from cringle.track.wind.samples import Samples

Array = NDArray[np.float64]

CANDIDATE_STEP_DEG: Final = 3.0
BLOCK_S: Final = 600.0
"""One direction is tried for ten minutes at a time; neighbours may differ."""

TURN_PER_BLOCK_DEG: Final = 15.0
"""Standard deviation of the change from block to block [deg] (judgement)."""

UP_SPREAD_DEG: Final = 8.0
RUN_SPREAD_DEG: Final = 14.0
NO_GO_DEG: Final = 30.0
FLOOR: Final = 0.02
"""Density left for a course that fits nothing, over that of a perfect one: no sample counts for more."""

SPEED_SPREAD: Final = 0.22
"""Standard deviation of the logarithm of speed about the polar's [1] (judgement)."""

MOST_SAMPLES: Final = 4000
"""Of a log of days every so-many-th sample is enough."""

WINDS_TRIED: Final = 10

INDEPENDENT_S: Final = 60.0
"""Courses closer in time than this say the same thing once."""

THROUGH_SPREAD_DEG: Final = 12.0
ROUNDING_SHARE: Final = 0.15
GYBE_SHARE: Final = 0.5
"""Turns of 60 degrees or more: most are tacks with the wind in their middle, some gybes with it astern, few
are roundings of marks on one side of the wind (judgement)."""

LEAST_MARGIN: Final = 3.0
"""The best direction must beat any other by this much in the logarithm of its likelihood, about 20 to 1."""

LEAST_MARGIN_PER_MINUTE: Final = 0.4
"""And by so much for each minute of sailing: a log of reaches, or under engine, fits many a little.
Chosen between recorded logs of that kind (0.0 to 0.38) and simulated races (0.40 to 2.2)."""

MOST_UNSTEADY_DEG: Final = 12.0
FEWEST_CHANGES: Final = 9
"""From one ten minutes to the next no wind turns by more than this on the average [deg], judged from so many
changes on; a recorded log under engine has 13 to 14, simulated races up to 10."""

RIVAL_DEG: Final = 45.0


@dataclass(frozen=True)
class MiddleOfTurn:
    """One turn: row of the log's even clock, and the direction of the bow half way through it [deg]."""

    second: float
    middle_deg: float


@dataclass(frozen=True)
class Axis:
    """A first guess: direction at each sample [deg], and by how much it beats the best rival."""

    twd_deg: Array
    margin: float


def find_axis(samples: Samples, polar: FrozenPolar, turns: Sequence[MiddleOfTurn] = ()) -> Axis | None:
    """Return the direction from which the wind most likely came, block by block; None when it cannot be told.

    Parameters
    ----------
    samples : Samples
        Courses and speeds.
    polar : FrozenPolar
        Of the boat, or a sketch; only its shape counts.
    turns : sequence of MiddleOfTurn
        Turns of 60 degrees or more.

    Notes
    -----
    Boats on a course sail at four angles: close-hauled and running, on either side. For every direction the
    likelihood of the courses under that habit, times that of the speeds under the polar's shape and that of
    the turns (most have the wind in their middle), is summed over ten minutes; the most likely chain of
    directions is found by dynamic programming (Viterbi, IEEE Trans. Information Theory 13, 1967, p. 260).
    """
    use = np.flatnonzero(samples.sailing)
    if use.size < 12:
        return None
    candidates = np.arange(0.0, 360.0, CANDIDATE_STEP_DEG)
    minutes = use.size * samples.step_s / 60.0
    every = -(-use.size // MOST_SAMPLES)
    use = use[::every]
    weight = min(every * samples.step_s / INDEPENDENT_S, 1.0)
    score = weight * _scores(samples.course_deg[use], samples.speed_kn[use], candidates, polar)
    block = (samples.seconds[use] // BLOCK_S).astype(int)
    block -= block[0]
    evidence = np.zeros((block[-1] + 1, candidates.size))
    np.add.at(evidence, block, score)
    first = int(samples.seconds[use[0]] // BLOCK_S)
    for one in turns:
        row = min(max(int(one.second // BLOCK_S) - first, 0), evidence.shape[0] - 1)
        evidence[row] += _turn_score(one, candidates)
    chain = _best_chain(evidence, candidates)
    margin = _margin(evidence, candidates, chain)
    wanted = max(LEAST_MARGIN, LEAST_MARGIN_PER_MINUTE * minutes)
    if margin < wanted or _is_unsteady(evidence, candidates[chain]):
        return None
    block_of = ((samples.seconds // BLOCK_S).astype(int) - first).clip(0, evidence.shape[0] - 1)
    return Axis(candidates[chain[block_of]], margin)


def _turn_score(one: MiddleOfTurn, candidates: Array) -> Array:
    """Return the log-likelihood of a turn for each candidate."""
    ahead, astern = (
        np.exp(-0.5 * (difference_deg(one.middle_deg, candidates + turned) / THROUGH_SPREAD_DEG) ** 2)
        for turned in (0.0, 180.0)
    )
    return np.asarray(np.log(ahead + GYBE_SHARE * astern + ROUNDING_SHARE))


def _scores(course_deg: Array, speed_kn: Array, candidates: Array, polar: FrozenPolar) -> Array:
    """Return the log-likelihood of each sample for each candidate, shape (samples, candidates).

    How strong the wind was is not known: for each candidate the strength that suits all samples best counts.
    """
    rows = np.arange(course_deg.size)[:, None]
    angle = np.abs(difference_deg(candidates[None, :], course_deg[:, None]))
    place = np.minimum(np.rint(angle).astype(int), 180)
    winds = polar.wind_kn[:: max(polar.wind_kn.size // WINDS_TRIED, 1)]
    found = np.stack([np.log(_table(polar, float(one), speed_kn)[rows, place] + FLOOR) for one in winds])
    best = found.sum(axis=1).argmax(axis=0)
    return np.asarray(found[best, :, np.arange(candidates.size)].T)


def _table(polar: FrozenPolar, wind_kn: float, speed_kn: Array) -> Array:
    """Return how well each whole degree from 0 to 180 fits each sample's habit and speed."""
    angles = np.arange(0.0, 181.0)
    up, run = (float(polar.target(wind_kn, upwind=one).angle_deg) for one in (True, False))
    habit = np.exp(-0.5 * ((angles - up) / UP_SPREAD_DEG) ** 2)
    habit += 0.7 * np.exp(-0.5 * ((angles - run) / RUN_SPREAD_DEG) ** 2) + 0.08
    habit *= np.clip(angles / NO_GO_DEG, 0.0, 1.0) ** 4
    expected = np.maximum(polar.speed(wind_kn, angles, polar.best_heel(wind_kn, angles)), 0.2)
    off = np.log(np.maximum(speed_kn, 0.2))[:, None] - np.log(expected)[None, :]
    return np.asarray(habit * np.exp(-0.5 * (off / SPEED_SPREAD) ** 2))


def _best_chain(evidence: Array, candidates: Array) -> NDArray[np.intp]:
    """Return the most likely candidate in each block."""
    away = difference_deg(candidates[:, None], candidates[None, :])
    step = -0.5 * (away / TURN_PER_BLOCK_DEG) ** 2
    total, back = evidence[0], np.zeros(evidence.shape, dtype=np.intp)
    for row in range(1, evidence.shape[0]):
        reached = total[None, :] + step
        back[row] = reached.argmax(axis=1)
        total = np.take_along_axis(reached, back[row][:, None], 1)[:, 0] + evidence[row]
    chain = np.zeros(evidence.shape[0], dtype=np.intp)
    chain[-1] = total.argmax()
    for row in range(evidence.shape[0] - 1, 0, -1):
        chain[row - 1] = back[row][chain[row]]
    return chain


def _is_unsteady(evidence: Array, chain_deg: Array) -> bool:
    """Return whether the direction found turns about from block to block as no wind does."""
    sailed = np.asarray(np.abs(evidence).sum(axis=1) > 0.0)
    both = sailed[1:] & sailed[:-1]
    if both.sum() < FEWEST_CHANGES:
        return False
    change = np.abs(difference_deg(chain_deg[1:], chain_deg[:-1]))[both]
    return bool(np.mean(change) > MOST_UNSTEADY_DEG)


def _margin(evidence: Array, candidates: Array, chain: NDArray[np.intp]) -> float:
    """Return by how much the chain beats the same chain turned by the best angle of a rival."""
    steps = np.arange(candidates.size)
    rows = np.arange(chain.size)
    turned = np.array([evidence[rows, (chain + step) % candidates.size].sum() for step in steps])
    far = np.abs(difference_deg(candidates, 0.0)) >= RIVAL_DEG
    return float(turned[0] - turned[far].max())
