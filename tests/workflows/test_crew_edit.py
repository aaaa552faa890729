"""Weights and usual places written into the crew file."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from cringle.boat.read import read_book_files
from cringle.book.store import Book
from cringle.errors import BookFileError, ConflictError, CringleError, InputError, RuleError
from cringle.workflows.crew_edit import CREW, Sitting, set_places, set_weight, usual_places


@pytest.fixture
def folder(tmp_path: Path, examples: Path) -> Path:
    own = tmp_path / "book"
    own.mkdir()
    for name in ("class.toml", "boat.toml", "crew.toml", "survey.toml"):
        shutil.copyfile(examples / name, own / name)
    with Book.open(own, create=True, who="coach"):
        pass
    return own


def test_a_weight_is_written_with_who_and_why_and_comments_stay(folder: Path) -> None:
    comment = "keeps the tiller whatever the arrangement"
    done = set_weight(folder, "ines", 67.5, seen_kg=66.0, who="Ines", why="after the summer")
    assert done.mass_kg == 67.5
    assert comment in (folder / CREW).read_text(encoding="utf-8")
    with Book.open(folder) as book:
        entry = book.history("toml_edit")[-1]
    assert (entry.who, entry.why, entry.key.subject) == ("Ines", "after the summer", CREW)


def test_a_weight_that_changed_meanwhile_is_not_written_over(folder: Path) -> None:
    set_weight(folder, "ines", 67.0, seen_kg=66.0, who="Ines")
    with pytest.raises(ConflictError) as caught:
        set_weight(folder, "ines", 65.0, seen_kg=66.0, who="coach")
    clash = caught.value.clashes[0]
    assert (clash.yours, clash.theirs, clash.who) == ("65 kg", "67 kg", "Ines")
    assert read_book_files(folder).crew_file.people[0].mass_kg == 67.0


@pytest.mark.parametrize("mass_kg", [5.0, 400.0])
def test_a_weight_that_is_none_leaves_the_file_as_it_was(folder: Path, mass_kg: float) -> None:
    before = (folder / CREW).read_bytes()
    with pytest.raises(BookFileError):
        set_weight(folder, "ines", mass_kg, seen_kg=66.0, who="coach")
    assert (folder / CREW).read_bytes() == before


def test_nobody_of_that_name(folder: Path) -> None:
    with pytest.raises(InputError, match="nobody"):
        set_weight(folder, "nobody", 70.0, seen_kg=66.0, who="coach")


def test_places_are_written_and_brought_back(folder: Path) -> None:
    before = usual_places(read_book_files(folder).crew_file)
    wanted = tuple(Sitting("keo", one.station, "legs in") if one.person == "keo" else one for one in before)
    assert set(set_places(folder, wanted, seen=before, who="coach")) == set(wanted)
    assert usual_places(read_book_files(folder).crew_file) == wanted
    set_places(folder, before, seen=wanted, who="coach", why="undo")
    assert usual_places(read_book_files(folder).crew_file) == before


def test_places_that_changed_meanwhile_are_not_written_over(folder: Path) -> None:
    before = usual_places(read_book_files(folder).crew_file)
    with pytest.raises(ConflictError):
        set_places(folder, before, seen=before[:1], who="coach")


@pytest.mark.parametrize(
    ("change", "error"),
    [
        (Sitting("marit", "rail_3", "hike"), RuleError),
        (Sitting("marit", "moon", "hike"), InputError),
        (Sitting("marit", "rail_3", "asleep"), InputError),
        (Sitting("nobody", "rail_3", "hike"), InputError),
    ],
)
def test_what_the_class_does_not_allow_is_not_written(
    folder: Path, change: Sitting, error: type[CringleError]
) -> None:
    text = (folder / CREW).read_bytes()
    before = usual_places(read_book_files(folder).crew_file)
    wanted = [change if one.person == change.person else one for one in before]
    with pytest.raises(error):
        set_places(folder, [*wanted, change], seen=before, who="coach")
    assert (folder / CREW).read_bytes() == text


def test_too_many_in_one_place(folder: Path) -> None:
    before = usual_places(read_book_files(folder).crew_file)
    wanted = [Sitting(one.person, "rail_2", "legs in") for one in before]
    with pytest.raises(InputError, match="room for"):
        set_places(folder, wanted, seen=before, who="coach")
