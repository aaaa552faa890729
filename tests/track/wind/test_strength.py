"""How strong the wind was: by hand, from a file, inferred."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import numpy as np
import polars as pl
import pytest
from numpy.testing import assert_allclose

from cringle.errors import LogError, OutOfRangeError
from cringle.track.frozen_polar import FrozenPolar, sketch_polar
from cringle.track.reading.complete import Complete, complete
from cringle.track.schema import TRACK_SCHEMA
from cringle.track.series import series_of
from cringle.track.simulator.options import SimOptions
from cringle.track.wind.series import BY_HAND, FILE, INFERRED
from cringle.track.wind.strength import USUAL_PACE, entered_strength, read_strength, strength_on_clock


def test_by_hand_is_taken_to_ten_metres() -> None:
    assert entered_strength(12.0).tws_kn == (12.0,)
    ratio = 12.0 / entered_strength(12.0, height_m=2.0).tws_kn[0]
    assert_allclose(ratio, np.log(2.0 / 0.0002) / np.log(10.0 / 0.0002), rtol=1e-6)
    with pytest.raises(OutOfRangeError):
        entered_strength(-3.0)


def test_a_file_is_read_between_its_readings_and_not_beyond(
    tmp_path: Path, simulated: Callable[..., Any]
) -> None:
    log = simulated(SimOptions(), 1).log
    start = log.series.start
    path = tmp_path / "committee.csv"
    rows = [f"{(start + timedelta(seconds=s)).isoformat()},{kn}" for s, kn in ((0, 8.0), (600, 12.0))]
    path.write_text("\n".join(["time,tws_kn", *rows]), encoding="utf-8")
    found = strength_on_clock(read_strength(path), log, log.series.cog, None)
    assert found.source == FILE
    assert_allclose(found.tws_kn[[0, 300, 600]], [8.0, 10.0, 12.0])
    assert np.isnan(found.tws_kn[-1]) == (log.series.rows > 2400)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("when,tws_kn\n", "no column time"),
        ("time,tws_kn\n", "no reading"),
        ("time,tws_kn\n2026-06-17T18:00:00Z,fast\n", ":2"),
        ("time,tws_kn\nyesterday,9\n", ":2"),
        ("time,tws_kn\n2026-06-17T18:00:00Z,99\n", "accepted 0 to 60"),
    ],
)
def test_bad_files_say_where(tmp_path: Path, text: str, message: str) -> None:
    path = tmp_path / "wind.csv"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(LogError, match=message):
        read_strength(path)


def test_inferred_is_near_and_marked(simulated: Callable[..., Any], sketch: FrozenPolar) -> None:
    found = simulated(SimOptions(), 2)
    blown = strength_on_clock(None, found.log, found.wind.twd_deg, sketch)
    assert blown.source == INFERRED
    assert "inferred" in blown.notes[0]
    rows = slice(400, 2000)
    assert_allclose(np.nanmean(blown.tws_kn[rows]), found.truth.tws_kn[rows].mean(), atol=1.6)


def test_nothing_known_says_so(simulated: Callable[..., Any]) -> None:
    found = simulated(SimOptions(), 2)
    blown = strength_on_clock(None, found.log, found.wind.twd_deg, None)
    assert blown.source is None
    assert np.isnan(blown.tws_kn).all()
    held = strength_on_clock(entered_strength(9.0), found.log, found.wind.twd_deg, None)
    assert held.source == BY_HAND
    assert_allclose(held.tws_kn, 9.0)


def sailed_log(
    wind_kn: np.ndarray, pace: float, *, heel_deg: float | None = None
) -> tuple[Complete, np.ndarray]:
    """Return a beat and a run at a pace of the sketch's polar, and the direction of the wind."""
    rows = wind_kn.size
    angle = np.where(np.arange(rows) < rows // 2, 44.0, 150.0)
    polar = sketch_polar()
    best = polar.best_heel(wind_kn, angle)
    heel = best if heel_deg is None else best + heel_deg
    speed = pace * polar.speed(wind_kn, angle, heel)
    table = pl.DataFrame(
        {
            "time": [
                datetime(2026, 6, 17, 18, 0, tzinfo=UTC) + timedelta(seconds=one) for one in range(rows)
            ],
            "lat": 54.0 + np.arange(rows) * 1e-6,
            "lon": np.full(rows, -5.0),
            "sog": speed,
            "cog": np.mod(-angle, 360.0),
            "roll": np.full(rows, np.nan) if heel_deg is None else -heel,
        }
    )
    missing = {name: kind for name, kind in TRACK_SCHEMA.items() if name not in table.columns}
    whole = table.with_columns(pl.lit(None, kind).alias(name) for name, kind in missing.items())
    tidy = whole.select(list(TRACK_SCHEMA)).cast(dict(TRACK_SCHEMA))
    tidy = tidy.with_columns(pl.exclude("time").fill_nan(None))
    return complete(series_of(tidy)), np.zeros(rows)


@pytest.mark.parametrize("wind", [6.0, 9.0, 13.0])
@pytest.mark.parametrize("heel", [None, 0.0, 6.0, -6.0])
def test_a_boat_at_her_usual_pace_tells_the_wind(wind: float, heel: float | None) -> None:
    log, twd = sailed_log(np.full(600, wind), USUAL_PACE, heel_deg=heel)
    got = strength_on_clock(None, log, twd, sketch_polar()).tws_kn
    assert_allclose(got, wind, rtol=0.03)


def test_a_faster_boat_passes_for_more_wind() -> None:
    log, twd = sailed_log(np.full(600, 9.0), 1.0)
    got = strength_on_clock(None, log, twd, sketch_polar()).tws_kn
    assert 9.2 < got.mean() < 10.5


def test_gusts_within_the_minute_do_not_lift_the_mean() -> None:
    """The polar flattens out: the mean of the winds of each second would be too high."""
    rng = np.random.default_rng(7)
    wind = 9.0 * (1.0 + 0.25 * rng.standard_normal(1200)).clip(0.4, 1.8)
    log, twd = sailed_log(wind, USUAL_PACE)
    polar = sketch_polar()
    got = float(np.nanmean(strength_on_clock(None, log, twd, polar).tws_kn))
    speed = log.series.sog / USUAL_PACE * (1.0 + 0.05 * rng.standard_normal(1200))
    each = float(np.nanmean(polar.wind_for(speed, np.abs(log.series.cog - 360.0))))
    assert abs(got - 9.0) < 0.45
    assert each > got


def test_a_swing_of_some_minutes_is_followed() -> None:
    wind = 10.0 + 2.0 * np.sin(2.0 * np.pi * np.arange(1800) / 600.0)
    log, twd = sailed_log(wind, USUAL_PACE)
    got = strength_on_clock(None, log, twd, sketch_polar()).tws_kn
    assert np.sqrt(np.mean((got - wind)[100:-100] ** 2)) < 0.35


def flat_polar() -> FrozenPolar:
    """Return the sketch with speeds to windward that hardly rise from 9 kn of wind on."""
    plain = sketch_polar()
    upwind = plain.angle_deg < 90.0
    capped = np.minimum(plain.wind_kn, 9.0 + 0.02 * (plain.wind_kn - 9.0))
    wind, angle, heel = np.meshgrid(capped, plain.angle_deg[upwind], plain.heel_deg, indexing="ij")
    table = plain.speed_kn.copy()
    table[:, upwind] = plain.speed(wind, angle, heel)
    return replace(plain, speed_kn=table)


def test_where_speed_tells_little_the_wind_stays_near_that_of_the_race() -> None:
    """To windward 3 % more speed would pass for a gale; the run and the minutes around hold it."""
    polar = flat_polar()
    log, twd = sailed_log(np.full(1800, 10.0), USUAL_PACE)
    speed = log.series.sog.copy()
    speed[:900] = USUAL_PACE * polar.speed(10.0, 44.0, polar.best_heel(10.0, 44.0))
    speed[300:500] *= 1.03
    fast = replace(log, series=replace(log.series, sog=speed))
    got = strength_on_clock(None, fast, twd, polar).tws_kn
    assert got.max() < 14.0
    assert np.abs(got[1000:1700] - 10.0).max() < 0.4


def test_a_lasting_change_of_wind_is_followed() -> None:
    wind = np.interp(np.arange(5400), [0, 1800, 3600, 5400], [7.0, 7.0, 13.0, 13.0])
    log, twd = sailed_log(wind, USUAL_PACE)
    got = strength_on_clock(None, log, twd, sketch_polar()).tws_kn
    assert np.sqrt(np.mean((got - wind)[100:-100] ** 2)) < 0.5


def test_less_than_a_minute_of_sailing_still_says_something() -> None:
    log, twd = sailed_log(np.full(12, 9.0), USUAL_PACE)
    got = strength_on_clock(None, log, twd, sketch_polar()).tws_kn
    assert_allclose(got, 9.0, rtol=0.06)
