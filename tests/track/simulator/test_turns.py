"""A simulated tack and gybe: the path of the angle, and the metres they are said to lose."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.testing import assert_allclose

from cringle.track.simulator.turns import Path, dip_shape, turn


def leg(kind: str, row: int = 100) -> Path:
    size = 44.0 if kind == "tack" else 150.0
    side = np.where(np.arange(300) < row, 1.0, -1.0)
    return Path(side * size, np.full(300, 3.0), -side * 12.0)


@pytest.mark.parametrize("kind", ["tack", "gybe"])
def test_metres_lost_are_those_wanted_and_those_of_the_path(kind: str) -> None:
    plain, path = leg(kind), leg(kind)
    made = turn(path, 100, kind, wanted_m=12.0, overshoot_deg=5.0)
    sign = 1.0 if kind == "tack" else -1.0
    good = [sign * one.speed * np.cos(np.radians(one.angle_deg)) for one in (plain, path)]
    assert_allclose(made.metres_lost, 12.0)
    assert_allclose(good[0].sum() - good[1].sum(), 12.0)


def test_a_tack_passes_the_bow_and_a_gybe_the_stern() -> None:
    tacked, gybed = leg("tack"), leg("gybe")
    turn(tacked, 100, "tack", wanted_m=12.0, overshoot_deg=5.0)
    turn(gybed, 100, "gybe", wanted_m=8.0, overshoot_deg=5.0)
    assert_allclose(tacked.angle_deg[100], -2.5, atol=3.0)
    assert_allclose(gybed.angle_deg[100], 180.0)
    assert tacked.angle_deg[110] < -44.0
    assert_allclose(np.mod(gybed.angle_deg[110], 360.0), 210.0)
    assert_allclose(tacked.roll_deg[[90, 100, 110]], [-12.0, 0.0, 12.0], atol=1e-9)


def test_a_loss_out_of_reach_is_not_claimed() -> None:
    path = leg("tack")
    made = turn(path, 100, "tack", wanted_m=500.0, overshoot_deg=0.0)
    assert made.dip == 0.85
    assert made.metres_lost < 60.0


def test_the_dip_is_deepest_three_seconds_after() -> None:
    shape = dip_shape(np.array([-5.0, -2.0, 3.0, 12.0]))
    assert_allclose(shape, [0.0, 0.0, 1.0, np.exp(-1.0)])
