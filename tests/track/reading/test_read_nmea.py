"""The recorded logs, each with its trap."""

from __future__ import annotations

from datetime import UTC, date, datetime
from pathlib import Path

import numpy as np
import polars as pl
import pytest
from numpy.testing import assert_allclose

from cringle.errors import InputError, LogError
from cringle.track.reading.chunks import Source
from cringle.track.reading.nmea import parse_block
from cringle.track.reading.options import ReadOptions
from cringle.track.reading.read import TrackLog, read_log
from cringle.track.reading.read_nmea import NmeaPass
from cringle.track.reading.report import Tally

LOGS = Path(__file__).parents[2] / "data" / "logs"


@pytest.fixture(scope="module")
def tacks() -> TrackLog:
    return read_log(LOGS / "upwind-tacks-2008.log")


@pytest.fixture(scope="module")
def reach() -> TrackLog:
    return read_log(LOGS / "reach-heel-2018.log")


def test_the_clock_in_steps_of_ten_seconds_is_rebuilt_to_two_seconds_exactly(tacks: TrackLog) -> None:
    steps = tacks.track["time"].diff().drop_nulls().dt.total_milliseconds().unique().to_list()
    assert steps == [2000]
    assert tacks.track.height == 1105
    assert tacks.report.start == datetime(2008, 7, 14, 19, 43, 16, tzinfo=UTC)
    assert tacks.report.end == datetime(2008, 7, 14, 20, 20, 4, tzinfo=UTC)
    assert list(tacks.report.clock_repairs) == ["coarse_clock"]
    assert tacks.report.duplicates == 0


def test_the_rebuilt_track_is_that_of_the_one_hertz_table(tacks: TrackLog) -> None:
    table = read_log(LOGS / "upwind-tacks-2008-1hz.csv").track
    assert table["time"].equals(tacks.track["time"])
    for column in ("lat", "lon"):
        assert_allclose(tacks.track[column], table[column], atol=5.1e-7)
    for column in ("sog", "cog"):
        assert_allclose(tacks.track[column], table[column], atol=1e-12)


def test_channels_without_a_time_of_their_own_are_timed_within_one_step_of_the_clock(tacks: TrackLog) -> None:
    table = pl.read_csv(LOGS / "upwind-tacks-2008-1hz.csv").drop_nulls("hdm_deg_mag")
    theirs = table["utc"].str.to_datetime("%Y-%m-%dT%H:%M:%SZ", time_unit="us").dt.epoch("us").to_numpy()
    ours = tacks.side["heading"].filter(pl.col("source") == "HDM")
    assert abs(ours.height - len(theirs)) < 5
    count = min(ours.height, len(theirs))
    error = ours["time"].dt.epoch("us").to_numpy()[:count] - theirs[:count]
    assert np.abs(error).max() < 4e6
    assert np.abs(np.median(error)) < 2e6


def test_heading_is_made_true_with_the_variation_of_15_east(tacks: TrackLog) -> None:
    assert tacks.report.magnetic_variation_deg == 15.0
    turn = (tacks.track["hdg"] - tacks.track["hdg_mag"] - 15.0).to_numpy()
    assert_allclose((turn + 180.0) % 360.0 - 180.0, 0.0, atol=1e-9)


def test_an_apparent_wind_of_exactly_zero_is_a_value(tacks: TrackLog) -> None:
    wind = tacks.side["apparent_wind"]["awa"]
    assert (wind == 0.0).sum() > 0
    assert wind.null_count() == 0
    assert wind.min() < -90.0 < 90.0 < wind.max()


def test_a_lossy_line_is_counted_exactly() -> None:
    tally = Tally()
    parse_block((LOGS / "lossy-line-2016.nmea").read_bytes(), tally)
    bad, unframed = tally.skipped["bad_checksum"], tally.skipped["not_framed"]
    assert (tally.lines_read - bad - unframed, bad, unframed) == (3100, 303, 597)
    assert "no_checksum" not in tally.skipped
    assert "other_text" not in tally.skipped


