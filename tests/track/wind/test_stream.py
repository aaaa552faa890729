"""The stream taken off the track."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from typing import Any

import numpy as np
import pytest
from numpy.testing import assert_allclose

from cringle.errors import CringleError
from cringle.track.circle import difference_deg
from cringle.track.frozen_polar import sketch_polar
from cringle.track.reading.complete import complete
from cringle.track.series import series_of
from cringle.track.simulator.options import SimOptions, SimWeather
from cringle.track.simulator.simulate import simulate
from cringle.track.wind.estimate import NO_STREAM, estimate_wind
from cringle.track.wind.stream import Stream, through_water

OPTIONS = SimOptions(weather=SimWeather(stream_kn=1.0, stream_to_deg=315.0))


def test_a_boat_adrift_has_no_way_through_the_water(simulated: Callable[..., Any]) -> None:
    log = simulated(SimOptions(), 1).log
    drifting = replace(
        log, series=replace(log.series, sog=np.full(log.series.rows, 2.0), cog=np.full(log.series.rows, 90.0))
    )
    assert_allclose(through_water(drifting, Stream((2.0,), (90.0,))).series.sog, 0.0, atol=1e-9)


def test_a_known_stream_brings_the_direction_back() -> None:
    boat = simulate(OPTIONS, sketch_polar(), 3).boats[0]
    log = complete(series_of(boat.track()))
    rms = []
    for stream in (None, Stream((1.0,), (315.0,))):
        wind = estimate_wind(log, stream=stream)
        assert wind is not None
        assert (NO_STREAM in wind.notes) == (stream is None)
        off = difference_deg(wind.twd_deg[400:2000], boat.truth.twd_deg[400:2000])
        rms.append(float(np.sqrt((off**2).mean())))
    assert rms[1] < 4.0 < rms[0]


def test_a_series_and_mistakes() -> None:
    start = OPTIONS.start
    stream = Stream((0.0, 2.0), (0.0, 0.0), (start, start + timedelta(seconds=100)))
    north, east = stream.on_clock(start, 101)
    assert_allclose(north[[0, 50, 100]], [0.0, 1.0, 2.0])
    assert_allclose(east, 0.0, atol=1e-9)
    with pytest.raises(CringleError, match="differ"):
        Stream((1.0, 2.0), (0.0,))
    with pytest.raises(CringleError, match="current"):
        Stream((99.0,), (0.0,))
