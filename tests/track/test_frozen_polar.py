"""The polar as plain arrays: interpolation, targets, the inverse, and what it makes of the speed model."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.interpolate import RegularGridInterpolator

from cringle.errors import InputError
from cringle.track.frozen_polar import FrozenPolar, true_wind_angle_deg


def test_speed_agrees_with_scipy_between_the_points(sketch: FrozenPolar) -> None:
    rng = np.random.default_rng(1)
    points = np.column_stack((rng.uniform(4, 24, 500), rng.uniform(0, 180, 500), rng.uniform(-12, 36, 500)))
    theirs = RegularGridInterpolator((sketch.wind_kn, sketch.angle_deg, sketch.heel_deg), sketch.speed_kn)
    assert_allclose(sketch.speed(*points.T), theirs(points), atol=1e-12)


def test_angle_of_either_side_and_ends_of_the_axes(sketch: FrozenPolar) -> None:
    assert_allclose(sketch.speed(10.0, -44.0, 9.0), sketch.speed(10.0, 44.0, 9.0))
    assert_allclose(sketch.speed(99.0, 60.0, 9.0), sketch.speed(24.0, 60.0, 9.0))
    assert np.isnan(sketch.target(np.nan, upwind=True).angle_deg)


def test_targets_make_most_good(sketch: FrozenPolar) -> None:
    for upwind in (True, False):
        target = sketch.target(12.0, upwind=upwind)
        others = np.arange(25.0, 89.0) if upwind else np.arange(91.0, 180.0)
        speeds = sketch.speed(12.0, others, target.heel_deg)
        assert np.abs(speeds * np.cos(np.radians(others))).max() <= target.made_good_kn * 1.005


def test_wind_for_inverts_the_speed(sketch: FrozenPolar) -> None:
    wind = np.array([5.0, 9.3, 14.0, 21.0])
    angle = np.array([45.0, 100.0, 150.0, 60.0])
    speed = sketch.speed(wind, angle, sketch.best_heel(wind, angle))
    assert_allclose(sketch.wind_for(speed, angle), wind, atol=0.15)
    assert np.isnan(sketch.wind_for(np.nan, 45.0))


def test_a_table_with_holes_is_refused(sketch: FrozenPolar) -> None:
    holed = sketch.speed_kn.copy()
    holed[0, 0, 0] = np.nan
    with pytest.raises(InputError, match="missing"):
        replace(sketch, speed_kn=holed)
    with pytest.raises(InputError, match="not even"):
        replace(sketch, wind_kn=sketch.wind_kn**2)


def test_true_wind_angle_is_signed() -> None:
    assert_allclose(true_wind_angle_deg(10.0, [330.0, 50.0]), [40.0, -40.0])
