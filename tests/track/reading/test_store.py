from __future__ import annotations

import subprocess
import sys
import time
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from cringle.errors import BookError, InputError, LogError
from cringle.track.reading import store as store_module
from cringle.track.reading.options import ReadOptions
from cringle.track.reading.read import read_log
from cringle.track.reading.store import list_stored, read_stored, store_log, stored_keys, verify_original


@pytest.fixture
def evening(write_log: Callable[..., Path], rmc_body: Callable[..., str]) -> Path:
    return write_log([rmc_body(one) for one in range(100)], "Evening 3 May.NMEA")


def test_original_byte_for_byte_and_track_beside_it(evening: Path, tmp_path: Path) -> None:
    stored = store_log(evening, tmp_path / "logs")
    assert stored.original.read_bytes() == evening.read_bytes()
    assert stored.original.name == "original.nmea"
    assert stored.name == "Evening 3 May.NMEA"
    assert verify_original(stored)
    assert not stored.already_there
    assert read_stored(tmp_path / "logs", stored.sha256).track.equals(read_log(evening).track)


def test_storing_twice_changes_nothing(evening: Path, tmp_path: Path) -> None:
    store_log(evening, tmp_path / "logs")
    before = {one: one.stat().st_mtime_ns for one in (tmp_path / "logs").rglob("*")}
    again = store_log(evening, tmp_path / "logs")
    assert again.already_there
    assert {one: one.stat().st_mtime_ns for one in (tmp_path / "logs").rglob("*")} == before


def test_other_options_make_the_parts_anew_and_keep_the_original(evening: Path, tmp_path: Path) -> None:
    first = store_log(evening, tmp_path / "logs")
    inode = first.original.stat().st_ino
    again = store_log(evening, tmp_path / "logs", options=ReadOptions(shift_weeks=1))
    assert not again.already_there
    assert again.original.stat().st_ino == inode
    assert read_stored(tmp_path / "logs", again.sha256).track["time"][0].day == 10


