"""A season of trials against a hidden truth: is it found, and is a sure word true.

Run ``python -m bench.trials_season --runs 40 --out bench/trials_season.svg`` for the whole grid.
"""

from __future__ import annotations

import argparse
import json
import math
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path

import numpy as np

from cringle.trials.optimum import Cell, find_optimum, next_move
from cringle.trials.power import Noise
from cringle.trials.response import Response, Seen, respond
from cringle.trials.suggest import Candidate, suggest

WINDS_KN, CHANCES = (6.0, 11.0, 16.0), (0.25, 0.5, 0.25)
ROLES = ("one", "two", "three")
OUTINGS, TRIALS_A_DAY, MINUTES = 20, 2, 20.0
NOISES, PENALTIES = (1.5, 4.0, 8.0), (0.5, 1.0, 2.0)
FREEDOM = 12
SUGGESTED, RANDOM, RANDOM_WIDE = "suggested", "random", "random, either side"
POLICIES = (SUGGESTED, RANDOM, RANDOM_WIDE)


@dataclass
class Season:
    """One season: the hidden truth, the table as it moves, and what was seen."""

    optimum: dict[tuple[str, float], float]
    penalty: float
    noise: float
    table: dict[tuple[str, float], float] = field(default_factory=dict)
    seen: dict[str, list[Seen]] = field(default_factory=lambda: {role: [] for role in ROLES})
    moves: int = 0

    def value(self, role: str, wind_kn: float, steps: float) -> float:
        """Return the speed of a number, 0 at the optimum [m/min]."""
        return -self.penalty * (steps - self.optimum[role, wind_kn]) ** 2

    def loss(self) -> float:
        """Return the loss left, over the winds as they come [m/min]."""
        left = [
            chance * -self.value(role, wind_kn, self.table[role, wind_kn])
            for role in ROLES
            for wind_kn, chance in zip(WINDS_KN, CHANCES, strict=True)
        ]
        return sum(left)


def hidden(rng: np.random.Generator, noise: float, penalty: float) -> Season:
    """Return a season whose optimum lies 1 to 2 steps either side of the table, on its own in every cell."""
    cells = [(role, wind_kn) for role in ROLES for wind_kn in WINDS_KN]
    optimum = {cell: float(rng.choice([-1.0, 1.0]) * rng.uniform(1.0, 2.0)) for cell in cells}
    return Season(optimum, penalty, noise, dict.fromkeys(cells, 0.0))


@dataclass(frozen=True)
class Choice:
    """What is tried: role and the two numbers, steps from the anchor."""

    role: str
    tried: float
    against: float


def sail(season: Season, rng: np.random.Generator, choice: Choice, wind_kn: float, day: int) -> None:
    """Sail one trial of 10 + 10 minutes, swapped over, and keep what it shows."""
    role, tried, reference = choice.role, choice.tried, choice.against
    variance = Noise(season.noise, rng.uniform(20.0, 60.0)).mean_variance(MINUTES)
    gain = season.value(role, wind_kn, tried) - season.value(role, wind_kn, reference)
    gain += math.sqrt(variance) * rng.standard_normal()
    error = math.sqrt(variance * rng.chisquare(FREEDOM) / FREEDOM)
    season.seen[role].append(Seen(wind_kn, tried, reference, gain, error, f"day {day}"))


def move_table(season: Season, role: str, response: Response) -> None:
    """Move every cell of a role for which the evidence is there."""
    for wind_kn in WINDS_KN:
        for _ in range(3):
            found = next_move(response, Cell(wind_kn, season.table[role, wind_kn]))
            if found is None:
                break
            season.table[role, wind_kn] = found.to
            season.moves += 1


def choose(
    season: Season, rng: np.random.Generator, responses: dict[str, Response], wind_kn: float, policy: str
) -> Choice:
    """Return what to try: as suggested, one step against the table at random, or either side of it."""
    if policy != SUGGESTED:
        role = str(rng.choice(ROLES))
        table, side = season.table[role, wind_kn], float(rng.choice([-1.0, 1.0]))
        return Choice(role, table + side, table if policy == RANDOM else table - side)
    candidates = [
        Candidate(
            role,
            responses[role],
            Cell(wind_kn, season.table[role, wind_kn]),
            tuple((Cell(one, season.table[role, one]), c) for one, c in zip(WINDS_KN, CHANCES, strict=True)),
        )
        for role in ROLES
    ]
    error = math.sqrt(Noise(season.noise).mean_variance(MINUTES))
    first = suggest(candidates, trial_error=error, most=1)[0]
    return Choice(first.role, first.to, first.against)


