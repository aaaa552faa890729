"""Legs, start, roundings and finish of simulated races against their truth."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from numpy.testing import assert_allclose

from cringle.track.frozen_polar import sketch_polar
from cringle.track.race.legs import find_legs, on_a_leg
from cringle.track.reading.complete import complete
from cringle.track.series import series_of
from cringle.track.simulator.options import SimOptions
from cringle.track.simulator.simulate import simulate
from cringle.track.wind.estimate import estimate_wind

CASES = {
    "plain": SimOptions(),
    "recalled": SimOptions(recalls=1),
    "upwind finish": SimOptions(finish="up"),
    "no offset": SimOptions(offset_m=0.0),
    "straight from the dock": SimOptions(tow_s=0.0, wait_s=60.0),
}


@pytest.mark.parametrize("name", list(CASES))
@pytest.mark.parametrize("seed", [1, 2])
def test_legs_against_truth(simulated: Callable[..., Any], name: str, seed: int) -> None:
    found = simulated(CASES[name], seed)
    structure, truth = found.structure, found.truth
    assert [one.kind for one in structure.legs] == [one.kind for one in truth.legs]
    late = [
        (mine.start_at - theirs.start).total_seconds()
        for mine, theirs in zip(structure.legs, truth.legs, strict=True)
    ]
    assert max(map(abs, late)) <= 10.0
    assert structure.finish is not None
    assert abs((structure.finish.at - truth.legs[-1].end).total_seconds()) <= 20.0
    assert len(structure.recalls) == len(truth.starts) - 1
    assert structure.abandoned == ()
    assert 0.6 < structure.confidence <= 1.0
    assert all(0.0 <= one.confidence <= 1.0 for one in structure.legs)


def test_marks_are_where_the_boat_rounded(simulated: Callable[..., Any]) -> None:
    structure = simulated(SimOptions(), 1).structure
    marks = {one.name: one for one in structure.marks}
    assert set(marks) == {"windward", "offset", "leeward"}
    lat, lon = marks["windward"].lat_deg, marks["windward"].lon_deg
    north, east = (lat - 54.2) * 111_340.0, (lon + 5.0) * 111_340.0 * np.cos(np.radians(54.2))
    assert_allclose(np.hypot(north, east), 1000.0, atol=40.0)
    assert marks["windward"].spread_m < 40.0


def test_everything_before_the_start_is_left_out(simulated: Callable[..., Any]) -> None:
    found = simulated(SimOptions(), 1)
    gun = int((found.truth.gun - found.truth.start).total_seconds())
    inside = on_a_leg(found.structure, np.arange(found.log.series.rows))
    assert not inside[: gun - 5].any()
    assert {"still", "slow"} <= {one.why for one in found.structure.excluded}
    covered = sum(one.end - one.first for one in found.structure.excluded) + inside.sum()
    assert covered == found.log.series.rows


def test_two_races_in_one_log_and_one_cut_off() -> None:
    boats = [simulate(SimOptions(laps=1), sketch_polar(), seed).boats[0].track() for seed in (1, 2)]
    import polars as pl

    later = boats[1].with_columns(pl.col("time") + pl.duration(hours=1))
    both = pl.concat([boats[0], later])
    log = complete(series_of(both))
    wind = estimate_wind(log)
    assert wind is not None
    structure = find_legs(log, wind)
    assert [one.race for one in structure.legs] == [1, 1, 1, 2, 2, 2]
    assert len(structure.starts) == len(structure.finishes) == 2
    cut = complete(series_of(both.head(both.height - 2000)))
    wind = estimate_wind(cut)
    assert wind is not None
    short = find_legs(cut, wind)
    assert short.abandoned == (2,)
    assert len(short.finishes) == 1


def test_nothing_sailed_is_no_structure(simulated: Callable[..., Any]) -> None:
    found = simulated(SimOptions(), 1)
    boat = simulate(SimOptions(dock_s=2000.0, laps=1), sketch_polar(), 1).boats[0]
    log = complete(series_of(boat.track().head(9000)))
    wind = found.wind
    rows = log.series.rows
    still = type(wind)(
        wind.twd_deg[:rows], wind.tws_kn[:rows], wind.twd_sd_deg[:rows], wind.tws_sd_kn[:rows], "track", None
    )
    structure = find_legs(log, still)
    assert structure.legs == ()
    assert structure.start is None
    assert structure.confidence == 0.0
