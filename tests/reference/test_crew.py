"""Outside checks of people, places and the order of depowering; mostly facts of the trade."""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from cringle.boat.base import Posture
from cringle.boat.read import read_book_files
from cringle.speed.assign import Prices, Wanted, arrangement, assign, choices, keeps_order, roles_to_fill
from cringle.speed.crew import changes, crew_worth
from cringle.speed.depower_order import depower_order, legs_in_share
from cringle.speed.ensemble import members, normal_scores
from cringle.speed.model import SpeedModel

PRACTICE = "common practice, no source"


@pytest.fixture(scope="module")
def files(examples):
    return read_book_files(examples)


@pytest.fixture(scope="module")
def demo(files):
    return SpeedModel.from_files(files.class_file, files.crew_file)


def every_combination(class_file, people, wanted):
    """Return the least cost over all combinations that keep the rules, by trying each."""
    by_person = [[one for one in choices(class_file, people, wanted) if one.person == i] for i in range(4)]
    room = {one.id: one.capacity for one in class_file.stations}
    fill, best = sorted(roles_to_fill(people)), np.inf
    for picked in itertools.product(*by_person):
        seats = [one.seat.station for one in picked]
        if (
            sorted(one.role for one in picked) == fill
            and all(seats.count(seat) <= room[seat] for seat in seats)
            and sum(one.seat.posture == Posture.HIKE for one in picked) <= class_file.limits.hiking_max
            and keeps_order(picked)
        ):
            best = min(best, arrangement(people, picked, wanted, prices=Prices()).cost_s_per_mile)
    return best


def test_assignment_is_optimal(outside, files):
    people, sides = files.crew_file.people, (-100.0, 50.0, 150.0, 250.0, 350.0, 900.0)
    found = [assign(files.class_file, people, Wanted(side, 600.0)).cost_s_per_mile for side in sides]
    least = [every_combination(files.class_file, people, Wanted(side, 600.0)) for side in sides]
    outside.close(
        id="CP01", what="best places of four people, six moments: integer programme against all combinations",
        got=found, expected=least, atol=1e-6, source="exhaustive enumeration", kind="arithmetic",
    )  # fmt: skip


def test_split_of_the_crew(outside, files):
    full = assign(
        files.class_file, files.crew_file.people, Wanted(1e4, 600.0), prices=Prices(trim=0.0, hike=0.0)
    )
    outside.within(
        id="CP02", what="share of the crew's weight that hikes at full hike, two of four [1]",
        got=full.hiking_share, low=0.5, high=0.65, source=PRACTICE, kind="practice",
    )  # fmt: skip


def test_weight_by_wind(outside, files, demo):
    wanted = [one for one in changes(files.class_file, files.crew_file, demo.crew) if one.key == "ten_kg"]
    found = crew_worth(demo, members(demo, count=24), np.array([5.0, 16.0]), wanted=wanted)
    up = next(one for one in found if one.point == "up")
    outside.true(
        id="CP03", what="ten kilograms more lose upwind in 5 kn, whole interval", kind="practice",
        ok=bool(up.s_per_mile_90.low[0] > 0.0), got=f"{up.s_per_mile[0]:+.1f} s a mile", source=PRACTICE,
    )  # fmt: skip
    outside.true(
        id="CP04", what="ten kilograms more gain upwind in 16 kn, whole interval", kind="practice",
        ok=bool(up.s_per_mile_90.high[1] < 0.0), got=f"{up.s_per_mile[1]:+.1f} s a mile", source=PRACTICE,
    )  # fmt: skip


def test_order_of_depowering(outside, files, demo):
    share = legs_in_share(files.class_file, files.crew_file, demo)
    steps = {one.name: one for one in depower_order(demo, members(demo, count=4), legs_in=share)}
    order = ["centre", "legs in", "hike", "heel", "flatten"]
    winds = [steps[name].from_kn for name in order]
    outside.true(
        id="CP05", what="people first, then heel, then flatter sails, as the wind builds", kind="practice",
        ok=winds == sorted(winds), got=", ".join(f"{n} {w:g} kn" for n, w in zip(order, winds, strict=True)),
        source=PRACTICE,
    )  # fmt: skip
    outside.within(
        id="CP06", what="wind from which the sails are depowered at the best heel: full power up to it [kn]",
        got=min(steps[name].from_kn for name in ("twist", "flatten") if name in steps), low=10.0, high=13.0,
        source=PRACTICE, kind="practice",
    )  # fmt: skip
    assert 8.5 <= steps["heel"].from_kn <= 10.0, "wind from which everybody is out and heel begins"


def test_latin_hypercube(outside):
    scores = normal_scores(64, 51)
    outside.close(
        id="CP07", what="5 and 95 per cent points of 64 stratified normal scores", kind="evidence",
        got=np.percentile(scores[:, 0], (5, 95), method="hazen"), expected=(-1.6449, 1.6449), atol=0.02,
        source="normal table; McKay, Beckman and Conover, Technometrics 21, 1979",
    )  # fmt: skip
