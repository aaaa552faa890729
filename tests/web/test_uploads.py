"""What is sent is written block by block under a plain name; a lost connection leaves nothing."""

from __future__ import annotations

import asyncio
import shutil
from collections.abc import AsyncIterator
from pathlib import Path

import pytest
from starlette.requests import ClientDisconnect

from cringle.web import uploads
from cringle.web.problems import ProblemError
from cringle.web.uploads import plain_name, received


async def stream_of(*chunks: bytes, fails: bool = False) -> AsyncIterator[bytes]:
    for one in chunks:
        yield one
    if fails:
        raise ClientDisconnect


def test_what_is_sent_is_written_in_blocks() -> None:
    chunks = [bytes([one]) * 700_000 for one in range(4)]
    path = asyncio.run(received(stream_of(*chunks), "../../etc/evening log.nmea"))
    assert path.name == "evening log.nmea"
    assert path.read_bytes() == b"".join(chunks)
    shutil.rmtree(path.parent)


@pytest.mark.parametrize(("fails", "error"), [(True, ClientDisconnect), (False, ProblemError)])
def test_a_lost_connection_and_an_empty_file_leave_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, fails: bool, error: type[Exception]
) -> None:
    monkeypatch.setattr(uploads.tempfile, "mkdtemp", lambda prefix: str(tmp_path / prefix))
    (tmp_path / "cringle-sent-").mkdir()
    chunks = (b"x",) if fails else ()
    with pytest.raises(error):
        asyncio.run(received(stream_of(*chunks, fails=fails), "a.nmea"))
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("name", "plain"),
    [
        ("evening.nmea", "evening.nmea"),
        ("../../etc/passwd", "passwd"),
        ("C:\\logs\\a b.gpx", "a b.gpx"),
        ("..", "sent"),
        ("", "sent"),
        ("a\x00b<c>.csv", "a_b_c_.csv"),
        ("Übung.csv", "Übung.csv"),
        ("x" * 300 + ".nmea", "x" * 75 + ".nmea"),
    ],
)
def test_a_name_becomes_plain(name: str, plain: str) -> None:
    assert plain_name(name) == plain
