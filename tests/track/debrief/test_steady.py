"""Steady stretches: clear of every turn, right on the average, and a CSV that a fit can read."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable
from typing import Any

import numpy as np
from numpy.testing import assert_allclose

from cringle.track.debrief.steady import CLEAR_AFTER_S, find_steady, over_polar, steady_csv
from cringle.track.frozen_polar import FrozenPolar
from cringle.track.simulator.options import SimCrew, SimOptions
from cringle.track.wind.estimate import estimate_wind
from cringle.track.wind.strength import entered_strength

LONG = SimOptions(laps=3, crew=SimCrew(heel_bias_deg=3.0, board_s=(120.0, 200.0)))


def test_stretches_are_clear_of_turns_and_true(simulated: Callable[..., Any]) -> None:
    found = simulated(LONG, 3)
    turns = [one.time for one in found.truth.manoeuvres]
    steady = find_steady(found.log, found.wind, found.structure, manoeuvres=turns)
    assert len(steady) >= 10
    for one in steady:
        since = [(one.start - at).total_seconds() for at in turns]
        assert all(gap >= CLEAR_AFTER_S - 1 or gap <= -one.seconds for gap in since)
        first = int((one.start - found.truth.start).total_seconds())
        rows = slice(first, first + one.seconds)
        assert_allclose(one.speed_kn, found.truth.speed_kn[rows].mean(), atol=0.15)
        assert_allclose(one.heel_deg, found.truth.heel_deg[rows].mean(), atol=0.3)
        side = "starboard" if np.median(found.truth.twa_deg[rows]) > 0 else "port"
        assert one.side == side


def test_csv_has_units_and_cases(simulated: Callable[..., Any]) -> None:
    found = simulated(LONG, 3)
    rows = list(csv.DictReader(io.StringIO(steady_csv(find_steady(found.log, found.wind, found.structure)))))
    assert {"tws_kn", "twa_deg", "speed_kn", "heel_deg", "seconds", "case"} <= set(rows[0])
    assert rows[0]["tws_kn"] == ""
    assert {row["case"] for row in rows} <= {"up", "soak furled", ""}


def test_over_the_polar(simulated: Callable[..., Any], sketch: FrozenPolar) -> None:
    found = simulated(LONG, 3)
    wind = estimate_wind(found.log, strength=entered_strength(10.0))
    assert wind is not None
    shares = over_polar(find_steady(found.log, wind, found.structure), sketch)
    up = next(one for one in shares if one.kind == "up")
    assert up.p10 <= up.p50 <= up.p90
    assert 0.85 < up.p50 < 1.08
    assert over_polar([], sketch) == ()
