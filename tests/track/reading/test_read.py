from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cringle.errors import CringleError, LogError
from cringle.track.reading.options import ReadOptions
from cringle.track.reading.read import read_log
from cringle.track.schema import TRACK_SCHEMA, side_schema


def test_an_evening(write_log: Callable[..., Path], rmc_body: Callable[..., str]) -> None:
    path = write_log(
        [line for one in range(60) for line in (rmc_body(one), "IIVWR,040,R,12.0,N,6.2,M,22.2,K")]
    )
    seen: list[tuple[int, int]] = []
    log = read_log(path, progress=lambda done, total: seen.append((done, total)))
    assert dict(log.track.schema) == TRACK_SCHEMA
    assert dict(log.side["apparent_wind"].schema) == side_schema("apparent_wind")
    assert (log.report.rows, log.report.fix_source, log.report.date_source) == (60, "GPRMC", "RMC")
    assert log.report.magnetic_variation_deg == 2.0
    assert log.report.start == datetime(2026, 5, 3, tzinfo=UTC)
    assert 0.9 < log.report.channels["apparent_wind"] < 1.1
    assert seen[-1] == (path.stat().st_size, path.stat().st_size)
    assert repr(log) == "TrackLog(nmea, 60 rows, 2026-05-03 00:00:00+00:00 to 2026-05-03 00:00:59+00:00)"


def test_a_log_joined_to_itself_has_only_duplicates(
    write_log: Callable[..., Path], rmc_body: Callable[..., str]
) -> None:
    bodies = [rmc_body(one) for one in range(60)]
    once = read_log(write_log(bodies, "once.nmea"))
    for size in (500, 1 << 20):
        twice = read_log(write_log(bodies * 2, "twice.nmea"), options=ReadOptions(block_bytes=size))
        assert twice.track.equals(once.track)
        assert twice.report.duplicates == 60
        assert twice.report.rows == 60
        assert twice.report.clock_repairs == {"backward": 1}


def test_parts_out_of_order_are_sorted(write_log: Callable[..., Path], rmc_body: Callable[..., str]) -> None:
    bodies = [rmc_body(one) for one in range(100)]
    log = read_log(write_log(bodies[50:] + bodies[:50]), options=ReadOptions(block_bytes=700))
    assert log.track["time"].is_sorted()
    assert log.report.rows == log.track.height == 100


def test_every_sentence_twice_gives_one_row_each(
    write_log: Callable[..., Path], rmc_body: Callable[..., str]
) -> None:
    log = read_log(write_log([rmc_body(one) for one in range(60) for _ in range(2)]))
    assert log.track.height == 60
    assert log.report.duplicates == 60
    assert log.report.clock_repairs == {}


def test_gaps_are_kept(write_log: Callable[..., Path], rmc_body: Callable[..., str]) -> None:
    log = read_log(write_log([rmc_body(one) for one in [*range(30), *range(900, 930)]]))
    assert log.report.gap_count == 1
    assert log.report.gaps[0].seconds == 871.0
    assert log.track.height == 60


def test_a_week_rollover_is_reported_not_applied(
    write_log: Callable[..., Path], rmc_body: Callable[..., str]
) -> None:
    path = write_log([rmc_body(one, day="170906") for one in range(20)])
    now = datetime(2026, 6, 1, tzinfo=UTC)
    log = read_log(path, options=ReadOptions(now=now))
    assert log.report.shifted_weeks is not None
    assert log.report.shifted_weeks.guess == datetime(2026, 5, 3, tzinfo=UTC)
    assert log.track["time"][0].year == 2006
    shifted = read_log(path, options=ReadOptions(now=now, shift_weeks=1024))
    assert shifted.track["time"][0] == datetime(2026, 5, 3, tzinfo=UTC)
    assert shifted.report.shifted_weeks is None


def test_a_cold_start_with_a_wrong_date_is_said(
    write_log: Callable[..., Path], rmc_body: Callable[..., str]
) -> None:
    cold = [rmc_body(one, day="010115") for one in range(5)]
    path = write_log([*cold, *(rmc_body(one) for one in range(5, 40))])
    log = read_log(path, options=ReadOptions(now=datetime(2026, 6, 1, tzinfo=UTC)))
    assert log.track.height == 40
    assert log.report.gap_count == 1
    assert "jumps by 4140 days" in log.report.notes[0]


