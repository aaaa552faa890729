"""Wind instruments: heel taken out, a turned vane and a wrong log found out."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

import numpy as np
import pytest
from numpy.testing import assert_allclose

from cringle.physics.wind import apparent_wind, heeled_wind
from cringle.track.frozen_polar import sketch_polar
from cringle.track.reading.complete import complete
from cringle.track.series import Series, series_of
from cringle.track.simulator.options import SimOptions, SimSensors, SimWeather
from cringle.track.simulator.simulate import simulate
from cringle.track.wind.instruments import calibrate, heel_corrected, settled_direction, upright_wind


@lru_cache(maxsize=1)
def measured() -> Series:
    options = SimOptions(
        laps=3, weather=SimWeather(swing_deg=3.0), sensors=SimSensors(instruments=True, heel=False)
    )
    return series_of(simulate(options, sketch_polar(), 5).boats[0].track())


def test_upright_wind_inverts_the_heeled_plane() -> None:
    angle, heel = np.radians([30.0, -90.0, 140.0]), np.radians([20.0, -15.0, 5.0])
    shown = heeled_wind(np.full(3, 8.0), angle, heel=heel)
    speed, back = upright_wind(np.asarray(shown.speed), np.asarray(shown.angle), heel)
    assert_allclose(speed, 8.0)
    assert_allclose(back, angle)


def test_heel_correction_gives_the_true_wind_back() -> None:
    series = measured()
    heel = np.full(series.rows, 25.0)
    felt = apparent_wind(np.full(series.rows, 6.0), np.full(series.rows, np.radians(45.0)), boat_speed=2.5)
    shown = heeled_wind(felt.speed, felt.angle, heel=np.radians(25.0))
    made = replace(
        series,
        roll=heel,
        awa=np.degrees(np.asarray(shown.angle)),
        aws=np.asarray(shown.speed) * 3600.0 / 1852.0,
        stw=np.full(series.rows, 2.5 * 3600.0 / 1852.0),
    )
    before, after = complete(made), heel_corrected(complete(made))
    assert_allclose(np.nanmedian(after.series.twa), 45.0, atol=1e-6)
    assert abs(np.nanmedian(before.series.twa) - 45.0) > 1.0


@pytest.mark.parametrize(("offset", "factor"), [(0.0, 1.0), (6.0, 1.0), (0.0, 0.75), (-5.0, 1.25)])
def test_injected_offsets_are_found(offset: float, factor: float) -> None:
    series = measured()
    wrong = replace(series, awa=series.awa + offset, stw=series.stw * factor)
    plain, found = calibrate(complete(series)), calibrate(complete(wrong))
    assert plain is not None
    assert found is not None
    assert_allclose(found.vane_offset_deg - plain.vane_offset_deg, -offset, atol=0.8)
    assert found.log_factor is not None
    assert plain.log_factor is not None
    assert_allclose(found.log_factor * factor, plain.log_factor, atol=0.06)
    assert any("vane" in one for one in found.notes) == (abs(offset) > 2.0)
    assert any("jumps" in one for one in found.notes) == (factor != 1.0)


def test_without_tacks_or_instruments_nothing_is_said() -> None:
    series = measured()
    nothing = np.full(series.rows, np.nan)
    assert calibrate(complete(replace(series, hdg=nothing))) is None
    assert calibrate(complete(replace(series, awa=np.full(series.rows, 30.0)))) is None


def test_without_heel_the_heel_to_keep_stands_in() -> None:
    """A vane that leaned over with a boat on her target heel, and no heel in the log."""
    options = SimOptions(weather=SimWeather(swing_deg=3.0), sensors=SimSensors(instruments=True, heel=False))
    boat = simulate(options, sketch_polar(), 6).boats[0]
    log = complete(series_of(boat.track()))
    rows = slice(500, 900)
    wind = boat.truth.tws_kn[rows]
    plain, righted = heel_corrected(log), heel_corrected(log, sketch_polar())
    assert plain is log
    errors = [float(np.nanmean(one.series.tws[rows] - wind)) for one in (plain, righted)]
    assert errors[0] < -0.15
    assert abs(errors[1]) < 0.5 * abs(errors[0])
    assert not righted.series.has("roll"), "it is not made up as a measurement"


def test_direction_is_averaged_on_the_circle() -> None:
    rng = np.random.default_rng(4)
    north = np.mod(360.0 + 2.2 * rng.standard_normal(2000), 360.0)
    north[100] = np.nan
    got = settled_direction(north)
    assert np.isnan(got[100])
    strays = np.mod(got[np.isfinite(got)] + 180.0, 360.0) - 180.0
    assert abs(strays.mean()) < 0.15
    assert strays.std() == pytest.approx(2.2 / 3.0, rel=0.1)


def test_a_steady_shift_is_not_delayed() -> None:
    turning = np.mod(350.0 + 0.2 * np.arange(200), 360.0)
    assert_allclose(settled_direction(turning)[10:-10], turning[10:-10], atol=1e-6)
