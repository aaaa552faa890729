"""A whole simulated fleet: seeds, names, shared wind, and a course nobody can get round."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.testing import assert_allclose

from cringle.errors import NotConvergedError
from cringle.track.frozen_polar import FrozenPolar
from cringle.track.sim_options import SimOptions, SimWeather
from cringle.track.simulate import boat_name, simulate


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
