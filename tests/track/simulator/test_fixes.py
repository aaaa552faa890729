"""Fixes: rates, noise, faults of the clock, pauses, and the ends of the world."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from cringle.physics.wind import apparent_wind, heeled_wind
from cringle.track.circle import difference_deg
from cringle.track.distance import steps
from cringle.track.frozen_polar import FrozenPolar
from cringle.track.schema import TRACK_SCHEMA
from cringle.track.simulator.options import SimOptions, SimSensors
from cringle.track.simulator.simulate import simulate

SHORT = SimOptions(laps=1, leg_m=400.0, wait_s=60.0)
QUIET = SimSensors(gps_drift_m=0.0, gps_noise_m=0.0, gps_speed_m_per_s=0.0, heel_noise_deg=0.0)


@pytest.mark.parametrize("rate", [0.2, 1.0, 5.0, 50.0])
def test_every_rate_gives_its_fixes(sketch: FrozenPolar, rate: float) -> None:
    boat = simulate(replace(SHORT, sensors=replace(QUIET, rate_hz=rate)), sketch, 1).boats[0]
    assert_allclose(np.diff(boat.fixes.seconds), 1.0 / rate, rtol=1e-6)
    track = boat.track()
    assert dict(track.schema) == TRACK_SCHEMA
    assert track["time"].is_sorted()


def test_positions_follow_the_truth_anywhere(sketch: FrozenPolar) -> None:
    for lat, lon in ((54.2, -5.0), (-17.0, 179.999), (89.5, 10.0)):
        options = replace(SHORT, lat_deg=lat, lon_deg=lon, sensors=replace(QUIET, rate_hz=1.0))
        boat = simulate(options, sketch, 2).boats[0]
        lats, lons = boat.fixes.columns["lat"], boat.fixes.columns["lon"]
        assert np.abs(lons).max() <= 180.0
        walked = steps(lats, lons).length
        true = np.hypot(np.diff(boat.truth.right_m), np.diff(boat.truth.up_m))[: walked.size]
        assert_allclose(walked, true, atol=0.02)


def test_noise_has_its_size(sketch: FrozenPolar) -> None:
    plain = simulate(replace(SHORT, sensors=QUIET), sketch, 3).boats[0]
    noisy = simulate(
        replace(SHORT, sensors=replace(QUIET, heel_noise_deg=0.5, gps_noise_m=2.0)), sketch, 3
    ).boats[0]
    off = noisy.fixes.columns["roll"] - plain.fixes.columns["roll"]
    assert_allclose(off.std(), 0.5, rtol=0.05)
    metres = (noisy.fixes.columns["lat"] - plain.fixes.columns["lat"]) * 111_300.0
    assert_allclose(metres.std(), 2.0, rtol=0.05)


def test_clock_faults_and_pauses(sketch: FrozenPolar) -> None:
    made = {}
    for clock in ("good", "jump", "back", "reversed"):
        made[clock] = simulate(replace(SHORT, sensors=replace(QUIET, clock=clock)), sketch, 4).boats[0].fixes
    leaps = np.diff(made["jump"].stamps_us) / 1e6
    assert_allclose([leaps.max(), np.median(leaps)], [3600.2, 0.2])
    assert (np.diff(made["back"].stamps_us) < 0).sum() == 2
    assert_allclose(made["reversed"].stamps_us, made["good"].stamps_us[::-1])
    paused = simulate(replace(SHORT, sensors=replace(QUIET, dropped_share=0.2)), sketch, 4).boats[0].fixes
    assert_allclose(paused.rows / made["good"].rows, 0.82, atol=0.06)


def test_heel_sensor_the_wrong_way_round_and_none(sketch: FrozenPolar) -> None:
    right, wrong = (
        simulate(replace(SHORT, sensors=replace(QUIET, heel_sign=sign)), sketch, 5).boats[0].fixes
        for sign in (1, -1)
    )
    assert_allclose(right.columns["roll"], -wrong.columns["roll"])
    none = simulate(replace(SHORT, sensors=replace(QUIET, heel=False)), sketch, 5).boats[0]
    assert none.track()["roll"].null_count() == none.fixes.rows


def test_instruments_see_the_wind_triangle(sketch: FrozenPolar) -> None:
    boat = simulate(replace(SHORT, sensors=replace(QUIET, rate_hz=1.0, instruments=True)), sketch, 6).boats[0]
    columns, truth = boat.fixes.columns, boat.truth
    rows = columns["aws"].size
    angle = np.radians(truth.twa_deg[:rows])
    felt = apparent_wind(truth.tws_kn[:rows], angle, boat_speed=truth.speed_kn[:rows])
    heel = np.radians(truth.heel_deg[:rows])
    shown = heeled_wind(felt.speed, felt.angle, heel=heel)
    assert_allclose(columns["aws"], shown.speed, atol=1e-6)
    off = difference_deg(columns["awa"], np.degrees(np.asarray(shown.angle)))
    assert_allclose([off.mean(), off.std()], [0.0, 2.0], atol=0.25)
