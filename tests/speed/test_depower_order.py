from __future__ import annotations

import itertools

import pytest

from cringle.errors import NotConvergedError
from cringle.speed import depower_order as room
from cringle.speed.depower_order import CONTROLS, WORDS, depower_order, legs_in_share
from cringle.speed.ensemble import members


@pytest.fixture(scope="module")
def steps(demo, class_file, crew_file):
    share = legs_in_share(class_file, crew_file, demo)
    return depower_order(demo, members(demo, count=6), legs_in=share)


def test_steps_follow_the_order_and_the_wind_builds(steps):
    names = [one.name for one in steps]
    assert names == [one for one in WORDS if one in names]
    assert {"centre", "hike", "heel", "flatten"} <= set(names)
    winds = [one.from_kn for one in steps]
    assert winds == sorted(winds)
    assert all(one.from_kn <= one.to_kn for one in steps)


def test_unused_moment_falls_to_nothing(steps):
    spare = [one.spare_share for one in steps]
    assert spare[0] > 0.7
    assert all(a >= b - 1e-9 for a, b in itertools.pairwise(spare))
    assert spare[-1] < 0.01


def test_the_price_grows_and_starts_at_nothing(steps):
    price = [one.cost_s_per_mile for one in steps]
    assert price[0] == 0.0
    assert price[-1] > 50.0
    for one in steps:
        assert one.cost_s_per_mile_90[0] <= one.cost_s_per_mile <= one.cost_s_per_mile_90[1]


def test_full_power_until_everybody_is_out(steps):
    for one in steps:
        if one.name in {"leeward", "centre", "legs in", "hike"}:
            assert one.power == 1.0
            assert one.controls == ()


def test_only_controls_the_boat_has_are_named(demo, class_file, crew_file, steps):
    assert all(set(one.controls) <= set(CONTROLS[one.name]) for one in steps)
    share = legs_in_share(class_file, crew_file, demo)
    few = depower_order(demo, members(demo, count=2), legs_in=share, controls=["backstay"])
    assert {role for one in few for role in one.controls} == {"backstay"}


def test_legs_in_is_most_but_not_all_of_full_hike(demo, class_file, crew_file):
    assert 0.6 < legs_in_share(class_file, crew_file, demo) < 0.95


def test_a_boat_that_sails_in_no_wind_is_refused(demo, monkeypatch):
    monkeypatch.setattr(room, "grid_of", lambda *_: room.np.array([0.0, 0.01]))
    with pytest.raises(NotConvergedError, match="no target upwind"):
        depower_order(demo, members(demo, count=2), legs_in=0.8)


def test_a_step_never_goes_back():
    found = room._runs(["centre", "hike", "centre", "heel", "", "heel"])
    assert found == [("centre", 0, 0), ("hike", 1, 2), ("heel", 3, 5)]
