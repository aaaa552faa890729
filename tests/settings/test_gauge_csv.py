from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cringle.errors import BookFileError, InputError
from cringle.settings.gauge import Reading
from cringle.settings.gauge_csv import parse_gauge_csv, read_gauge_csv

GOOD = "# steel rule\nperson,mark,reading_mm\n\nKeo,4,101.5\nKeo, 4.5 ,113\n"
HERE = Path("readings.csv")


def test_readings_with_comments_and_empty_lines() -> None:
    found = parse_gauge_csv(GOOD, HERE)
    assert found.before == (Reading("Keo", 4.0, 101.5), Reading("Keo", 4.5, 113.0))
    assert found.after == ()


def test_phases() -> None:
    text = "phase,person,mark,reading_mm\nbefore,Keo,4,1\nafter,Keo,4,2\n"
    found = parse_gauge_csv(text, HERE)
    assert (len(found.before), len(found.after)) == (1, 1)


def test_every_mistake_with_its_line_and_column() -> None:
    text = GOOD + "Keo,four,1\nKeo,4\n,4,1\nKeo,4,nan\n"
    with pytest.raises(BookFileError) as caught:
        parse_gauge_csv(text, HERE)
    places = [(one.line, one.field) for one in caught.value.findings]
    assert places == [(6, "mark"), (7, None), (8, "person"), (9, "reading_mm")]
    assert "'four'" in str(caught.value)


@pytest.mark.parametrize(
    "header", ["person,mark", "person,mark,reading", "person,mark,mark,reading_mm", "a;b;c"]
)
def test_a_wrong_header_says_what_is_accepted(header: str) -> None:
    with pytest.raises(BookFileError, match="person,mark,reading_mm"):
        parse_gauge_csv(f"{header}\nKeo,1,2\n", HERE)


def test_a_wrong_phase() -> None:
    with pytest.raises(BookFileError, match="before, after"):
        parse_gauge_csv("person,mark,reading_mm,phase\nKeo,4,1,later\n", HERE)


def test_files_that_are_no_text(tmp_path: Path) -> None:
    path = tmp_path / "r.csv"
    with pytest.raises(InputError, match="cannot be read"):
        read_gauge_csv(path)
    path.write_bytes(b"\xff\xfe\x00\x01")
    with pytest.raises(InputError, match="UTF-8"):
        read_gauge_csv(path)
    path.write_bytes(b"a\x00b")
    with pytest.raises(InputError, match="not a text file"):
        read_gauge_csv(path)
    path.write_bytes(b"\n\n")
    with pytest.raises(InputError, match="empty"):
        read_gauge_csv(path)
    path.write_text(GOOD, encoding="utf-8-sig")
    assert len(read_gauge_csv(path).before) == 2


@given(st.text(max_size=200))
def test_any_text_gives_readings_or_a_clear_error(text: str) -> None:
    try:
        parse_gauge_csv("person,mark,reading_mm\n" + text, HERE)
    except InputError as error:
        assert error.next_step
