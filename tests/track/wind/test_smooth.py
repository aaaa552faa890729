"""The smoother against the same least squares written as one dense system, and its interval."""

from __future__ import annotations

import numpy as np
from numpy.testing import assert_allclose

from cringle.track.circle import difference_deg
from cringle.track.wind.samples import Samples
from cringle.track.wind.smooth import (
    BEND_DEG2_PER_S3,
    DRIFT_DEG2_PER_S,
    PRIOR_SPREAD_DEG,
    UP_NOISE_DEG,
    smooth_direction,
)


def beat(noise_deg: float, count: int = 240, wind_from: float = 350.0) -> tuple[Samples, np.ndarray]:
    rng = np.random.default_rng(2)
    wind = wind_from + 8.0 * np.sin(2.0 * np.pi * np.arange(count) / 48.0)
    side = np.where((np.arange(count) // 11) % 2 == 0, 1.0, -1.0)
    course = wind - side * 44.0 + noise_deg * rng.standard_normal(count)
    seconds = np.arange(count) * 10.0 + 5.0
    return Samples(10.0, seconds, np.mod(course, 360.0), np.full(count, 5.0), np.full(count, True)), wind


def test_a_beat_gives_back_its_wind_across_north() -> None:
    samples, wind = beat(3.0)
    found = smooth_direction(samples, np.full(240, 350.0), angles_deg=(46.0, 150.0))
    off = difference_deg(found.twd_deg, wind)
    assert np.sqrt((off**2).mean()) < 2.5
    assert_allclose(found.up_angle_deg, 44.0, atol=1.0)
    assert_allclose(found.run_angle_deg, 150.0, atol=0.1)
    assert 0.5 < (np.abs(off) < found.sd_deg).mean() <= 1.0


def test_the_same_as_one_dense_system() -> None:
    samples, _ = beat(1.0, count=40)
    found = smooth_direction(samples, np.full(40, 350.0), angles_deg=(44.0, 150.0))
    count, side = 40, np.where((np.arange(40) // 11) % 2 == 0, 1.0, -1.0)
    course = 350.0 + difference_deg(samples.course_deg, 350.0)
    first, second = (np.diff(np.eye(count), n=order, axis=0) for order in (1, 2))
    system = np.zeros((3 * count - 2, count + 1))
    system[:count, :count] = np.eye(count) / UP_NOISE_DEG
    system[:count, count] = -side / UP_NOISE_DEG
    system[count : 2 * count - 1, :count] = first / np.sqrt(DRIFT_DEG2_PER_S * 10.0)
    system[2 * count - 1 : -1, :count] = second / np.sqrt(BEND_DEG2_PER_S3 * 1000.0)
    system[-1, count] = 1.0 / PRIOR_SPREAD_DEG[0]
    right = np.zeros(3 * count - 2)
    right[:count] = (course + side * 44.0) / UP_NOISE_DEG
    dense = np.linalg.lstsq(system, right, rcond=None)[0]
    assert_allclose(difference_deg(found.twd_deg, dense[:count]), 0.0, atol=0.02)
    assert_allclose(found.up_angle_deg, 44.0 + dense[count], atol=0.02)
    covariance = np.linalg.inv(system.T @ system)
    assert_allclose(found.sd_deg, np.sqrt(np.diag(covariance)[:count]), rtol=0.01)


def test_expected_angles_may_differ_from_step_to_step() -> None:
    rng = np.random.default_rng(4)
    side = np.where((np.arange(240) // 11) % 2 == 0, 1.0, -1.0)
    expected = 44.0 + 5.0 * np.sin(np.arange(240) / 9.0)
    course = 100.0 - side * (expected + 2.0) + rng.standard_normal(240)
    seconds = np.arange(240) * 10.0 + 5.0
    samples = Samples(10.0, seconds, np.mod(course, 360.0), np.full(240, 5.0), np.full(240, True))
    found = smooth_direction(samples, np.full(240, 95.0), angles_deg=(expected, 150.0))
    assert_allclose(difference_deg(found.twd_deg, 100.0), 0.0, atol=1.5)
    assert_allclose(found.up_angle_deg, np.median(expected) + 2.0, atol=0.3)


def test_where_nothing_is_sailed_the_interval_widens() -> None:
    samples, _ = beat(2.0)
    sailing = samples.sailing.copy()
    sailing[100:140] = False
    gap = Samples(samples.step_s, samples.seconds, samples.course_deg, samples.speed_kn, sailing)
    found = smooth_direction(gap, np.full(240, 350.0), angles_deg=(44.0, 150.0))
    assert found.sd_deg[120] > 2.0 * found.sd_deg[60]
