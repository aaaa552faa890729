from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from numpy.testing import assert_allclose

from cringle.track.reading.assemble import Key
from cringle.track.reading.join import LineClock, Reading
from cringle.track.reading.nmea import parse_block
from cringle.track.reading.nmea_readings import PREFERENCE, ReadingQueue
from cringle.track.reading.report import Tally
from cringle.track.schema import CHANNELS

Feed = Callable[..., ReadingQueue]
CLOCK = LineClock(np.array([0, 100]), np.array([0, 10_000_000]), 100_000.0)


@pytest.fixture
def feed(seal: Callable[[str], str]) -> Feed:
    def run(*blocks: list[str]) -> ReadingQueue:
        queue, tally = ReadingQueue(), Tally()
        for block in blocks:
            queue.take(parse_block("".join(seal(body) + "\n" for body in block).encode(), tally))
        return queue

    return run


def released(queue: ReadingQueue, before: int | None = None) -> dict[Key, Reading]:
    return queue.release(CLOCK, before)


def test_magnetic_heading_is_made_true_with_the_variation_of_the_log(feed: Feed) -> None:
    queue = feed(["GPRMC,000000,A,5400.0,N,01000.0,E,5.0,45.0,030526,15.0,E,A", "IIHDM,350,M"])
    heading = released(queue)["heading", "HDM"].values
    assert_allclose(heading["hdg"], [5.0])
    assert_allclose(heading["hdg_mag"], [350.0])
    assert queue.medians == [15.0]


def test_the_variation_of_hdg_itself(feed: Feed) -> None:
    assert_allclose(released(feed(["HCHDG,2.0,,,3.0,W"]))["heading", "HDG"].values["hdg"], [359.0])


def test_without_variation_only_the_magnetic_heading_is_known(feed: Feed) -> None:
    heading = released(feed(["IIHDM,350,M"]))["heading", "HDM"].values
    assert np.isnan(heading["hdg"]).all()
    assert_allclose(heading["hdg_mag"], [350.0])


def test_the_last_variation_before_a_line_counts_also_from_an_earlier_block(feed: Feed) -> None:
    rmc = "GPRMC,000000,A,5400.0,N,01000.0,E,5.0,45.0,030526,{},E,A"
    queue = feed([rmc.format("15.0"), "IIHDM,100,M"], ["IIHDM,100,M", rmc.format("16.0"), "IIHDM,100,M"])
    assert_allclose(released(queue)["heading", "HDM"].values["hdg"], [115.0, 115.0, 116.0])


def test_magnetic_wind_direction(feed: Feed) -> None:
    rmc = "GPRMC,000000,A,5400.0,N,01000.0,E,5.0,45.0,030526,15.0,E,A"
    wind = released(feed([rmc, "WIMWD,,T,200.0,M,9.0,N,4.6,M"]))["wind_direction", "MWD"].values
    assert_allclose(wind["twd"], [215.0])
    assert sorted(wind) == ["twd", "tws"]


def test_relative_and_true_wind_of_the_same_sentence_type(feed: Feed) -> None:
    queue = feed(["WIMWV,040.0,R,12.0,N,A", "WIMWV,055.0,T,9.0,N,A"])
    ready = released(queue)
    assert_allclose(ready["apparent_wind", "MWV"].values["awa"], [40.0])
    assert_allclose(ready["true_wind", "MWV"].values["twa"], [55.0])


def test_empty_readings_are_not_kept(feed: Feed) -> None:
    assert all(len(one.line) == 0 for one in released(feed(["IIHDT,,T", "IIVHW,,T,,M,,N,,K"])).values())


def test_readings_wait_for_the_fix_after_them(feed: Feed) -> None:
    queue = feed(["TIROT,1.0,A", "TIROT,2.0,A", "TIROT,3.0,A"])
    assert_allclose(released(queue, 2)["rate_of_turn", "ROT"].values["rot"], [1.0, 2.0])
    assert_allclose(released(queue)["rate_of_turn", "ROT"].time, [200_000])
    assert released(queue) == {}


def test_readings_far_from_any_fix_are_counted_and_dropped(feed: Feed) -> None:
    queue = feed(["TIROT,1.0,A"] * 150)
    late = LineClock(np.array([0]), np.array([0]), 100_000.0)
    assert len(queue.release(late, None)["rate_of_turn", "ROT"].line) == 101
    assert queue.untimed == 49


def test_every_channel_has_a_source() -> None:
    assert set(PREFERENCE) == set(CHANNELS)


def test_a_true_heading_that_is_given_stands(feed: Feed) -> None:
    rmc = "GPRMC,000000,A,5400.0,N,01000.0,E,5.0,45.0,030526,15.0,E,A"
    heading = released(feed([rmc, "IIVHW,100.0,T,90.0,M,5.0,N,9.3,K"]))["heading", "VHW"].values
    assert_allclose(heading["hdg"], [100.0])
    assert_allclose(heading["hdg_mag"], [90.0])
