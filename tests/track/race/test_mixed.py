"""Two boats in one file are told from one boat with a bad receiver."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import polars as pl
import pytest

from cringle.errors import InputError
from cringle.track.frozen_polar import sketch_polar
from cringle.track.race.mixed import refuse_mixed, share_to_and_fro
from cringle.track.reading.read import read_log
from cringle.track.simulator.options import SimOptions, SimSensors
from cringle.track.simulator.simulate import simulate
from cringle.track.simulator.write import write_csv

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


def test_two_boats_that_log_at_the_same_instants(tmp_path: Path) -> None:
    sensors = SimSensors(rate_hz=1.0)
    boats = simulate(replace(SHORT, sensors=sensors), sketch_polar(), 2).boats
    head, *first = write_csv(boats[0].fixes, "a").decode().splitlines()
    second = write_csv(boats[1].fixes, "b").decode().splitlines()[1:]
    path = tmp_path / "evening.csv"
    for lines in (sorted(first + second), first + second):
        path.write_text("\n".join([head, *lines]) + "\n", encoding="utf-8")
        log = read_log(path)
        assert log.report.elsewhere > 0.8 * log.report.duplicates > 0
        with pytest.raises(InputError, match="give another place at the same time: two boats in one file"):
            refuse_mixed(log.track, "evening.csv", elsewhere=log.report.elsewhere)


def test_fixes_written_twice_are_one_boat(tmp_path: Path) -> None:
    boat = simulate(replace(SHORT, sensors=SimSensors(rate_hz=1.0)), sketch_polar(), 2).boats[0]
    head, *rows = write_csv(boat.fixes, "a").decode().splitlines()
    path = tmp_path / "evening.csv"
    path.write_text("\n".join([head, *(row for row in rows for _ in range(2))]) + "\n", encoding="utf-8")
    log = read_log(path)
    assert (log.report.duplicates, log.report.elsewhere) == (len(rows), 0)
    refuse_mixed(log.track, "evening.csv", elsewhere=log.report.elsewhere)