def run(seed: int, noise: float, penalty: float, policy: str) -> dict[str, float]:
    """Return what one season came to."""
    rng = np.random.default_rng(seed)
    season = hidden(rng, noise, penalty)
    before = season.loss()
    responses = {role: respond([]) for role in ROLES}
    for day in range(OUTINGS):
        wind_kn = float(rng.choice(WINDS_KN, p=CHANCES))
        for _ in range(TRIALS_A_DAY):
            choice = choose(season, rng, responses, wind_kn, policy)
            sail(season, rng, choice, wind_kn, day)
            responses[choice.role] = respond(season.seen[choice.role])
            move_table(season, choice.role, responses[choice.role])
    return {**_judged(season, responses), "left": season.loss(), "before": before, "moves": season.moves}


def _judged(season: Season, responses: dict[str, Response]) -> dict[str, float]:
    within = settled = wrong = unknown = 0
    for (role, wind_kn), table in season.table.items():
        near = abs(season.optimum[role, wind_kn] - table) <= 0.5
        found = find_optimum(responses[role], Cell(wind_kn, table))
        within += near
        settled += found.state == "settled"
        wrong += found.state == "settled" and not near
        unknown += found.state == "not known"
    return {"within": within, "settled": settled, "wrong": wrong, "unknown": unknown}


CORNERS = tuple((noise, penalty) for noise in NOISES for penalty in (0.0, *PENALTIES))


def grid(
    runs: int, *, first_seed: int, workers: int = 2, corners: Sequence[tuple[float, float]] = CORNERS
) -> list[dict[str, float]]:
    """Return one row a corner of the grid: shares of the cells, remaining loss, ratio to random trials."""
    seeds = range(first_seed, first_seed + runs)
    with ProcessPoolExecutor(workers) as pool:
        return [corner(pool, seeds, noise, penalty) for noise, penalty in corners]


def corner_asked(text: str) -> tuple[float, float]:
    """Return noise and penalty of a corner given as ``8,1``."""
    noise, penalty = (float(one) for one in text.split(","))
    return noise, penalty


def corner(pool: ProcessPoolExecutor, seeds: range, noise: float, penalty: float) -> dict[str, float]:
    """Return what a corner came to over some seasons."""
    whole = {}
    for policy in POLICIES:
        task = partial(run, noise=noise, penalty=penalty, policy=policy)
        found = list(pool.map(task, seeds))
        whole[policy] = {key: np.array([one[key] for one in found]) for key in found[0]}
    ours, other, wide = (whole[policy] for policy in POLICIES)
    cells = 9.0 * len(seeds)
    return {
        "noise_m_per_min": noise,
        "penalty_m_per_min": penalty,
        "within_half_step": float(ours["within"].sum()) / cells,
        "random_within_half_step": float(other["within"].sum()) / cells,
        "remaining_loss": float(ours["left"].sum() / max(ours["before"].sum(), 1e-12)),
        "random_over_ours": float(other["left"].sum() / max(ours["left"].sum(), 1e-12)),
        "random_wide_over_ours": float(wide["left"].sum() / max(ours["left"].sum(), 1e-12)),
        "settled": float(ours["settled"].sum()) / cells,
        "settled_cells": float(ours["settled"].sum()),
        "settled_wrong_cells": float(ours["wrong"].sum()),
        "settled_wrong": float(ours["wrong"].sum() / max(ours["settled"].sum(), 1.0)),
        "not_known": float(ours["unknown"].sum()) / cells,
        "runs_that_moved": float(np.mean(ours["moves"] > 0)),
    }


def main() -> None:
    """Print the grid, and draw it when asked."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--runs", type=int, default=40)
    parser.add_argument("--seed", type=int, default=1000)
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--corner", type=corner_asked, action="append", help="noise,penalty; all without")
    parser.add_argument("--out", type=Path)
    parser.add_argument("--json", type=Path)
    asked = parser.parse_args()
    if asked.corner and asked.out is not None:
        parser.error("the picture shows the whole grid: leave out --corner or --out")
    corners = tuple(asked.corner or CORNERS)
    rows = grid(asked.runs, first_seed=asked.seed, workers=asked.workers, corners=corners)
    print("  ".join(rows[0]))
    for row in rows:
        print("  ".join(f"{value:.3g}" for value in row.values()))
    if asked.json is not None:
        asked.json.write_text(json.dumps(rows, indent=1), encoding="utf-8")
    if asked.out is not None:
        from bench.trials_picture import season_svg

        asked.out.write_text(season_svg(rows, asked.runs), encoding="utf-8")


if __name__ == "__main__":
    main()
