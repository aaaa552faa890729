"""Activities on limited resources against published benchmark instances."""

from __future__ import annotations

import csv
import re
from pathlib import Path

import pytest

from cringle.plays.activities import Activity, schedule_activities

PSPLIB = Path(__file__).parents[1] / "data" / "psplib"
BENCHMARK = "Kolisch and Sprecher, EJOR 96 (1997), PSPLIB j30; optimum proved by a constraint solver"


def read_instance(path):
    text = path.read_text(encoding="ascii")
    rows = {
        name: [
            [int(one) for one in line.split()]
            for line in re.findall(r"^[ \d]+$", part, re.MULTILINE)
            if line.strip()
        ]
        for name, part in re.findall(
            r"^(PRECEDENCE RELATIONS|REQUESTS/DURATIONS|RESOURCEAVAILABILITIES):(.*?)^\*",
            text,
            re.MULTILINE | re.DOTALL,
        )
    }
    before = {row[0]: [] for row in rows["PRECEDENCE RELATIONS"]}
    for row in rows["PRECEDENCE RELATIONS"]:
        for follower in row[3:]:
            before[follower].append(str(row[0]))
    capacities = {f"R{n + 1}": amount for n, amount in enumerate(rows["RESOURCEAVAILABILITIES"][0])}
    activities = [
        Activity(
            str(row[0]),
            row[2],
            {f"R{n + 1}": need for n, need in enumerate(row[3:]) if need},
            tuple(before[row[0]]),
        )
        for row in rows["REQUESTS/DURATIONS"]
    ]
    return activities, capacities


def optima():
    with (PSPLIB / "optimal.csv").open(encoding="utf-8", newline="") as file:
        return [
            (row["instance"], int(row["optimal_makespan"]), int(row["critical_path_bound"]))
            for row in csv.DictReader(file)
        ]


@pytest.mark.parametrize(("number", "row"), list(enumerate(optima())), ids=[one[0] for one in optima()])
def test_benchmark_instances_reach_their_optimum(outside, number, row):
    name, optimum, bound = row
    activities, capacities = read_instance(PSPLIB / name)
    assert len(activities) == 32
    free = schedule_activities(activities, {one: 10**6 for one in capacities})
    found = schedule_activities(activities, capacities, limit_s=120.0)
    outside.close(
        id=f"PL{20 + 2 * number}",
        what=f"{name}: makespan and proven bound",
        got=[found.makespan, found.bound],
        expected=[optimum, optimum],
        atol=0.0,
        source=BENCHMARK,
    )
    outside.close(
        id=f"PL{21 + 2 * number}",
        what=f"{name}: longest path without resources",
        got=free.makespan,
        expected=bound,
        atol=0.0,
        source=BENCHMARK,
    )
    for one in activities:
        assert all(
            found.start[one.id] >= found.start[two.id] + two.duration
            for two in activities
            if two.id in one.after
        )
    for moment in range(found.makespan):
        running = [
            one for one in activities if found.start[one.id] <= moment < found.start[one.id] + one.duration
        ]
        assert all(sum(one.requests.get(r, 0) for one in running) <= most for r, most in capacities.items())
