from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from cringle.track.series import Series
from cringle.trials.together import together
from cringle.trials.usable import Limits, Usable, in_bins, usable

Maker = Callable[..., Series]


def used(ours: Series, other: Series, limits: Limits | None = None) -> Usable:
    both = together(ours, other)
    wanted = limits or Limits()
    return usable(in_bins(both, np.zeros(both.rows), wanted), wanted)


def test_bins_say_how_both_boats_moved(boat: Maker) -> None:
    both = together(boat(600, speed=2.5), boat(600, east=40.0))
    bins = in_bins(both, np.zeros(600))
    assert bins.speed[0] == pytest.approx(np.full(59, 2.5), rel=5e-3)
    assert bins.angle_deg == pytest.approx(np.full((2, 59), 42.0), abs=0.2)
    assert bins.right[0] == pytest.approx(-40.0 - 5 * 0.3 * np.sin(np.radians(42.0)), abs=0.5)
    assert set(bins.point.ravel()) == {1.0}


def test_boats_abeam_on_one_tack_count_whole(boat: Maker) -> None:
    found = used(boat(600), boat(600, east=40.0))
    assert np.all(found.stretch == 0)
    assert not found.left_out_min


@pytest.mark.parametrize(
    ("other", "reason"),
    [
        ({"east": 5.0}, "too close"),
        ({"east": 400.0}, "too far apart"),
        ({"east": 40.0, "angle_deg": -42.0}, "on different tacks"),
        ({"east": 40.0, "angle_deg": 150.0}, "on different legs"),
        ({"east": 40.0, "speed": 0.2}, "not sailing"),
        ({"north": -30.0, "east": -8.0}, "in dirty air"),
    ],
)
def test_each_reason(boat: Maker, other: dict[str, float], reason: str) -> None:
    found = used(boat(300), boat(300, **other))
    assert max(found.left_out_min, key=lambda one: found.left_out_min[one]) == reason


def test_the_shadow_lies_aft_of_straight_downwind(boat: Maker) -> None:
    # sailing to the right of the wind, the shadow falls down and to the left
    left = used(boat(300), boat(300, north=-35.0, east=-25.0))
    right = used(boat(300), boat(300, north=-35.0, east=25.0))
    assert "in dirty air" in left.left_out_min
    assert "in dirty air" not in right.left_out_min


def test_either_boat_may_be_the_one_in_the_shadow(boat: Maker) -> None:
    assert "in dirty air" in used(boat(300, north=-30.0, east=-8.0), boat(300)).left_out_min


def test_reaching_is_no_comparison(boat: Maker) -> None:
    found = used(boat(300, angle_deg=90.0), boat(300, angle_deg=90.0, north=60.0))
    assert found.left_out_min == {"reaching": pytest.approx(29 / 6)}


def test_a_tack_parts_two_stretches(boat: Maker) -> None:
    found = used(boat(600, tack_every_s=300), boat(600, tack_every_s=300, east=90.0))
    assert set(found.stretch) == {-1, 0, 1}
    assert found.left_out_min["turning"] > 0.0


def test_gaps_are_no_position(boat: Maker) -> None:
    ours = boat(600)
    ours.lat[100:200] = np.nan
    assert "no position" in used(ours, boat(600, east=60.0)).left_out_min


def test_short_runs_are_left_out(boat: Maker) -> None:
    found = used(boat(300, tack_every_s=60), boat(300, tack_every_s=60, east=60.0))
    assert np.all(found.stretch == -1)
    assert "too short" in found.left_out_min


def test_downwind_counts_too(boat: Maker) -> None:
    found = used(boat(300, angle_deg=150.0), boat(300, angle_deg=150.0, east=60.0))
    assert np.all(found.stretch == 0)
