"""Two boats in one file are told from one boat with a bad receiver."""

from __future__ import annotations

from dataclasses import replace

import polars as pl
import pytest

from cringle.errors import InputError
from cringle.track.frozen_polar import sketch_polar
from cringle.track.sim_options import SimOptions, SimSensors
from cringle.track.simulate import simulate
from cringle.track.structure_mixed import refuse_mixed, share_to_and_fro

SHORT = SimOptions(boats=2, laps=1, leg_m=400.0, weather=SimOptions().weather)


def mixed(rates: tuple[float, float]) -> pl.DataFrame:
    boats = [
        simulate(replace(SHORT, sensors=SimSensors(rate_hz=rate)), sketch_polar(), 2).boats[number].track()
        for number, rate in enumerate(rates)
    ]
    late = boats[1].with_columns(pl.col("time") + pl.duration(milliseconds=70))
    return pl.concat([boats[0], late]).sort("time")


@pytest.mark.parametrize("rates", [(5.0, 5.0), (1.0, 1.0), (5.0, 1.0)])
def test_two_boats_of_one_race(rates: tuple[float, float]) -> None:
    with pytest.raises(InputError, match="two boats in one file"):
        refuse_mixed(mixed(rates), "evening.csv")


def test_one_boat_is_one_boat() -> None:
    boat = simulate(SHORT, sketch_polar(), 2).boats[0].track()
    assert share_to_and_fro(boat) == 0.0
    faulty = boat.with_columns(
        pl.when(pl.int_range(pl.len()) % 50 == 0)
        .then(pl.col("lat") + 0.01)
        .otherwise(pl.col("lat"))
        .alias("lat")
    )
    assert 0.01 < share_to_and_fro(faulty) < 0.03
    refuse_mixed(faulty, "evening.csv")
    refuse_mixed(boat.head(3), "evening.csv")