def test_starboard_wind_gives_negative_heel_and_one_sentence_five_values(reach: TrackLog) -> None:
    track = reach.track
    assert track["awa"].min() > 45.0
    assert track["roll"].mean() < 0.0
    assert reach.side["attitude"].height == reach.side["rudder"].height == 148
    assert track["pitch"].mean() > 0.0
    assert 90.0 <= track["twa"].min() <= track["twa"].max() <= 102.0
    assert reach.side["heading"].filter(pl.col("source") == "HDG")["hdg_mag"].min() >= 228.0


def test_mixed_rates_join_one_row_a_second(reach: TrackLog) -> None:
    assert reach.track.height == 145
    assert 9.0 < reach.side["heading"].filter(pl.col("source") == "HDG").height / 146.0 < 11.0
    assert reach.track["hdg"].null_count() == 0


def test_a_log_without_date_asks_and_then_uses_the_day_given() -> None:
    path = LOGS / "motoring-2014.log"
    with pytest.raises(InputError, match="--date"):
        read_log(path)
    log = read_log(path, date=date(2014, 6, 1))
    assert log.report.date_source == "given"
    assert log.track.height == 7250
    assert log.report.start == datetime(2014, 6, 1, 9, 55, 59, tzinfo=UTC)
    assert log.report.fix_source == "GPGLL"


def test_empty_headings_stay_unknown_and_void_winds_are_counted() -> None:
    log = read_log(LOGS / "motoring-2014.log", date=date(2014, 6, 1))
    assert log.track["hdg"].null_count() == log.track.height
    assert "heading" not in log.side
    assert log.report.lines_skipped["void_fix"] == 15


def test_malformed_numbers_under_a_good_checksum_are_bad_fields() -> None:
    log = read_log(LOGS / "malformed-xdr-2014.log")
    assert log.report.lines_skipped["bad_field"] == 141
    assert "bad_checksum" not in log.report.lines_skipped
    assert all("XDR" in one.text for one in log.report.first_bad)
    assert log.track["roll"].null_count() == log.track["rudder"].null_count() == log.track.height


def test_numeric_talkers_and_a_wind_without_status() -> None:
    tally = Tally()
    tables = parse_block((LOGS / "numeric-talkers-2014.log").read_bytes(), tally).tables
    assert {kind: len(table.line) for kind, table in tables.items()} == {"HDG": 123, "HDM": 247, "MWV": 147}
    assert tally.skipped == {"unknown": 24}
    assert_allclose(tables["MWV"].values["awa"][0], -32.4)
    with pytest.raises(LogError, match="247 HDM"):
        read_log(LOGS / "numeric-talkers-2014.log")


@pytest.mark.parametrize(
    "name", ["upwind-tacks-2008.log", "motoring-2014.log", "lossy-line-2016.nmea", "reach-heel-2018.log"]
)
def test_nothing_depends_on_where_blocks_end(name: str) -> None:
    options = ReadOptions(date=date(2014, 6, 1))
    whole = read_log(LOGS / name, options=options)
    parts = read_log(LOGS / name, options=ReadOptions(date=date(2014, 6, 1), block_bytes=30_011))
    assert parts.track.equals(whole.track)
    assert parts.report == whole.report
    assert all(parts.side[channel].equals(whole.side[channel]) for channel in whole.side)


def test_every_line_is_accounted_for() -> None:
    for path in sorted(LOGS.glob("*[og]*")):
        if path.suffix not in (".log", ".nmea"):
            continue
        work = NmeaPass(Source(path), ReadOptions(date=date(2014, 6, 1)))
        list(work.pieces())
        report = work.report()
        assert report.lines_read == report.lines_good + sum(report.lines_skipped.values())
        assert report.lines_read == path.read_bytes().rstrip(b"\n").count(b"\n") + 1
