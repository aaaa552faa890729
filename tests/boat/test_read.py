"""A book is four files that agree; all mistakes of all of them come at once."""

from __future__ import annotations

from pathlib import Path

import pytest

from cringle.boat.read import read_book_files
from cringle.errors import BookFileError, InputError


def test_demo_files_are_right_and_as_the_design_says(examples: Path) -> None:
    files = read_book_files(examples)
    assert files.class_file.identity.name == "Ouzel"
    assert files.boat_file.boat.hull_number == 41
    assert files.crew_file.mass_kg == pytest.approx(320.0)
    assert [one.name for one in files.crew_file.people] == ["Ines", "Tobias", "Marit", "Keo"]
    assert {one.area for one in files.class_file.sails} == {14.0, 10.6, 42.0}
    assert files.class_file.hull.mass == 735.0


def test_all_mistakes_of_all_files_come_at_once(book_folder: Path) -> None:
    for name, old, new in (
        ("boat.toml", "step = 0.5", "stepp = 0.5"),
        ("crew.toml", "mass_kg = 66.0", "mass_kg = 3"),
    ):
        path = book_folder / name
        path.write_text(path.read_text(encoding="utf-8").replace(old, new), encoding="utf-8")
    with pytest.raises(BookFileError) as caught:
        read_book_files(book_folder)
    assert len(caught.value.findings) > 15
    assert {one.path.name for one in caught.value.findings if one.path} == {"boat.toml", "crew.toml"}


def test_missing_file_and_missing_book(book_folder: Path) -> None:
    (book_folder / "crew.toml").unlink()
    with pytest.raises(InputError, match=r"crew\.toml: no such file"):
        read_book_files(book_folder)
    with pytest.raises(InputError, match="there is no book here"):
        read_book_files(book_folder / "nowhere")


def test_what_was_read_is_kept_only_for_the_same_contents(book_folder: Path) -> None:
    first = read_book_files(book_folder)
    assert read_book_files(book_folder) is first
    path = book_folder / "boat.toml"
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace("hull_number = 41", "hull_number = 42"), encoding="utf-8")
    assert read_book_files(book_folder).boat_file.boat.hull_number == 42, "same size, same instant"
    path.write_text(text, encoding="utf-8")
    assert read_book_files(book_folder) == first
