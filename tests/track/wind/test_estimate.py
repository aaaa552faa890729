"""The wind of a log: from instruments where there are any, else from the track, else none."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
import polars as pl
import pytest
from numpy.testing import assert_allclose

from cringle.track.circle import difference_deg
from cringle.track.frozen_polar import FrozenPolar, sketch_polar
from cringle.track.reading.complete import complete
from cringle.track.series import series_of
from cringle.track.simulator.options import SimOptions, SimSensors, SimWeather
from cringle.track.simulator.simulate import simulate
from cringle.track.wind.estimate import estimate_wind
from cringle.track.wind.series import INFERRED, INSTRUMENTS
from cringle.track.wind.strength import entered_strength


@pytest.mark.parametrize("wind_kn", [6.0, 10.0, 18.0])
def test_direction_from_the_track(simulated: Callable[..., Any], wind_kn: float) -> None:
    found = simulated(SimOptions(weather=SimWeather(wind_kn=wind_kn)), 8)
    rows = slice(400, min(found.truth.twd_deg.size, found.wind.rows) - 100)
    off = difference_deg(found.wind.twd_deg[rows], found.truth.twd_deg[rows])
    assert np.sqrt((off**2).mean()) < 4.0
    inside = np.abs(off) < 2.0 * found.wind.twd_sd_deg[rows]
    assert inside.mean() > 0.8


def test_instruments_go_first(sketch: FrozenPolar) -> None:
    options = SimOptions(laps=1, sensors=SimSensors(instruments=True, heel=False))
    boat = simulate(options, sketch_polar(), 4).boats[0]
    wind = estimate_wind(complete(series_of(boat.track())), polar=sketch)
    assert wind is not None
    assert wind.direction_source == wind.strength_source == INSTRUMENTS
    rows = slice(400, 900)
    assert_allclose(difference_deg(wind.twd_deg[rows], boat.truth.twd_deg[rows]).mean(), 0.0, atol=2.5)
    assert_allclose(np.nanmean(wind.tws_kn[rows]), boat.truth.tws_kn[rows].mean(), atol=0.5)


def test_strength_entered_or_inferred(simulated: Callable[..., Any], sketch: FrozenPolar) -> None:
    log = simulated(SimOptions(), 8).log
    entered = estimate_wind(log, strength=entered_strength(11.0))
    inferred = estimate_wind(log, polar=sketch)
    assert entered is not None
    assert inferred is not None
    assert_allclose(entered.tws_kn, 11.0)
    assert inferred.strength_source == INFERRED
    assert any("inferred" in note for note in inferred.notes)


def test_a_boat_at_the_dock_tells_no_wind(simulated: Callable[..., Any]) -> None:
    boat = simulate(SimOptions(laps=1, dock_s=900.0), sketch_polar(), 1).boats[0]
    docked = boat.track().head(4000)
    assert estimate_wind(complete(series_of(docked))) is None
    for fixes in (1, 2, 7):
        assert estimate_wind(complete(series_of(boat.track().head(fixes)))) is None


def test_two_days_with_different_winds_in_one_file() -> None:
    first, second = (
        simulate(SimOptions(weather=SimWeather(wind_from_deg=from_deg)), sketch_polar(), 3).boats[0]
        for from_deg in (225.0, 40.0)
    )
    later = second.track().with_columns(pl.col("time") + pl.duration(days=1))
    wind = estimate_wind(complete(series_of(pl.concat([first.track(), later]))))
    assert wind is not None
    for day, boat in ((0, first), (86_400, second)):
        off = difference_deg(wind.twd_deg[day + 400 : day + 2000], boat.truth.twd_deg[400:2000])
        assert np.sqrt((off**2).mean()) < 4.0
