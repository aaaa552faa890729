"""Plays: a check, many runs against a plain loop, and dealing the whole library."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path

import numpy as np

from cringle.boat.read import read_book_files
from cringle.plays.check import check_plan
from cringle.plays.crew import usual_deal
from cringle.plays.deal import deal_play
from cringle.plays.durations import inverse_table, look_up
from cringle.plays.forward import Flow, flow_of
from cringle.plays.plan import Aboard, plan_play
from cringle.plays.play_file import PlayFile
from cringle.plays.read import PlayText, play_paths, read_play
from cringle.plays.simulate import RiskSettings, simulate
from cringle.workflows.plays.open import all_round, deck_from, hands_of, spare_spot

EXAMPLES = Path(__file__).parents[1] / "examples"
SAMPLES = 100_000
LOOP_SAMPLES = 500
REPEATS = 20
ACTIONS = 30
CHECK_TARGET_MS, RISK_TARGET_S, DEAL_TARGET_S, LOOP_TARGET = 20.0, 1.0, 10.0, 10.0


def timed(work: Callable[[], object], repeats: int = REPEATS) -> float:
    """Return the middle time of some repeats [s]."""
    work()
    found = []
    for _ in range(repeats):
        begun = time.perf_counter()
        work()
        found.append(time.perf_counter() - begun)
    return statistics.median(found)


def thirty(library: Mapping[str, PlayText]) -> PlayFile:
    """Return a play of 30 actions: four chains that wait for each other here and there."""
    random = np.random.default_rng(30)
    roles = ("helm", "main", "jib", "forward")
    actions = []
    for number in range(ACTIONS):
        likely = float(random.uniform(0.8, 3.0))
        after = {f"a{number - 4}"} if number >= 4 else set()
        if number >= 4 and random.random() < 0.4:
            after.add(f"a{int(random.integers(number - 4, number))}")
        actions.append(
            {
                "id": f"a{number}",
                "do": "work",
                "role": roles[number % 4],
                "duration_s": [0.8 * likely, likely, 1.6 * likely],
                "after": sorted(after),
            }
        )
    head = library["set_straight"].play.model_dump(mode="json", by_alias=True, exclude={"ends", "faults"})
    cues = [{"id": "due", "words": "Due", "at_s": [15, 20, 30]}]
    return PlayFile.model_validate({**head, "actions": actions, "cues": cues, "done_by": "due"})


def loop_runs(flow: Flow, play: PlayFile, samples: int) -> float:
    """Return the mean end of runs made one by one in plain Python, for comparison [s]."""
    random = np.random.default_rng(1)
    tables = [inverse_table(one.duration_s) for one in play.actions]
    total = 0.0
    for _ in range(samples):
        lasting = [float(look_up(table, random.standard_normal(1))[0]) for table in tables]
        at = [0.0] * flow.count
        for event, pushes in zip(flow.sequence, flow.incoming, strict=True):
            if event in flow.given:
                at[event] = 20.0
                continue
            at[event] = max(
                (
                    at[one.earlier] + (one.gap if one.action is None else lasting[one.action])
                    for one in pushes
                ),
                default=0.0,
            )
        total += at[flow.finish]
    return total / samples


def rows() -> list[dict[str, object]]:
    """Return the figures of one run."""
    files = read_book_files(EXAMPLES)
    library = {name: read_play(path) for name, path in play_paths(EXAMPLES / "plays").items()}
    aboard = Aboard(hands_of(files.crew_file), deck_from(files.class_file))
    return [*_check_rows(library, aboard), *_risk_rows(library, aboard), *_deal_rows(library, aboard)]


def _check_rows(library: Mapping[str, PlayText], aboard: Aboard) -> list[dict[str, object]]:
    slowest = 0.0
    for text in library.values():
        deal = usual_deal(text, aboard.hands)
        slowest = max(slowest, timed(lambda text=text, deal=deal: check_plan(text.play, aboard, deal)))  # type: ignore[misc]  # bound now
    ms = 1e3 * slowest
    return [_row("check, slowest play of the library", ms, "ms", target=CHECK_TARGET_MS)]


def _risk_rows(library: Mapping[str, PlayText], aboard: Aboard) -> list[dict[str, object]]:
    play = thirty(library)
    people = {one.role: one.id for one in aboard.hands}
    plan = plan_play(play, aboard, {one.id: people[str(one.role)] for one in play.actions})
    ours = timed(lambda: simulate(plan, settings=RiskSettings(SAMPLES)), 3)
    flow = flow_of(plan)
    loop = timed(lambda: loop_runs(flow, play, LOOP_SAMPLES), 1) * SAMPLES / LOOP_SAMPLES
    row = _row(
        f"{SAMPLES:,} runs of {ACTIONS} actions, criticality and worth included",
        ours,
        "s",
        target=RISK_TARGET_S,
    )
    beside = _row("the same runs, one by one in a Python loop (extrapolated)", ours, "s", theirs=loop)
    return [row, {**beside, "target": LOOP_TARGET, "ok": loop / ours >= LOOP_TARGET}]


def _deal_rows(library: Mapping[str, PlayText], aboard: Aboard) -> list[dict[str, object]]:
    slowest, unproven = 0.0, 0
    room = spare_spot(read_book_files(EXAMPLES).class_file)
    for text in library.values():
        for count in (2, 3, 4, 5):
            crew = replace(aboard, hands=all_round(aboard.hands, count, room))
            begun = time.perf_counter()
            found = deal_play(text.play, crew)
            slowest = max(slowest, time.perf_counter() - begun)
            unproven += found.status == "not proven"
    return [
        _row("deal, slowest of the library to 2 to 5 hands", slowest, "s", target=DEAL_TARGET_S),
        {**_row("deals not proven", float(unproven), ""), "ok": unproven == 0},
    ]


def _row(
    name: str, ours: float, unit: str, *, target: float | None = None, theirs: float | None = None
) -> dict[str, object]:
    ratio = None if theirs is None else theirs / ours
    ok = None if target is None else ours <= target
    return {
        "name": name,
        "ours": ours,
        "theirs": theirs,
        "ratio": ratio,
        "unit": unit,
        "target": target,
        "ok": ok,
    }
