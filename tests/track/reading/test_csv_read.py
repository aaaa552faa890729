from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cringle.errors import CringleError, InputError, LogError
from cringle.track.reading.chunks import Source
from cringle.track.reading.csv_read import CsvPass
from cringle.track.reading.options import ReadOptions
from cringle.track.reading.read import TrackLog, read_log

HEAD = "time_utc,lat_deg,lon_deg,sog_kn,cog_deg,roll_deg\n"


Read = Callable[..., TrackLog]


@pytest.fixture
def read(tmp_path: Path) -> Read:
    def from_text(text: str | bytes, **options: object) -> TrackLog:
        path = tmp_path / "evening.csv"
        path.write_bytes(text.encode() if isinstance(text, str) else text)
        return read_log(path, options=ReadOptions(**options))  # type: ignore[arg-type]

    return from_text


def test_directions_wrap_and_empty_is_null(read: Read) -> None:
    log = read(HEAD + "2026-05-03T17:00:00Z,54.1,10.2,5.0,360,-12\n2026-05-03T17:00:03Z,54.2,10.3,,,\n")
    assert log.track["cog"].to_list() == [0.0, None]
    assert log.track["sog"].to_list() == [5.0, None]
    assert log.track["roll"].to_list() == [-12.0, None]
    assert log.report.format == "csv"
    assert (log.report.lines_read, log.report.lines_good, log.report.rows) == (2, 2, 2)


def test_bad_rows_are_counted_with_their_line(read: Read) -> None:
    text = "# phone\n" + HEAD + "2026-05-03T17:00:00Z,54.1,10.2,5.0,90,1\nsoon,54.1,10.2,5,90,1\n"
    text += "2026-05-03T17:00:02Z,91,10.2,5,90,1\n2026-05-03T17:00:03Z,54.1,10.2,five,90,1\n"
    log = read(text)
    assert log.report.lines_skipped == {"bad_field": 3}
    assert [one.line for one in log.report.first_bad] == [4, 5, 6]
    assert log.report.lines_read == log.report.lines_good + 3


def test_rows_without_position_are_readings(read: Read) -> None:
    rows = ["00Z,,,4.0", "01Z,54.1,10.2,", "02Z,,,4.5"]
    text = "time_utc,lat,lon,stw_kn\n" + "".join(f"2026-05-03T17:00:{row}\n" for row in rows)
    log = read(text)
    assert log.track["stw"].to_list() == [4.0]
    assert log.side["water_speed"]["stw"].to_list() == [4.0, 4.5]


@pytest.mark.parametrize("size", [60, 150, 10_000])
def test_the_same_whatever_the_blocks(read: Read, size: int) -> None:
    rows = []
    for second in range(60):
        place = f"{54 + second / 1000},10" if second % 3 == 0 else ","
        rows.append(f"2026-05-03T17:00:{second:02d}Z,{place},5,{(350 + 7 * second) % 360},1")
    text = HEAD + "\n".join(rows) + "\n"
    assert read(text, block_bytes=size).track.equals(read(text).track)


@pytest.mark.parametrize("separator", [";", "\t"])
def test_other_separators_and_decimal_commas(read: Read, separator: str) -> None:
    text = HEAD + "2026-05-03T17:00:00Z,54.25,10.5,5.5,90,1\n"
    log = read(
        text.replace(",", separator).replace("54.25", "54,25").replace("5.5" + separator, "5,5" + separator)
    )
    assert (log.track["lat"][0], log.track["sog"][0]) == (54.25, 5.5)


def test_quoted_fields_marks_and_latin_letters(read: Read) -> None:
    text = '"time_utc","lat","lon","bemerkung"\n"2026-05-03T17:00:00Z","54.1","10.2","M\xf6we, links"\n'
    log = read(b"\xef\xbb\xbf" + text.encode("latin-1"))
    assert log.track["lat"].to_list() == [54.1]
    assert log.report.notes == ("columns not known and left out: bemerkung",)


