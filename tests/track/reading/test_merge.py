from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest

from cringle.errors import InputError
from cringle.track.reading.merge import merge_heel
from cringle.track.reading.options import ReadOptions
from cringle.track.reading.read import TrackLog, read_log
from cringle.track.schema import TRACK_SCHEMA, side_schema


@pytest.fixture
def evening(write_log: Callable[..., Path], rmc_body: Callable[..., str]) -> TrackLog:
    bodies = [line for one in range(60) for line in (rmc_body(one), "IIXDR,A,1.0,D,ROLL,A,2.0,D,PITCH")]
    return read_log(write_log(bodies))


@pytest.fixture
def phone(tmp_path: Path) -> Callable[..., Path]:
    def write(head: str = "time_utc,roll_deg", shift: int = 0, pitch: str = "") -> Path:
        rows = [f"2026-05-03T00:00:{one + shift:02d}.500Z,{-one}{pitch}" for one in range(20)]
        path = tmp_path / "phone.csv"
        path.write_text("\n".join([head, *rows, ""]), encoding="utf-8")
        return path

    return write


def test_heel_joins_by_time(evening: TrackLog, phone: Callable[..., Path]) -> None:
    log = merge_heel(evening, phone(shift=10))
    assert dict(log.track.schema) == TRACK_SCHEMA
    assert dict(log.side["attitude"].schema) == side_schema("attitude")
    assert log.track["roll"].to_list()[9:14] == [1.0, 1.0, 0.0, -1.0, -2.0]
    assert log.track["roll"][31] == -19.0
    assert log.track["roll"][33] == 1.0
    assert log.track["pitch"].to_list() == evening.track["pitch"].to_list()
    assert set(log.side["attitude"]["source"]) == {"XDR", "CSV"}
    assert log.report.notes == ("heel from phone.csv joined to 21 of 60 fixes",)
    assert evening.track["roll"].to_list()[11:] == [1.0] * 49


def test_pitch_too_and_heel_to_port(evening: TrackLog, phone: Callable[..., Path]) -> None:
    log = merge_heel(evening, phone("time_utc,heel_to_port_deg,pitch_deg", pitch=",3"))
    assert log.track["roll"][5] == 4.0
    assert log.track["pitch"][5] == 3.0


def test_a_log_without_heel_gets_its_table(
    write_log: Callable[..., Path], rmc_body: Callable[..., str], phone: Callable[..., Path]
) -> None:
    log = merge_heel(read_log(write_log([rmc_body(one) for one in range(30)])), phone())
    assert log.side["attitude"].height == 20
    assert log.track["roll"].drop_nulls().len() == 22 - 1


def test_a_wrong_clock_is_told_and_put_right(evening: TrackLog, phone: Callable[..., Path]) -> None:
    path = phone(shift=0)
    path.write_text(path.read_text(encoding="utf-8").replace("T00:", "T02:"), encoding="utf-8")
    with pytest.raises(InputError, match=r"(?s)02:00:00 .*--heel-offset") as caught:
        merge_heel(evening, path)
    assert "2026-05-03" in str(caught.value)
    assert merge_heel(evening, path, offset_s=-7200.0).track["roll"][5] == -4.0


def test_a_csv_without_heel(evening: TrackLog, phone: Callable[..., Path]) -> None:
    with pytest.raises(InputError, match="roll_deg"):
        merge_heel(evening, phone("time_utc,pitch_deg"))
    with pytest.raises(InputError, match="heel_to_port_deg"):
        merge_heel(evening, phone("time_utc,heel_deg"))
    log = merge_heel(
        evening, phone("time_utc,heel_deg"), options=ReadOptions(columns={"heel_deg": "roll_deg"})
    )
    assert log.track["roll"][5] == -4.0


def test_seconds_from_a_start(evening: TrackLog, tmp_path: Path) -> None:
    path = tmp_path / "phone.csv"
    path.write_text("elapsed_s,roll_deg\n0,-10\n1,-11\n", encoding="utf-8")
    log = merge_heel(evening, path, options=ReadOptions(start=datetime(2026, 5, 3, 0, 0, 10, tzinfo=UTC)))
    assert log.track["roll"].to_list()[10:12] == [-10.0, -11.0]


def test_a_csv_with_no_usable_row(evening: TrackLog, tmp_path: Path) -> None:
    path = tmp_path / "phone.csv"
    path.write_text("time_utc,roll_deg\nsoon,5\n", encoding="utf-8")
    with pytest.raises(InputError, match="no row"):
        merge_heel(evening, path)
