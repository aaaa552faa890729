from __future__ import annotations

import os
from collections.abc import Callable
from datetime import date
from pathlib import Path

import polars as pl
import pytest

from cringle.errors import BookError, InputError, LogError
from cringle.track.reading.options import ReadOptions
from cringle.track.reading.parts import (
    kept_options,
    new_directory,
    options_to_dict,
    read_log_to_parts,
    read_parts,
    read_report,
)
from cringle.track.reading.read import read_log


@pytest.fixture
def evening(write_log: Callable[..., Path], rmc_body: Callable[..., str]) -> Path:
    return write_log(
        [line for one in range(300) for line in (rmc_body(one), "IIVWR,040,R,12.0,N,6.2,M,22.2,K")]
    )


def test_parts_hold_the_same_as_the_whole(evening: Path, tmp_path: Path) -> None:
    options = ReadOptions(block_bytes=3000)
    report = read_log_to_parts(evening, tmp_path / "parts", options=options)
    assert len(list((tmp_path / "parts").glob("track-*.parquet"))) > 5
    back, whole = read_parts(tmp_path / "parts"), read_log(evening)
    assert back.track.equals(whole.track)
    assert sorted(back.side) == sorted(whole.side)
    assert all(back.side[channel].equals(whole.side[channel]) for channel in whole.side)
    assert back.report == report == read_report(tmp_path / "parts") == whole.report


def test_parts_out_of_order_come_back_in_order(
    write_log: Callable[..., Path], rmc_body: Callable[..., str], tmp_path: Path
) -> None:
    bodies = [rmc_body(one) for one in range(100)]
    path = write_log(bodies[50:] + bodies[:60])
    read_log_to_parts(path, tmp_path / "parts", options=ReadOptions(block_bytes=700))
    back = read_parts(tmp_path / "parts")
    assert back.track["time"].is_sorted()
    assert back.report.rows == back.track.height == 100


def test_a_log_that_cannot_be_read_leaves_nothing(tmp_path: Path, write_log: Callable[..., Path]) -> None:
    with pytest.raises(LogError):
        read_log_to_parts(write_log(["IIHDM,303,M"]), tmp_path / "out" / "parts")
    with pytest.raises(InputError):
        read_log_to_parts(write_log(["GPGLL,5400.0,N,01000.0,E,120000,A"]), tmp_path / "out" / "parts")
    assert list((tmp_path / "out").iterdir()) == []


def test_an_interruption_leaves_nothing_and_the_old_parts_stay(evening: Path, tmp_path: Path) -> None:
    read_log_to_parts(evening, tmp_path / "out" / "parts")
    before = read_parts(tmp_path / "out" / "parts").track

    def stop(done: int, total: int) -> None:
        if done > total // 2:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        read_log_to_parts(
            evening, tmp_path / "out" / "parts", options=ReadOptions(block_bytes=2000), progress=stop
        )
    assert [one.name for one in (tmp_path / "out").iterdir()] == ["parts"]
    assert read_parts(tmp_path / "out" / "parts").track.equals(before)


def test_parts_are_replaced_as_a_whole(evening: Path, tmp_path: Path) -> None:
    read_log_to_parts(evening, tmp_path / "parts", options=ReadOptions(block_bytes=2000))
    read_log_to_parts(evening, tmp_path / "parts", options=ReadOptions(wind_height_m=9.0))
    assert len(list((tmp_path / "parts").glob("track-*.parquet"))) == 2
    assert kept_options(tmp_path / "parts")["wind_height_m"] == 9.0


def test_damaged_parts_say_so(evening: Path, tmp_path: Path) -> None:
    read_log_to_parts(evening, tmp_path / "parts")
    part = next((tmp_path / "parts").glob("track-*.parquet"))
    part.write_bytes(part.read_bytes()[:100])
    with pytest.raises(BookError, match="damaged"):
        read_parts(tmp_path / "parts")
    with pytest.raises(BookError, match="original is kept"):
        read_parts(tmp_path / "nowhere")


def test_a_full_disk_is_a_clear_error(evening: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: object, **__: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(pl.DataFrame, "write_parquet", full)
    with pytest.raises(BookError, match="No space left"):
        read_log_to_parts(evening, tmp_path / "out" / "parts")
    assert list((tmp_path / "out").iterdir()) == []


def test_a_place_that_cannot_be_written(evening: Path, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(BookError, match="cannot be written"):
        read_log_to_parts(evening, tmp_path / "file" / "parts")


def test_every_file_is_synced_before_it_shows(
    evening: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    synced: list[str] = []
    real = os.fsync

    def note(handle: int) -> None:
        synced.append(Path(f"/proc/self/fd/{handle}").readlink().name)
        real(handle)

    monkeypatch.setattr(os, "fsync", note)
    read_log_to_parts(evening, tmp_path / "out" / "parts")
    written = {one.name for one in (tmp_path / "out" / "parts").iterdir()}
    assert written <= set(synced)
    assert synced[-1] == "out"


def test_a_new_directory_shows_only_when_finished(tmp_path: Path) -> None:
    with new_directory(tmp_path / "made") as target:
        (target / "x").write_text("x")
        assert not (tmp_path / "made").exists()
    assert (tmp_path / "made" / "x").exists()


def test_options_as_plain_values() -> None:
    plain = options_to_dict(ReadOptions(date=date(2026, 5, 3), columns={"heel": "roll_deg"}))
    assert plain["date"] == "2026-05-03"
    assert plain["columns"] == {"heel": "roll_deg"}
    assert "block_bytes" not in plain
