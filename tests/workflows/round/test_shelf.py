"""Several boats side by side: listed, compared in mm, shared files shown before they are taken."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from cringle.boat.write import set_value
from cringle.book.store import Book
from cringle.errors import BookFileError, InputError, RuleError
from cringle.settings.records import TonightRequest
from cringle.workflows.numbers.csv import import_csv
from cringle.workflows.outings.moments import lock, unlock
from cringle.workflows.round.shelf import books_on, compared_json, shelf_compare, shelf_list, shelf_share

FILES = ("class.toml", "boat.toml", "crew.toml", "survey.toml")
WIND = TonightRequest(wind_kn=12.0)


@pytest.fixture
def shelf(tmp_path: Path, examples: Path) -> Path:
    """Return a shelf with two boats of one class; the second has wider marks on her jib halyard."""
    folder = tmp_path / "shelf"
    for name in ("brindle", "sorrel"):
        book = folder / name
        book.mkdir(parents=True)
        for file in FILES:
            shutil.copyfile(examples / file, book / file)
        Book.open(book, create=True).close()
        import_csv(book, examples / "table.csv", who="coach")
    boat = folder / "sorrel" / "boat.toml"
    set_value(boat, ("boat", "name"), "Sorrel")
    set_value(boat, ("controls", 4, "mm_per_mark"), 15.0)
    return folder


def test_books_of_a_shelf(shelf: Path, tmp_path: Path) -> None:
    assert list(books_on(shelf)) == ["brindle", "sorrel"]
    with pytest.raises(InputError, match="no book in this folder"):
        books_on(tmp_path / "nowhere")


def test_the_list_says_how_each_stands_to_the_shared_files(shelf: Path, examples: Path) -> None:
    assert {one.class_file for one in shelf_list(shelf)} == {"none"}
    shutil.copyfile(examples / "class.toml", shelf / "class.toml")
    assert {one.class_file for one in shelf_list(shelf)} == {"same"}
    set_value(shelf / "class.toml", ("identity", "edition"), "2027")
    assert {one.class_file for one in shelf_list(shelf)} == {"differs"}


def test_a_book_that_cannot_be_read_is_named_with_its_trouble(shelf: Path) -> None:
    (shelf / "sorrel" / "crew.toml").write_text("people = 3", encoding="utf-8")
    found = {one.name: one for one in shelf_list(shelf)}
    assert found["brindle"].trouble is None
    assert found["sorrel"].trouble is not None


def test_boats_are_compared_in_mm_not_only_in_marks(shelf: Path) -> None:
    rows = {one.role: one for one in shelf_compare(shelf, WIND)}
    halyard = rows["jib_halyard"]
    assert halyard.marks == {"brindle": 4.5, "sorrel": 4.5}
    assert halyard.distance_mm == {"brindle": 45.0, "sorrel": 67.5}
    assert halyard.spread_mm == pytest.approx(22.5)
    assert rows["backstay"].spread_mm == pytest.approx(0.0)


def test_json_keeps_the_unit_and_null(shelf: Path) -> None:
    data = compared_json(shelf_compare(shelf, WIND))
    assert data["schema"] == 1
    assert "spread_mm" in str(data)


def test_one_book_alone_is_no_comparison(shelf: Path) -> None:
    with pytest.raises(InputError, match="only 1 book"):
        shelf_compare(shelf, WIND, books=["brindle"])
    with pytest.raises(InputError, match="brindle"):
        shelf_compare(shelf, WIND, books=["brindel", "sorrel"])


def test_a_change_is_shown_before_it_is_taken(shelf: Path, examples: Path) -> None:
    shutil.copyfile(examples / "class.toml", shelf / "class.toml")
    set_value(shelf / "class.toml", ("limits", "wind_limit_kn"), 22.0)
    before = (shelf / "sorrel" / "class.toml").read_bytes()
    shown = shelf_share(shelf, "class", who="coach")
    assert all(not one.taken and any("22.0" in line for line in one.lines) for one in shown)
    assert (shelf / "sorrel" / "class.toml").read_bytes() == before
    taken = shelf_share(shelf, "class", who="coach", take=True, books=["sorrel"])
    assert [one.taken for one in taken] == [True]
    assert (shelf / "sorrel" / "class.toml").read_bytes() == (shelf / "class.toml").read_bytes()
    with Book.open(shelf / "sorrel") as book:
        assert [one.key.subject for one in book.history("toml_edit")] == ["class.toml"]
    assert not shelf_share(shelf, "class", who="coach", take=True, books=["sorrel"])[0].lines


def test_a_file_that_does_not_fit_leaves_the_book_as_it_was(shelf: Path, examples: Path) -> None:
    shutil.copyfile(examples / "class.toml", shelf / "class.toml")
    set_value(shelf / "class.toml", ("limits", "crew_mass_max"), 200.0)
    before = (shelf / "brindle" / "class.toml").read_bytes()
    with pytest.raises(BookFileError, match="crew over the class limit"):
        shelf_share(shelf, "class", who="coach", take=True)
    assert (shelf / "brindle" / "class.toml").read_bytes() == before


def test_a_book_with_a_mistake_is_left_and_the_others_take_the_file(shelf: Path, examples: Path) -> None:
    shutil.copyfile(examples / "class.toml", shelf / "class.toml")
    set_value(shelf / "class.toml", ("limits", "wind_limit_kn"), 22.0)
    (shelf / "brindle" / "crew.toml").write_text("people = 3", encoding="utf-8")
    before = (shelf / "brindle" / "class.toml").read_bytes()
    with pytest.raises(BookFileError) as caught:
        shelf_share(shelf, "class", who="coach", take=True)
    said = str(caught.value.next_step)
    assert said.startswith("brindle: left as it was; taken over by sorrel; mend ")
    assert str(shelf / "class.toml") in said
    assert (shelf / "brindle" / "class.toml").read_bytes() == before
    assert (shelf / "sorrel" / "class.toml").read_bytes() == (shelf / "class.toml").read_bytes()


def test_a_shared_file_of_another_encoding_is_refused(shelf: Path) -> None:
    (shelf / "class.toml").write_bytes("# Mañana".encode("latin-1"))
    with pytest.raises(InputError, match=r"class.toml: not UTF-8"):
        shelf_share(shelf, "class", who="coach")


@pytest.mark.parametrize("what", ["class", "tack", "../brindle/boat"])
def test_only_shared_files_by_name(shelf: Path, what: str) -> None:
    with pytest.raises(InputError, match="no shared file"):
        shelf_share(shelf, what, who="coach")


def test_nothing_is_compared_while_one_of_them_races(shelf: Path) -> None:
    lock(shelf / "sorrel", who="coach")
    with pytest.raises(RuleError, match="RRS 41"):
        shelf_compare(shelf, WIND)
    unlock(shelf / "sorrel", who="coach")
    assert shelf_compare(shelf, WIND)