def test_local_times_need_their_zone(read: Read) -> None:
    text = "time_local,lat,lon\n2026-05-03 19:00:00,54.1,10.2\n"
    assert read(text, time_zone="Europe/Berlin").track["time"][0] == datetime(2026, 5, 3, 17, tzinfo=UTC)
    for zone in (None, "Europe/Nowhere", "../etc/passwd"):
        with pytest.raises(InputError, match="--csv-zone"):
            read(text, time_zone=zone)


def test_times_without_a_zone_ask_for_one(read: Read) -> None:
    with pytest.raises(InputError, match="time_utc"):
        read("time,lat,lon\n2026-05-03 19:00:00,54.1,10.2\n")


def test_seconds_from_the_start_need_the_start(read: Read) -> None:
    text = "elapsed_s,lat,lon\n0,54.1,10.2\n1.5,54.1,10.2\n"
    start = datetime(2026, 5, 3, 17, tzinfo=UTC)
    log = read(text, start=start)
    assert log.track["time"][1] == datetime(2026, 5, 3, 17, 0, 1, 500_000, tzinfo=UTC)
    assert log.report.date_source == "given"
    with pytest.raises(InputError, match="when it started"):
        read(text)


def test_epochs(read: Read) -> None:
    log = read("epoch_ms,lat,lon\n1777827600000,54.1,10.2\n")
    assert log.track["time"][0] == datetime(2026, 5, 3, 17, tzinfo=UTC)


def test_weeks_are_added(read: Read) -> None:
    log = read("time_utc,lat,lon\n2006-09-17T12:00:00Z,54.1,10.2\n", shift_weeks=1024)
    assert log.track["time"][0] == datetime(2026, 5, 3, 12, tzinfo=UTC)


def test_magnetic_heading_with_variation(read: Read) -> None:
    log = read("time_utc,lat,lon,hdm_deg,variation_deg\n2026-05-03T17:00:00Z,54.1,10.2,358,3\n")
    assert (log.track["hdg"][0], log.track["hdg_mag"][0]) == (1.0, 358.0)


def test_no_positions_points_to_merging(read: Read) -> None:
    with pytest.raises(LogError, match="merge it by time"):
        read("time_utc,roll_deg\n2026-05-03T17:00:00Z,5\n")


def test_only_a_header(read: Read) -> None:
    with pytest.raises(LogError, match="no position fix"):
        read(HEAD)


def test_ragged_rows(read: Read) -> None:
    log = read(HEAD + "2026-05-03T17:00:00Z,54.1,10.2\n\n2026-05-03T17:00:01Z,54.1,10.2,5,90,1,extra,more\n")
    assert log.report.rows == 2
    assert log.report.lines_skipped == {"bad_field": 1}


_CELL = st.text(st.sampled_from('0123456789.,;-:TZ"\n\r\t#\x00é '), max_size=12)


@given(st.lists(st.lists(_CELL, max_size=7).map(",".join), max_size=6))
def test_any_text_is_read_or_refused_clearly(
    tmp_path_factory: pytest.TempPathFactory, rows: list[str]
) -> None:
    path = tmp_path_factory.mktemp("csv") / "evening.csv"
    path.write_text(HEAD + "\n".join(rows), encoding="utf-8")
    work = CsvPass(Source(path), ReadOptions())
    try:
        list(work.pieces())
    except CringleError:
        return
    report = work.report()
    assert report.lines_read == report.lines_good + sum(report.lines_skipped.values())


def test_remarks_between_rows_and_numbers_without_end(read: Read) -> None:
    rows = [
        "00Z,54.1,10.2,5.0,90,1",
        "01Z,54.1,10.2,5.0,inf,1",
        "02Z,54.1,10.2,nan,90,1",
        "03Z,54.1,10.2,5,90,1",
    ]
    text = HEAD + "# the phone slipped here\n".join(f"2026-05-03T17:00:{row}\n" for row in rows)
    log = read(text)
    assert (log.report.lines_read, log.report.lines_skipped) == (4, {"bad_field": 2})
    assert log.track["cog"].to_list() == [90.0, 90.0]
