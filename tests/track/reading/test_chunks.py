from __future__ import annotations

import hashlib
from pathlib import Path

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from cringle.errors import LogError
from cringle.track.reading.chunks import (
    BYTE_ORDER_MARK,
    CUT_MARK,
    LONGEST_LINE,
    Source,
    iter_blocks,
    no_progress,
)


def blocks_of(path: Path, size: int) -> list[bytes]:
    return list(iter_blocks(Source(path), size))


def test_blocks_end_with_lines_and_make_up_the_file(tmp_path: Path) -> None:
    path = tmp_path / "a.log"
    path.write_bytes(b"one\r\ntwo\nthree\n" * 50)
    blocks = blocks_of(path, 37)
    assert len(blocks) > 5
    assert all(block.endswith(b"\n") for block in blocks)
    assert b"".join(blocks) == path.read_bytes()


def test_a_last_line_without_its_end_gets_one(tmp_path: Path) -> None:
    path = tmp_path / "a.log"
    path.write_bytes(b"one\ntwo")
    assert b"".join(blocks_of(path, 100)) == b"one\ntwo\n"


def test_a_byte_order_mark_is_left_out(tmp_path: Path) -> None:
    path = tmp_path / "a.log"
    path.write_bytes(b"\xef\xbb\xbfone\ntwo\n")
    assert b"".join(blocks_of(path, 5)) == b"one\ntwo\n"


def test_lone_carriage_returns_end_lines(tmp_path: Path) -> None:
    path = tmp_path / "a.log"
    path.write_bytes(b"one\rtwo\rthree\r")
    assert b"".join(blocks_of(path, 4)) == b"one\ntwo\nthree\n"


@pytest.mark.parametrize("size", [1000, LONGEST_LINE, 10 * LONGEST_LINE])
def test_a_gigantic_line_is_cut_and_stays_one_line(tmp_path: Path, size: int) -> None:
    path = tmp_path / "a.log"
    path.write_bytes(b"before\n" + b"$" * (3 * LONGEST_LINE) + b"\nafter\n")
    lines = b"".join(blocks_of(path, size)).split(b"\n")
    assert lines[0] == b"before"
    assert lines[2] == b"after"
    assert lines[1].endswith(CUT_MARK)
    assert len(lines[1]) <= LONGEST_LINE + len(CUT_MARK)


def test_a_file_that_is_one_gigantic_line_keeps_memory_flat(tmp_path: Path) -> None:
    path = tmp_path / "a.log"
    path.write_bytes(b"x" * 5_000_000)
    blocks = blocks_of(path, 100_000)
    assert [len(block) for block in blocks] == [LONGEST_LINE + len(CUT_MARK) + 1]


def test_the_hash_is_that_of_the_original(tmp_path: Path) -> None:
    path = tmp_path / "a.log"
    path.write_bytes(b"one\rtwo\r" * 1000)
    source = Source(path)
    list(iter_blocks(source, 64))
    assert source.sha256 == hashlib.sha256(path.read_bytes()).hexdigest()
    assert source.bytes_read == 8000


def test_progress_rises_to_the_whole(tmp_path: Path) -> None:
    path = tmp_path / "a.log"
    path.write_bytes(b"line\n" * 1000)
    seen: list[tuple[int, int]] = []
    list(iter_blocks(Source(path, lambda done, total: seen.append((done, total))), 512))
    assert seen[-1] == (5000, 5000)
    assert [done for done, _ in seen] == sorted(done for done, _ in seen)
    assert no_progress(1, 2) is None


def test_a_missing_file_and_a_directory_are_named(tmp_path: Path) -> None:
    with pytest.raises(LogError, match="no such file"):
        blocks_of(tmp_path / "none.log", 10)
    with pytest.raises(LogError, match="cannot be opened"):
        blocks_of(tmp_path, 10)


@given(data=st.binary(max_size=300), size=st.integers(1, 40))
def test_no_byte_is_lost(tmp_path_factory: pytest.TempPathFactory, data: bytes, size: int) -> None:
    assume(not data.startswith(BYTE_ORDER_MARK))
    path = tmp_path_factory.mktemp("chunks") / "a.log"
    path.write_bytes(data)
    whole = b"".join(blocks_of(path, size))
    plain = data if b"\n" in data[:size] or b"\r" not in data[:size] else data.replace(b"\r", b"\n")
    assert whole == plain + (b"" if plain.endswith(b"\n") or not plain else b"\n")
