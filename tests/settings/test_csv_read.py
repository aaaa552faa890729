from __future__ import annotations

import pytest

from cringle.errors import BookFileError, InputError
from cringle.settings import csv_read
from cringle.settings.csv_read import read_rows

COLUMNS = ("sea", "wind_kn", "note")


def write(tmp_path, data):
    path = tmp_path / "t.csv"
    path.write_bytes(data if isinstance(data, bytes) else data.encode())
    return path


def rows(tmp_path, data):
    return read_rows(write(tmp_path, data), COLUMNS, COLUMNS[:2])


def test_reads_lines_with_their_numbers(tmp_path):
    found, mistakes = rows(tmp_path, "\ufeffwind_kn, sea\n8,flat\n\n 10 , chop \n")
    assert [(one.line, one.text("sea"), one.number("wind_kn"), one.text("note")) for one in found] == [
        (2, "flat", 8.0, ""),
        (4, "chop", 10.0, ""),
    ]
    assert mistakes.findings == []


def test_windows_line_ends_and_quotes(tmp_path):
    found, _ = rows(tmp_path, 'sea,wind_kn,note\r\nflat,8,"a, b"\r\n')
    assert found[0].text("note") == "a, b"


@pytest.mark.parametrize(
    ("data", "words"),
    [
        ("", "an empty file"),
        ("\n\n", "an empty file"),
        ("sea\n", "wind_kn: a column is missing"),
        ("sea,wind\n", r"no such column; found 'wind'.*did you mean 'wind_kn'"),
        ("sea,sea,wind_kn\n", "a column twice"),
        ('sea,wind_kn\n"flat,8\n', "not CSV"),
    ],
)
def test_a_wrong_header_is_told(tmp_path, data, words):
    with pytest.raises(BookFileError, match=words):
        rows(tmp_path, data)


def test_a_ragged_line_is_kept_as_a_mistake(tmp_path):
    found, mistakes = rows(tmp_path, "sea,wind_kn\nflat,8\nflat\n")
    assert len(found) == 1
    assert str(mistakes.findings[0]).endswith("t.csv:3: wrong number of fields; found 1; accepted: 2")


def test_fields_that_are_wrong_are_kept_with_their_place(tmp_path):
    found, mistakes = rows(tmp_path, "sea,wind_kn\nchopy,eight\nflat,nan\nflat,300\n")
    assert found[0].word("sea", ["flat", "chop"]) is None
    assert found[0].number("wind_kn") is None
    assert found[1].number("wind_kn", 0, 80) is None
    assert found[2].number("wind_kn", 0, 80) is None
    assert [(one.line, one.field, one.nearest) for one in mistakes.findings] == [
        (2, "sea", "chop"),
        (2, "wind_kn", None),
        (3, "wind_kn", None),
        (4, "wind_kn", None),
    ]


def test_not_there_not_text_too_large(tmp_path, monkeypatch):
    with pytest.raises(InputError, match="cannot be read"):
        read_rows(tmp_path / "none.csv", COLUMNS, COLUMNS)
    with pytest.raises(InputError, match="not UTF-8"):
        rows(tmp_path, b"sea,wind_kn\n\xff\xfe,8\n")
    monkeypatch.setattr(csv_read, "MAX_CSV_BYTES", 10)
    with pytest.raises(InputError, match="too large"):
        rows(tmp_path, "sea,wind_kn\nflat,8\n")


def test_binary_rubbish_is_an_error_not_a_crash(tmp_path):
    with pytest.raises(InputError):
        rows(tmp_path, bytes(range(256)) * 4)
