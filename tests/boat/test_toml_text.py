"""One file: unknown fields, wrong words, units in numbers, broken text, each with its line."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest

from cringle.boat.read import read_book_files
from cringle.errors import BookFileError, Finding, InputError

Spoil = Callable[[str, str, str], Finding]


def line_of(folder: Path, name: str, text: str) -> int:
    rows = (folder / name).read_text(encoding="utf-8").splitlines()
    return next(number for number, row in enumerate(rows, start=1) if text in row)


def test_unknown_field_names_the_nearest(spoil: Spoil, book_folder: Path) -> None:
    finding = spoil("boat.toml", "mm_per_mark = 25.0", "mm_per_marks = 25.0")
    assert finding.line == line_of(book_folder, "boat.toml", "mm_per_marks")
    assert finding.field == "controls[1].mm_per_marks"
    assert finding.nearest == "mm_per_mark"


def test_unknown_word_names_the_nearest_and_the_accepted(spoil: Spoil) -> None:
    finding = spoil("crew.toml", 'posture = "legs in"', 'posture = "leg in"')
    assert finding.nearest == "legs in"
    assert finding.accepted is not None
    assert "hike" in finding.accepted
    assert finding.found == "'leg in'"


def test_unit_in_a_number_is_refused(spoil: Spoil) -> None:
    finding = spoil("crew.toml", "mass_kg = 66.0", 'mass_kg = "146 lb"')
    assert finding.found == "'146 lb'"
    assert finding.accepted == "a number without quotes or unit"


def test_every_mistake_has_a_line_that_exists(book_folder: Path) -> None:
    path = book_folder / "class.toml"
    text = path.read_text(encoding="utf-8")
    for field in set(re.findall(r"(?m)^(\w+) = ", text)) - {
        "spreader_tip"
    }:  # a point that nothing else names
        path.write_text(re.sub(rf"(?m)^{field} = ", f"{field}_wrong = ", text, count=1), encoding="utf-8")
        with pytest.raises(BookFileError) as caught:
            read_book_files(book_folder)
        assert all(one.line and one.line <= text.count("\n") + 1 for one in caught.value.findings)


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"\xff\xfe[\x00b\x00", "not UTF-8"),
        (b"schema_version = 1\n[boat\n", "not valid TOML"),
        (b"", "missing field"),
        (b"schema_version = 2\n", "not a word this field knows"),
        (b"a = 1\na = 2\n", "not valid TOML"),
    ],
)
def test_broken_files(book_folder: Path, content: bytes, words: str) -> None:
    (book_folder / "boat.toml").write_bytes(content)
    with pytest.raises(BookFileError, match=words):
        read_book_files(book_folder)


def test_a_huge_file_is_not_read(book_folder: Path) -> None:
    (book_folder / "boat.toml").write_bytes(b"#" * 4_100_000)
    with pytest.raises(InputError, match="too large"):
        read_book_files(book_folder)