def test_a_date_in_the_future_is_said(write_log: Callable[..., Path], rmc_body: Callable[..., str]) -> None:
    log = read_log(write_log([rmc_body(0)]), options=ReadOptions(now=datetime(2026, 5, 1, tzinfo=UTC)))
    assert "lies in the future" in log.report.notes[0]


def test_no_fix_says_what_there_is(write_log: Callable[..., Path]) -> None:
    with pytest.raises(LogError, match="2 HDM") as caught:
        read_log(write_log(["IIHDM,303,M", "IIHDM,304,M"]))
    assert "RMC, GGA or GLL" in str(caught.value)


@pytest.mark.parametrize(
    ("name", "text", "words"),
    [
        ("a.csv", "time_utc,lat,lon\n3 May,54,10\n", ["1 bad_field", "line 2", "3 May,54,10", "ISO 8601"]),
        (
            "a.gpx",
            "<gpx><trk><trkseg><trkpt lat='54' lon='10'/></trkseg></trk></gpx>",
            ["1 bad_field", "every point"],
        ),
        ("a.log", "$GPRMC,120000,V,,,,,,,030526,,,N*52\n", ["1 void_fix", "line 1"]),
    ],
)
def test_no_fix_shows_the_first_bad_line_and_what_to_do(
    tmp_path: Path, name: str, text: str, words: list[str]
) -> None:
    path = tmp_path / name
    path.write_text(text, encoding="utf-8")
    with pytest.raises(LogError) as caught:
        read_log(path)
    assert all(word in str(caught.value) for word in words), str(caught.value)


def test_sentences_without_checksum_when_asked(tmp_path: Path) -> None:
    path = tmp_path / "old.log"
    path.write_text("".join(f"$GPGLL,5400.{one:03d},N,01000.000,E,1200{one:02d},A\r\n" for one in range(20)))
    with pytest.raises(LogError, match="no position fix"):
        read_log(path)
    log = read_log(path, date=datetime(2026, 5, 3).date(), options=ReadOptions(accept_no_checksum=True))
    assert log.track.height == 20


def test_a_truncated_log_loses_only_its_last_line(
    write_log: Callable[..., Path], rmc_body: Callable[..., str]
) -> None:
    path = write_log([rmc_body(one) for one in range(30)])
    path.write_bytes(path.read_bytes()[:-20])
    log = read_log(path)
    assert log.track.height == 29
    assert log.report.lines_skipped == {"not_framed": 1}


def test_text_binary_and_gigantic_lines_between_sentences(
    write_log: Callable[..., Path], rmc_body: Callable[..., str]
) -> None:
    path = write_log([rmc_body(one) for one in range(30)])
    clean = read_log(path).track
    lines = path.read_bytes().splitlines(keepends=True)
    noise = [
        b"time,lat,lon\n",
        bytes(range(14, 256)) + b"\n",
        b"$" * 300_000 + b"\n",
        "fünf\n".encode("latin-1"),
    ]
    path.write_bytes(b"".join([*lines[:10], *noise, *lines[10:]]))
    log = read_log(path)
    assert log.track.equals(clean)
    assert log.report.lines_skipped == {"not_framed": 1, "other_text": 3}


def test_a_wide_log_is_refused(tmp_path: Path, rmc_body: Callable[..., str]) -> None:
    path = tmp_path / "wide.log"
    path.write_text(rmc_body(0), encoding="utf-16")
    with pytest.raises(LogError):
        read_log(path)


@given(st.binary(max_size=300))
def test_any_bytes_are_read_or_refused_clearly(tmp_path_factory: pytest.TempPathFactory, data: bytes) -> None:
    path = tmp_path_factory.mktemp("any") / "a.log"
    path.write_bytes(data)
    with pytest.raises(CringleError):
        read_log(path)


SENTENCE = b"$GPGLL,5400.001,N,01000.000,E,120000,A*3E\n"


@given(
    st.lists(st.one_of(st.just(SENTENCE), st.binary(max_size=40)), min_size=1, max_size=12).map(b"\n".join)
)
def test_mixed_bytes_are_accounted_for(tmp_path_factory: pytest.TempPathFactory, data: bytes) -> None:
    path = tmp_path_factory.mktemp("mixed") / "a.log"
    path.write_bytes(b"$\n" + data)
    try:
        report = read_log(path, date=datetime(2026, 5, 3).date()).report
    except CringleError:
        return
    assert report.lines_read == report.lines_good + sum(report.lines_skipped.values())
