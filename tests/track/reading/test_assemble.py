from __future__ import annotations

import numpy as np
import polars as pl
import pytest
from numpy.testing import assert_allclose

from cringle.track.reading.assemble import Assembler, Fixes, number_series, time_series
from cringle.track.reading.join import Reading
from cringle.track.schema import CHANNELS, TRACK_SCHEMA, side_schema

PREFERENCE: dict[str, tuple[str, ...]] = {**dict.fromkeys(CHANNELS, ("A",)), "heading": ("A", "B")}


def fixes(*seconds: float, **values: list[float]) -> Fixes:
    time = np.array([round(one * 1e6) for one in seconds], dtype=np.int64)
    position = {"lat": np.full(len(time), 54.0), "lon": np.arange(len(time)) / 1000.0}
    return Fixes(
        np.arange(len(time)), time, {**position, **{name: np.array(one) for name, one in values.items()}}
    )


def reading(seconds: list[float], **values: list[float]) -> Reading:
    time = np.array([round(one * 1e6) for one in seconds], dtype=np.int64)
    return Reading(np.arange(len(time)), time, {name: np.array(one) for name, one in values.items()})


def test_schema_of_track_and_side_tables() -> None:
    made = Assembler(PREFERENCE).piece(fixes(1, 2, 3), {("water_speed", "A"): reading([1.0], stw=[5.0])})
    assert dict(made.track.schema) == TRACK_SCHEMA
    assert dict(made.side["water_speed"].schema) == side_schema("water_speed")
    assert made.track["stw"].to_list() == [5.0, 5.0, 5.0]
    assert made.track["hdg"].null_count() == 3


def test_better_sources_first_and_others_fill_in() -> None:
    made = Assembler(PREFERENCE).piece(
        fixes(1, 9),
        {
            ("heading", "A"): reading([1.0], hdg=[10.0]),
            ("heading", "B"): reading([1.0, 9.0], hdg=[20.0, 30.0]),
        },
    )
    assert made.track["hdg"].to_list() == [10.0, 30.0]
    assert made.side["heading"].height == 3
    assert made.side["heading"]["source"].to_list() == ["A", "B", "B"]


def test_readings_reach_over_the_edge_of_a_piece() -> None:
    assembler = Assembler(PREFERENCE)
    assembler.piece(fixes(1.0), {("water_speed", "A"): reading([0.5], stw=[5.0])})
    later = assembler.piece(fixes(2.0, 3.0), {})
    assert later.track["stw"].to_list() == [5.0, None]
    assert later.side == {}


def test_sorted_with_one_row_for_each_time() -> None:
    assembler = Assembler(PREFERENCE)
    made = assembler.piece(fixes(1, 3, 2, 3, 4), {})
    assert made.track["time"].dt.epoch("s").to_list() == [1, 2, 3, 4]
    assert (assembler.account.duplicates, assembler.account.backward, assembler.account.rows) == (1, 1, 4)
    again = assembler.piece(fixes(4, 5), {})
    assert again.track.height == 1
    assert assembler.account.duplicates == 2


def test_gaps_are_listed_and_kept() -> None:
    assembler = Assembler(PREFERENCE)
    assembler.piece(fixes(1, 2, 3, 100), {})
    assembler.piece(fixes(101, 102, 300), {})
    assert assembler.account.gap_count == 2
    assert [gap.seconds for gap in assembler.account.gaps] == [97.0, 198.0]
    assert assembler.account.rows == 7


def test_a_slow_logger_has_no_gaps() -> None:
    assembler = Assembler(PREFERENCE)
    assembler.piece(fixes(*range(0, 300, 10)), {})
    assert assembler.account.gap_count == 0


def test_true_wind_speed_is_brought_to_ten_metres() -> None:
    wind = {("true_wind", "A"): reading([1.0, 1.5], twa=[40.0, 40.0], tws=[10.0, np.nan])}
    made = Assembler(PREFERENCE, wind_height_m=2.0).piece(fixes(1.0), dict(wind))
    assert_allclose(made.track["tws"], [10.0 * np.log(10 / 0.0002) / np.log(2 / 0.0002)])
    assert made.side["true_wind"]["tws"].null_count() == 1
    same = Assembler(PREFERENCE, wind_height_m=10.0).piece(fixes(1.0), dict(wind))
    assert same.track["tws"].to_list() == [10.0]


def test_what_the_fix_itself_carries_comes_first() -> None:
    made = Assembler(PREFERENCE).piece(
        fixes(1, 2, sog=[7.0, np.nan]), {("ground", "A"): reading([1.0], sog=[3.0], cog=[90.0])}
    )
    assert made.track["sog"].to_list() == [7.0, 3.0]
    assert made.track["cog"].to_list() == [90.0, 90.0]


def test_no_fixes() -> None:
    made = Assembler(PREFERENCE).piece(fixes(), {("water_speed", "A"): reading([1.0], stw=[5.0])})
    assert made.track.height == 0
    assert dict(made.track.schema) == TRACK_SCHEMA


@pytest.mark.parametrize("values", [[1.0, np.nan], []])
def test_series(values: list[float]) -> None:
    made = number_series("x", np.array(values))
    assert made.null_count() == int(np.isnan(values).sum())
    assert time_series("time", np.array([0])).dtype == pl.Datetime("us", "UTC")


def test_side_tables_are_in_time_order_over_all_sources() -> None:
    readings = {
        ("heading", "A"): reading([5.0], hdg=[10.0]),
        ("heading", "B"): reading([1.0, 9.0], hdg=[20.0, 30.0]),
    }
    table = Assembler(PREFERENCE).piece(fixes(1, 9), readings).side["heading"]
    assert table["time"].is_sorted()
    assert table["source"].to_list() == ["B", "A", "B"]


def test_readings_that_come_out_of_order_are_sorted() -> None:
    made = Assembler(PREFERENCE).piece(
        fixes(1, 2, 3), {("water_speed", "A"): reading([3.0, 1.0], stw=[6.0, 5.0])}
    )
    assert made.track["stw"].to_list() == [5.0, 5.0, 6.0]


def test_a_pause_of_five_usual_steps_is_no_gap_yet() -> None:
    assembler = Assembler(PREFERENCE)
    assembler.piece(fixes(0, 2, 4, 6, 16, 27), {})
    assert [gap.seconds for gap in assembler.account.gaps] == [11.0]
