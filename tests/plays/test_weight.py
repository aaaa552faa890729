"""Moment and heel along a play."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.testing import assert_allclose

from cringle.constants import STANDARD_GRAVITY_M_PER_S2
from cringle.plays.check import check_plan
from cringle.plays.crew import usual_deal
from cringle.plays.roll import RollModel
from cringle.plays.weight import (
    SteadyHeel,
    crew_moment,
    heel_band,
    strip_as_json,
    turn_span,
    weight_strip,
)

BOAT = RollModel(stiffness=15_000.0, inertia=900.0)
OWNER = {"helm": "ines", "main": "tobias", "jib": "marit", "forward": "keo"}
RAIL_2 = {"station": "rail_2", "posture": "legs in"}
CENTRE = {"station": "centre", "posture": "centreline"}


def out(hand, spot):
    return {"hike": 1.3, "legs in": 1.0}.get(spot.posture.value, 0.0)


def checked(play, aboard):
    return check_plan(play, aboard, {one.id: OWNER[one.role] for one in play.actions})


def test_nobody_moves_nothing_changes(make, act, aboard):
    strip = weight_strip(checked(make([act("a")]), aboard), BOAT, out)
    assert_allclose(strip.heel_deg, 6.0, atol=1e-9)
    assert strip.warnings == ()
    assert strip.source == "play file"


def test_moment_is_mass_times_arm(make, act, aboard):
    found = checked(make([act("a", at=RAIL_2, to=CENTRE)]), aboard)
    moment = crew_moment(found.tracks, out, np.array([0.0, 1.0, 2.0, 9.0]))
    lost = 92.0 * STANDARD_GRAVITY_M_PER_S2 * 1.0
    assert_allclose(moment[0] - moment, [0.0, 0.5 * lost, lost, lost])


def test_coming_in_heels_the_boat_and_is_named(make, act, aboard):
    actions = [
        act("in", at=RAIL_2, to=CENTRE),
        act("out", at=CENTRE, to=RAIL_2, not_before_cue="due"),
    ]
    strip = weight_strip(
        checked(make(actions), aboard), BOAT, out, heel=SteadyHeel(6.0, 6.0, 2.0, "speed model")
    )
    assert_allclose(strip.steady_deg[[0, -1]], 6.0, atol=1e-6)
    rise = np.rad2deg(92.0 * STANDARD_GRAVITY_M_PER_S2 / 15_000.0)
    middle = np.argmin(np.abs(strip.time_s - 6.0))
    assert_allclose(strip.steady_deg[middle], 6.0 + rise, atol=0.01)
    (warning,) = strip.warnings
    assert "over its band" in warning
    assert "could stay out or go out" in warning
    assert strip.source == "speed model"


def test_the_boat_swings_past_the_steady_heel(make, act, aboard):
    strip = weight_strip(checked(make([act("in", seconds=1.0, at=RAIL_2, to=CENTRE)]), aboard), BOAT, out)
    assert strip.heel_deg.min() < strip.steady_deg.min() - 1e-3


def test_a_turn_ends_heeled_the_other_way(library, hands, aboard):
    text = library["tack"]
    found = check_plan(text.play, aboard, usual_deal(text, hands))
    strip = weight_strip(found, BOAT, out)
    assert_allclose(strip.steady_deg[0], 14.0, atol=1e-6)
    assert_allclose(strip.steady_deg[-1], -14.0, atol=1e-6)
    start, flip, end = turn_span(found)
    assert start < flip < end
    assert_allclose(flip, found.plan.cue_s["through"])


def test_without_a_turn_there_is_no_turn(make, act, aboard):
    assert turn_span(checked(make([act("a")]), aboard)) is None


def test_the_band_of_a_straight_play():
    low, high = heel_band(np.arange(3.0), SteadyHeel(10.0, 6.0, 2.0), None)
    assert_allclose(low, 4.0)
    assert_allclose(high, 12.0)


def test_the_band_changes_side_with_the_turn():
    time = np.array([0.0, 4.9, 5.1, 10.0])
    low, high = heel_band(time, SteadyHeel(10.0, 8.0, 2.0), (4.0, 5.0, 6.0))
    assert_allclose([low[0], high[0]], [8.0, 12.0])
    assert_allclose([low[1], high[1]], [-10.0, 12.0])
    assert_allclose([low[3], high[3]], [-10.0, -6.0])


def test_after_the_turn_over_means_to_the_new_leeward_side(make, act, aboard):
    cues = [
        {"id": "due", "words": "Due", "at_s": [20, 20, 20]},
        {"id": "over", "words": "Over", "at_s": [2, 2, 2]},
    ]
    new = {"station": "rail_2", "posture": "legs in", "side": "new"}
    actions = [
        act("cross", at=RAIL_2, to=new, not_before_cue="over"),
        act("lean", "main", 3.0, at=new, to=CENTRE, ends_at_cue="due"),
        act("back", "main", 1.0, at=CENTRE, to=new, after=["lean"]),
    ]
    play = make(actions, cues=cues, kind="gybe", flips_at="over", heel_band_deg=2.0)
    strip = weight_strip(checked(play, aboard), BOAT, out)
    late = [one for one in strip.warnings if " over its band from 1" in one or " over its band from 2" in one]
    assert late


def test_as_json(make, act, aboard):
    plain = strip_as_json(weight_strip(checked(make([act("a")]), aboard), BOAT, out))
    assert set(plain) == {
        "time_s", "crew_moment_n_m", "steady_heel_deg", "heel_deg", "band_low_deg", "band_high_deg",
        "heel_source", "warnings",
    }  # fmt: skip
    assert len(plain["time_s"]) == len(plain["heel_deg"])


@pytest.mark.parametrize("name", ["set_straight", "drop_windward", "press_low"])
def test_library_plays_stay_within_reason(library, hands, aboard, name):
    text = library[name]
    strip = weight_strip(check_plan(text.play, aboard, usual_deal(text, hands)), BOAT, out)
    assert np.abs(strip.heel_deg).max() < 30.0
