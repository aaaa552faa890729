from __future__ import annotations

from pathlib import Path

import pytest

from cringle.errors import LogError
from cringle.track.reading.sniff import sniff


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "evening.log"


@pytest.mark.parametrize(
    ("data", "kind"),
    [
        (b"$GPRMC,194310,A\r\n", "nmea"),
        (b"# a remark\n\n!AIVDM,1\n", "nmea"),
        (b"\x00\xff noise \n$GPRMC,194310,A\n", "nmea"),
        (b"<?xml version='1.0'?><gpx/>", "gpx"),
        (b"\xef\xbb\xbf\n<gpx/>", "gpx"),
        ("<?xml version='1.0'?><gpx/>".encode("utf-16"), "gpx"),
        (b"time_utc,lat,lon\n", "csv"),
        (b"# phone\n\ntime_utc;lat;lon\n", "csv"),
        (b"time_utc\tlat\tlon\n", "csv"),
    ],
)
def test_told_by_content(path: Path, data: bytes, kind: str) -> None:
    path.write_bytes(data)
    assert sniff(path) == kind


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "empty"),
        (b"\n\n# only a remark\n", "no line to read"),
        (bytes(range(256)) * 20, "binary"),
        ("$GPRMC,194310,A\r\n".encode("utf-16"), "UTF-16"),
        (b"dear diary\n", "no log that can be read"),
        (b"\xef\xbb\xbf", "no line to read"),
    ],
)
def test_refused_with_the_next_step(path: Path, data: bytes, words: str) -> None:
    path.write_bytes(data)
    with pytest.raises(LogError, match=words) as caught:
        sniff(path)
    assert caught.value.path == path
    assert caught.value.next_step


def test_missing_files_and_directories(tmp_path: Path) -> None:
    with pytest.raises(LogError, match="no such file"):
        sniff(tmp_path / "none.log")
    with pytest.raises(LogError, match="cannot be opened"):
        sniff(tmp_path)
