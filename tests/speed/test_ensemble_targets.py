from __future__ import annotations

import numpy as np
import pytest
from numpy.testing import assert_allclose

from cringle.speed.ensemble import members
from cringle.speed.ensemble_targets import (
    Surface,
    best_of,
    ensemble_targets,
    peak_over_angle,
    quick_targets,
    quick_targets_of,
    search_axes,
    surface,
    target_intervals,
)
from cringle.speed.targets import targets

WINDS = np.array([7.0, 12.0, 16.0])


@pytest.fixture(scope="module")
def drawn(demo):
    return ensemble_targets(members(demo, count=12), WINDS, cases=(demo.upwind, *demo.run))


@pytest.mark.parametrize(
    ("name", "share"), [("up", 0.01), ("soak furled", 0.01), ("wing furled", 0.01), ("plane out", 0.02)]
)
def test_the_quick_search_comes_close_to_the_full_one(demo, name, share):
    full, quick = targets(demo, WINDS, case=demo.case(name)), quick_targets(demo, WINDS, case=demo.case(name))
    most = demo.case(name).angle_high_deg - 1e-6
    slow = full.at_bound & (full.cells.angle_deg < most)  # a wide step cannot stand on a bound of speed
    there = full.cells.converged & ~slow
    assert there.any()
    assert_allclose(quick.vmg_kn[there], full.made_good_kn[there], rtol=share)


def test_cases_with_the_same_sails_share_a_search_and_lose_nothing(demo):
    together = quick_targets_of(demo, WINDS, demo.run)
    for case, one in zip(demo.run, together, strict=True):
        alone = quick_targets(demo, WINDS, case=case)
        assert_allclose(np.nan_to_num(one.vmg_kn), np.nan_to_num(alone.vmg_kn), rtol=0.03)


def test_every_member_answers_every_wind_upwind(drawn):
    assert drawn["up"].shape == (12, 4, 3)
    assert np.isfinite(drawn["up"]).all()


def test_intervals_hold_the_target_and_have_width(demo, drawn):
    for name in ("up", "wing furled"):
        found = targets(demo, WINDS, case=demo.case(name))
        known = target_intervals(demo, found, drawn[name])
        assert (known.vmg_kn.low <= found.made_good_kn).all()
        assert (known.vmg_kn.high >= found.made_good_kn).all()
        width = (known.vmg_kn.high - known.vmg_kn.low) / found.made_good_kn
        assert ((width > 0.02) & (width < 0.6)).all()


def test_heel_intervals_stay_within_what_the_class_sails(demo, drawn):
    found = targets(demo, WINDS, case=demo.case("wing furled"))
    known = target_intervals(demo, found, drawn["wing furled"])
    assert (known.heel_deg.low >= -1.0).all()
    assert (known.heel_deg.high <= 1.0).all()


def test_both_branches_stand_side_by_side(demo):
    angles, heels = search_axes(demo.case("plane out"))
    case = demo.case("plane out")
    found = surface(demo, case, 13.0, angle_deg=angles, heel_deg=heels)
    assert found.speed_kn.shape == (1, angles.size, 2 * heels.size)


def test_the_top_of_a_parabola_is_found_along_angle_and_heel():
    angle, heel = np.arange(30.0, 60.0, 5.0), np.array([0.0, 5.0, 10.0])
    turn = np.abs(np.cos(np.radians(angle)))[:, None]
    good = 4.0 - 0.001 * (angle[:, None] - 43.0) ** 2 - 0.01 * (heel[None, :] - 6.0) ** 2
    speed = np.concatenate((good / turn, np.zeros_like(good)), axis=1)[None]
    found = best_of(Surface(np.array([10.0]), angle, heel, speed))
    assert_allclose((found.vmg_kn[0], found.angle_deg[0], found.heel_deg[0]), (4.0, 43.0, 6.0), rtol=1e-9)


def test_a_surface_without_speeds_has_no_target():
    empty = Surface(np.array([10.0]), np.array([40.0, 45.0, 50.0]), np.array([0.0, 5.0]), np.zeros((1, 3, 4)))
    assert np.isnan(best_of(empty).vmg_kn).all()
    assert np.isnan(peak_over_angle(empty)).all()


def test_scalar_and_array_winds_agree(demo):
    alone = quick_targets(demo, 12.0, case=demo.upwind)
    assert_allclose(alone.vmg_kn[0], quick_targets(demo, WINDS, case=demo.upwind).vmg_kn[1])