def test_another_reader_version_makes_the_parts_anew(
    evening: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    store_log(evening, tmp_path / "logs")
    monkeypatch.setattr(store_module, "READER_VERSION", "next")
    assert not store_log(evening, tmp_path / "logs").already_there


def test_damaged_parts_are_made_anew(evening: Path, tmp_path: Path) -> None:
    stored = store_log(evening, tmp_path / "logs")
    next(stored.directory.glob("parts-*/report.json")).write_text("{", encoding="utf-8")
    assert list_stored(tmp_path / "logs") == []
    assert not store_log(evening, tmp_path / "logs").already_there
    assert len(list_stored(tmp_path / "logs")) == 1


@pytest.mark.parametrize("left", [0, 4, 700, -1])
def test_a_part_that_was_cut_short_is_named_and_made_anew(evening: Path, tmp_path: Path, left: int) -> None:
    stored = store_log(evening, tmp_path)
    whole = read_stored(tmp_path, stored.sha256).track
    part = next(stored.directory.glob("parts-*/track-*.parquet"))
    part.write_bytes(part.read_bytes()[:left])
    with pytest.raises(BookError, match="the stored track is damaged"):
        read_stored(tmp_path, stored.sha256)
    assert not store_log(evening, tmp_path).already_there
    assert read_stored(tmp_path, stored.sha256).track.equals(whole)
    assert store_log(evening, tmp_path).already_there


def test_a_part_that_is_missing_is_made_anew(evening: Path, tmp_path: Path) -> None:
    stored = store_log(evening, tmp_path)
    next(stored.directory.glob("parts-*/track-*.parquet")).unlink()
    assert not store_log(evening, tmp_path).already_there
    assert read_stored(tmp_path, stored.sha256).track.height == stored.report.rows


def test_a_lost_note_of_the_name_is_made_anew(evening: Path, tmp_path: Path) -> None:
    stored = store_log(evening, tmp_path / "logs")
    for text in ("[]", "{", None):
        (stored.directory / "log.json").unlink()
        if text is not None:
            (stored.directory / "log.json").write_text(text, encoding="utf-8")
        again = store_log(evening, tmp_path / "logs")
        assert not again.already_there
        assert read_stored(tmp_path / "logs", stored.sha256).track.height == 100


def test_only_the_current_parts_are_kept(evening: Path, tmp_path: Path) -> None:
    for weeks in range(3):
        stored = store_log(evening, tmp_path / "logs", options=ReadOptions(shift_weeks=weeks))
    assert len(list(stored.directory.glob("parts-*"))) == 1


def test_a_log_that_cannot_be_read_is_not_kept(tmp_path: Path, write_log: Callable[..., Path]) -> None:
    with pytest.raises(LogError) as caught:
        store_log(write_log(["IIHDM,303,M"], "no-fix.nmea"), tmp_path / "logs")
    assert "no-fix.nmea" in str(caught.value)
    with pytest.raises(InputError, match="--date"):
        store_log(write_log(["GPGLL,5400.0,N,01000.0,E,120000,A"]), tmp_path / "logs")
    with pytest.raises(LogError, match="no such file"):
        store_log(tmp_path / "none.log", tmp_path / "logs")
    assert stored_keys(tmp_path / "logs") == []


def test_a_log_that_grows_while_it_is_read_is_refused(
    evening: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    real = store_module._copy

    def copy_and_grow(path: Path, target: Path) -> str:
        digest = real(path, target)
        with path.open("ab") as stream:
            stream.write(b"more\r\n")
        return digest

    monkeypatch.setattr(store_module, "_copy", copy_and_grow)
    with pytest.raises(BookError, match="changed while it was read"):
        store_log(evening, tmp_path / "logs")
    assert stored_keys(tmp_path / "logs") == []


def test_listed_by_start_and_found_by_the_beginning_of_the_key(
    write_log: Callable[..., Path], rmc_body: Callable[..., str], tmp_path: Path
) -> None:
    late = store_log(write_log([rmc_body(one) for one in range(500, 520)], "late.log"), tmp_path / "logs")
    early = store_log(write_log([rmc_body(one) for one in range(20)], "early.log"), tmp_path / "logs")
    assert [one.name for one in list_stored(tmp_path / "logs")] == ["early.log", "late.log"]
    assert read_stored(tmp_path / "logs", late.sha256[:10]).report.sha256 == late.sha256
    for key in ("", "zz"):
        with pytest.raises(InputError, match=early.sha256[:12] if key == "zz" else "2 stored logs"):
            read_stored(tmp_path / "logs", key)


def test_what_a_killed_write_left_is_not_listed(evening: Path, tmp_path: Path) -> None:
    (tmp_path / "logs" / ".partial-abc").mkdir(parents=True)
    store_log(evening, tmp_path / "logs")
    assert len(stored_keys(tmp_path / "logs")) == 1
    assert stored_keys(tmp_path / "nowhere") == []


def test_options_are_kept(tmp_path: Path, write_log: Callable[..., Path]) -> None:
    path = write_log([f"GPGLL,5400.{one:03d},N,01000.000,E,1200{one:02d},A" for one in range(20)])
    options = ReadOptions(date=date(2026, 5, 3))
    store_log(path, tmp_path / "logs", options=options)
    assert store_log(path, tmp_path / "logs", options=options).already_there
    assert not store_log(path, tmp_path / "logs", options=ReadOptions(date=date(2026, 5, 4))).already_there


KEEP_STORING = """
import sys
from pathlib import Path
from cringle.track.reading.options import ReadOptions
from cringle.track.reading.store import store_log
log, logs = Path(sys.argv[1]), Path(sys.argv[2])
print("ready", flush=True)
for turn in range(10_000):
    store_log(log, logs, options=ReadOptions(shift_weeks=turn % 2 + 1, block_bytes=2000))
"""


@pytest.mark.parametrize("wait_s", [0.0, 0.003, 0.011, 0.017, 0.04, 0.07, 0.11, 0.19])
def test_a_killed_write_leaves_the_old_or_the_new_never_half(
    evening: Path, tmp_path: Path, wait_s: float
) -> None:
    logs = tmp_path / "logs"
    first = store_log(evening, logs)
    command = [sys.executable, "-c", KEEP_STORING, str(evening), str(logs)]
    with subprocess.Popen(command, stdout=subprocess.PIPE) as writer:
        assert writer.stdout is not None
        writer.stdout.readline()
        time.sleep(wait_s)
        writer.kill()
    assert stored_keys(logs) == [first.sha256]
    assert read_stored(logs, first.sha256).track.height == 100
    assert first.original.read_bytes() == evening.read_bytes()
    again = store_log(evening, logs)
    whole = read_stored(logs, first.sha256)
    assert whole.track.height == 100
    assert again.report.rows == 100
