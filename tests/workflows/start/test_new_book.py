from __future__ import annotations

import shutil
from pathlib import Path
from typing import Any

import pytest

from cringle.book.store import Book
from cringle.errors import BookError, BookFileError, CringleError, InputError
from cringle.settings.records import TonightRequest
from cringle.workflows.books.book import check_book
from cringle.workflows.numbers.csv import import_csv
from cringle.workflows.numbers.tonight import tonight
from cringle.workflows.start.new_answers import Answers
from cringle.workflows.start.new_book import made_as_json, make_book


def answers(**more: Any) -> Answers:
    return Answers.model_validate({"name": "Wren", **more})


@pytest.fixture
def brindle(book_folder: Path, examples: Path) -> Path:
    """The demo book with its table."""
    with Book.open(book_folder, create=True, who="coach"):
        pass
    import_csv(book_folder, examples / "table.csv", examples / "cues.csv", who="Ines")
    (book_folder / "plays").mkdir()
    (book_folder / "plays" / "gybe.toml").write_text("# a play\n", encoding="utf-8")
    return book_folder


def test_a_class_file_and_a_name_make_a_book_that_answers_tonight(tmp_path: Path, examples: Path) -> None:
    made = make_book(tmp_path / "wren", answers(class_file=str(examples / "class.toml")), who="Ines")
    assert (made.boat, made.table) == ("Wren", "starting")
    assert made.cells == made.guesses > 200
    assert check_book(tmp_path / "wren").is_well
    found = tonight(tmp_path / "wren", TonightRequest(wind_kn=11.0))
    assert found is not None
    with Book.open(tmp_path / "wren") as book:
        sources = {entry.payload["source"] for entry in book.current("setting")}
        edits = {entry.key.subject for entry in book.history("toml_edit")}
        assert book.history()[0].who == "Ines"
    assert sources == {"guess"}, "a guess never looks like anything else"
    assert {"class.toml", "boat.toml", "crew.toml", "survey.toml"} <= edits
    assert [path.name for path in tmp_path.iterdir() if path.name.startswith(".")] == []


def test_another_book_gives_lines_plays_and_its_table_as_guesses(tmp_path: Path, brindle: Path) -> None:
    made = make_book(tmp_path / "wren", answers(from_book=str(brindle)), who="Ines")
    assert made.table == "copy"
    with Book.open(brindle) as theirs, Book.open(tmp_path / "wren") as ours:
        for kind in ("setting", "cue", "posture"):
            assert {e.key: e.value for e in ours.current(kind)} == {
                e.key: e.value for e in theirs.current(kind)
            }
        assert {entry.payload["source"] for entry in ours.current("setting")} == {"guess"}
        assert ours.current("setting")[0].payload["by"].startswith("Brindle (")
        assert ours.current("outing_start") == []
    assert (tmp_path / "wren" / "plays" / "gybe.toml").is_file()
    assert check_book(tmp_path / "wren").is_well


def test_a_table_is_copied_onto_other_scales(tmp_path: Path, brindle: Path, examples: Path) -> None:
    source = tmp_path / "source"
    shutil.copytree(brindle, source)
    text = (source / "boat.toml").read_text(encoding="utf-8")
    start = text.index('[[controls]]\nid = "backstay"')
    coarse = text[:start] + text[start:].replace("mm_per_mark = 50.0", "mm_per_mark = 25.0", 1)
    (source / "boat.toml").write_text(coarse, encoding="utf-8")
    wanted = answers(class_file=str(examples / "class.toml"), table_from=str(source))
    make_book(tmp_path / "wren", wanted, who="Ines")
    with Book.open(source) as theirs, Book.open(tmp_path / "wren") as ours:
        before = {e.key: e.value for e in theirs.current("setting", role="backstay")}
        after = {e.key: e.value for e in ours.current("setting", role="backstay")}
    assert before.keys() == after.keys()
    assert all(after[key] == pytest.approx(before[key] / 2.0, abs=0.26) for key in before)


def test_a_blank_book_has_no_number_and_says_so(tmp_path: Path, examples: Path) -> None:
    wanted = answers(class_file=str(examples / "class.toml"), table="blank")
    made = make_book(tmp_path / "wren", wanted, who="Ines")
    assert (made.cells, made.guesses) == (0, 0)
    assert "the table is blank" in made_as_json(made)["remarks"][0]
    assert check_book(tmp_path / "wren").is_well


def test_an_empty_folder_is_filled_and_a_full_one_is_left_alone(tmp_path: Path, examples: Path) -> None:
    wanted = answers(class_file=str(examples / "class.toml"))
    (tmp_path / "wren").mkdir()
    make_book(tmp_path / "wren", wanted, who="Ines")
    before = {path.name: path.stat().st_mtime_ns for path in (tmp_path / "wren").iterdir()}
    with pytest.raises(InputError, match="is not empty"):
        make_book(tmp_path / "wren", wanted, who="Ines")
    assert {path.name: path.stat().st_mtime_ns for path in (tmp_path / "wren").iterdir()} == before
    (tmp_path / "file").write_bytes(b"")
    with pytest.raises(InputError, match="is not empty"):
        make_book(tmp_path / "file", wanted, who="Ines")


@pytest.mark.parametrize(
    ("more", "error", "words"),
    [
        (
            {"crew": [{"name": "A", "mass_kg": 180, "role": "helm"}]},
            BookFileError,
            r"crew\.toml.*number of crew outside",
        ),
        ({"table_from": "/none"}, InputError, "no book here"),
        ({"class_file": "/none.toml"}, InputError, "no such file"),
    ],
)
def test_what_cannot_be_made_leaves_nothing(
    tmp_path: Path, examples: Path, more: dict[str, Any], error: type[CringleError], words: str
) -> None:
    with pytest.raises(error, match=words) as refused:
        make_book(
            tmp_path / "wren", answers(**{"class_file": str(examples / "class.toml"), **more}), who="Ines"
        )
    assert ".part" not in str(refused.value), "the half-made folder is nobody's business"
    assert list(tmp_path.iterdir()) == []


def test_a_source_without_a_history_is_named(tmp_path: Path, examples: Path) -> None:
    with pytest.raises(BookError, match="there is no book here"):
        make_book(tmp_path / "wren", answers(from_book=str(examples)), who="Ines")
    assert list(tmp_path.iterdir()) == []
