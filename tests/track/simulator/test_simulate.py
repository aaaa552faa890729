"""A whole simulated fleet: seeds, names, shared wind, and a course nobody can get round."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.errors import NotConvergedError
from cringle.track.frozen_polar import FrozenPolar, sketch_polar
from cringle.track.simulator.options import SimOptions, SimSensors, SimWeather
from cringle.track.simulator.simulate import boat_name, simulate


def test_same_seed_same_race_other_seed_another(sketch: FrozenPolar) -> None:
    options = SimOptions(boats=2, laps=1)
    first, again, other = (simulate(options, sketch, seed) for seed in (5, 5, 6))
    for name, track in first.tracks.items():
        assert track.equals(again.tracks[name])
        assert first.truth[name].ledger_s == again.truth[name].ledger_s
    assert not first.tracks["Brindle"].equals(other.tracks["Brindle"])


def test_boats_share_the_wind_and_differ_otherwise(sketch: FrozenPolar) -> None:
    fleet = simulate(SimOptions(boats=3, laps=1), sketch, 7)
    rows = min(one.truth.twd_deg.size for one in fleet.boats)
    one, two, _ = (boat.truth for boat in fleet.boats)
    assert_allclose(one.twd_deg[:rows], two.twd_deg[:rows])
    assert not np.allclose(one.tws_kn[:rows], two.tws_kn[:rows])
    assert one.gun == two.gun
    assert fleet.fixes == sum(track.height for track in fleet.tracks.values())
    assert all(-1.0 <= boat.truth.heel_bias_deg <= 5.0 for boat in fleet.boats)


def test_a_boat_is_the_same_however_many_sail(sketch: FrozenPolar) -> None:
    names = [boat_name(number) for number in range(20)]
    assert len(set(names)) == 20
    assert names[8] == "Brindle-2"


def test_a_course_nobody_gets_round_is_an_error(sketch: FrozenPolar) -> None:
    stream = SimWeather(wind_kn=4.0, stream_kn=3.0, stream_to_deg=45.0)
    with pytest.raises(NotConvergedError, match="shorter leg"):
        simulate(SimOptions(weather=stream), sketch, 1)


@settings(max_examples=15, deadline=None)
@given(
    seed=st.integers(0, 2**31),
    wind_kn=st.floats(5.0, 22.0),
    laps=st.integers(1, 3),
    leg_m=st.floats(500.0, 1500.0),
    recalls=st.integers(0, 2),
    finish=st.sampled_from(["up", "down"]),
    rate=st.sampled_from([0.2, 1.0, 4.0]),
)
def test_any_race_holds_together(
    *, seed: int, wind_kn: float, laps: int, leg_m: float, recalls: int, finish: str, rate: float
) -> None:
    options = SimOptions(
        laps=laps,
        leg_m=leg_m,
        recalls=recalls,
        finish=finish,
        weather=SimWeather(wind_kn=wind_kn),
        sensors=SimSensors(rate_hz=rate),
    )
    boat = simulate(options, sketch_polar(), seed).boats[0]
    truth = boat.truth
    assert truth.finished
    assert len(truth.starts) == recalls + 1
    assert [one.kind for one in truth.legs].count("up") == laps
    assert [one.kind for one in truth.legs].count("run") == laps - (finish == "up")
    assert all(one.end == other.start for one, other in pairwise(truth.legs))
    times = [one.time for one in truth.manoeuvres]
    assert times == sorted(times)
    assert all(truth.gun <= at <= truth.legs[-1].end for at in times)
    assert all(-5.0 < one.metres_lost < 60.0 for one in truth.manoeuvres)
    assert np.isfinite(truth.speed_kn).all()
    assert 0.0 <= truth.speed_kn.min() <= truth.speed_kn.max() < 25.0
    total = sum(value for name, value in truth.ledger_s.items() if name != "total")
    assert_allclose(total, truth.ledger_s["total"], atol=1e-9)
    for values in boat.fixes.columns.values():
        assert np.isfinite(values).all()
