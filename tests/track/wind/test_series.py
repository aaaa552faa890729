"""The wind on the even clock, and courses bridged between slow readings and through pauses."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
from numpy.testing import assert_allclose

from cringle.track.circle import difference_deg
from cringle.track.simulator.options import SimOptions
from cringle.track.wind.series import TRACK, bridged, empty_in_pauses, with_wind


def test_bridged_lies_on_the_line_between_slow_readings() -> None:
    readings = np.array([350.0, 0.0, 20.0, 20.0])
    held = np.repeat(readings, 5)
    out = bridged(held, 5.0)
    assert_allclose(out[[0, 5, 10]], readings[:3], atol=1e-9)
    assert_allclose(difference_deg(out[2], 350.0), 4.0, atol=1e-9)


def test_a_short_pause_is_bridged_and_a_long_one_is_not() -> None:
    course = np.full(100, 10.0)
    course[50:] = 90.0
    course[45:55] = np.nan
    assert_allclose(bridged(course, 1.0)[50], 10.0 + 80.0 * 6.0 / 11.0, atol=1.0)
    course[40:70] = np.nan
    assert np.isnan(bridged(course, 1.0)[55])


def test_with_wind_fills_angle_and_says_where_it_came_from(simulated: Callable[..., Any]) -> None:
    found = simulated(SimOptions(), 1)
    full = with_wind(found.log, found.wind)
    assert full.origins.wind_direction == TRACK
    assert found.wind.source == "direction: track, speed: not known"
    rows = slice(400, 1000)
    angle = full.series.twa[rows]
    true = found.truth.twa_deg[rows]
    good = np.abs(difference_deg(angle, true)) < 15.0
    assert good.mean() > 0.9
    assert_allclose(difference_deg(found.wind.mean_deg, 225.0), 0.0, atol=6.0)
    assert 4.0 < found.wind.spread_deg < 12.0


def test_nothing_is_said_of_the_wind_in_a_pause_nobody_sailed_through(simulated: Callable[..., Any]) -> None:
    found = simulated(SimOptions(), 1)
    lat = found.log.series.lat.copy()
    lat[300:1000] = np.nan  # longer than ten minutes
    lat[1100:1200] = np.nan  # shorter
    paused = replace(found.log, series=replace(found.log.series, lat=lat))
    left = empty_in_pauses(found.wind, paused)
    for name in ("twd_deg", "tws_kn", "twd_sd_deg", "tws_sd_kn"):
        before, after = getattr(found.wind, name), getattr(left, name)
        assert np.isnan(after[300:1000]).all()
        assert_allclose(np.delete(after, np.s_[300:1000]), np.delete(before, np.s_[300:1000]))
    assert empty_in_pauses(found.wind, found.log) is found.wind
