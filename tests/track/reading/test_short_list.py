from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path

import pytest

from cringle.errors import LogError
from cringle.track.reading import short_list as module
from cringle.track.reading.short_list import instant_of, read_list


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "list.csv"


def test_rows_come_with_their_lines_and_other_columns_stay(path: Path) -> None:
    path.write_text("\N{ZERO WIDTH NO-BREAK SPACE}time,who,note\n1,Keo,a\n2,Marit,b\n", encoding="utf-8")
    assert [(line, row["who"]) for line, row in read_list(path, ("time", "who"))] == [
        (2, "Keo"),
        (3, "Marit"),
    ]


def test_a_list_without_rows_is_empty(path: Path) -> None:
    path.write_text("time,who\n", encoding="utf-8")
    assert read_list(path, ("time",)) == []


@pytest.mark.parametrize(
    ("text", "words"),
    [("", "no column time, who; it has none"), ("time;who\n", "no column time, who; it has time;who")],
)
def test_a_missing_column_is_named_with_those_there_are(path: Path, text: str, words: str) -> None:
    path.write_text(text, encoding="utf-8")
    with pytest.raises(LogError, match=words) as caught:
        read_list(path, ("time", "who"))
    assert caught.value.line == 1
    assert caught.value.next_step == "name the columns time, who"


def test_what_is_no_text_or_not_there_is_said(path: Path) -> None:
    with pytest.raises(LogError, match="cannot be read"):
        read_list(path, ("time",))
    path.write_bytes(b"\xff\xfe\x00")
    with pytest.raises(LogError, match="cannot be read"):
        read_list(path, ("time",))


def test_a_file_too_long_is_refused_and_not_cut(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "MOST_BYTES", 10)
    path.write_text("time\n" + "1\n" * 10, encoding="utf-8")
    with pytest.raises(LogError, match="is no list"):
        read_list(path, ("time",))


def test_a_time_without_a_zone_is_utc() -> None:
    at = datetime(2026, 6, 17, 18, 5, tzinfo=UTC)
    assert instant_of("2026-06-17T18:05:00") == instant_of("2026-06-17T18:05:00Z") == at
    assert instant_of("2026-06-17T20:05:00+02:00").utcoffset() == timezone(timedelta(hours=2)).utcoffset(None)
    with pytest.raises(ValueError, match="Invalid isoformat"):
        instant_of("five past six")
