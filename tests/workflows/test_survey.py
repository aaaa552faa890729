from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from cringle.boat.read import read_book_files
from cringle.book.entries import NewEntry
from cringle.book.store import Book
from cringle.errors import BookFileError, InputError
from cringle.workflows import survey

AT = datetime(2026, 6, 3, 23, 30, tzinfo=UTC)
NEW = {
    "id": "cleat",
    "what": "Move the cleat",
    "why": "out of reach",
    "category": "worthwhile",
    "allowed": "ask",
}


def test_states_come_from_the_history(book_folder: Path) -> None:
    survey.survey_set_state(book_folder, "marks", "done", who="Keo")
    survey.survey_set_state(book_folder, "jib_change", "dropped", who="Keo")
    shown = survey.survey_shown(book_folder, at=AT)
    assert {one.item.id: one.state for one in shown.work.finished} == {
        "marks": "done",
        "jib_change": "dropped",
    }
    survey.survey_set_state(book_folder, "marks", "open", who="Keo", why="one side missing")
    assert "marks" in {one.item.id for one in survey.survey_shown(book_folder).work.ranked}
    with Book.open(book_folder) as book:
        assert [one.value for one in book.history("survey_state", subject="marks")] == ["done", "open"]


def test_unknown_items_and_states_change_nothing(book_folder: Path) -> None:
    with pytest.raises(InputError, match="did you mean 'marks'"):
        survey.survey_set_state(book_folder, "mark", "done", who="Keo")
    with pytest.raises(InputError, match="open, done, dropped"):
        survey.survey_set_state(book_folder, "marks", "finished", who="Keo")
    with Book.open(book_folder, create=True) as book:
        assert book.history("survey_state") == []


def test_an_added_item_keeps_every_comment(book_folder: Path) -> None:
    path = book_folder / "survey.toml"
    path.write_text("# mine\n" + path.read_text(encoding="utf-8"), encoding="utf-8")
    before = path.read_text(encoding="utf-8").splitlines()
    made = survey.survey_add(book_folder, {**NEW, "cost": None, "controls": ["vang"]}, who="Marit")
    after = path.read_text(encoding="utf-8").splitlines()
    assert made.controls == ("vang",)
    assert [line for line in before if line not in after] == []
    with Book.open(book_folder) as book:
        (edit,) = book.history("toml_edit")
    assert edit.payload == {"added": ["cleat"], "array": "items"}
    assert edit.who == "Marit"


@pytest.mark.parametrize(
    ("change", "word"),
    [
        ({"id": "marks"}, "there already"),
        ({"id": "radio"}, "there already"),
        ({"category": "vital"}, "essential"),
        ({"controls": ["vnag"]}, "vang"),
        ({"hours": -1.0}, "hours"),
        ({"colour": "red"}, "no such field"),
    ],
)
def test_a_wrong_item_leaves_the_file_as_it_was(
    book_folder: Path, change: dict[str, object], word: str
) -> None:
    path = book_folder / "survey.toml"
    before = path.read_bytes()
    with pytest.raises(InputError, match=word):
        survey.survey_add(book_folder, {**NEW, **change}, who="Marit")
    assert path.read_bytes() == before
    assert list(book_folder.glob(".*tmp")) == []


def test_a_book_that_cannot_be_written_puts_the_file_back(
    book_folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = book_folder / "survey.toml"
    before = path.read_bytes()

    def refuse(*_: object, **__: object) -> None:
        raise InputError("refused")

    monkeypatch.setattr(Book, "write", refuse)
    with pytest.raises(InputError, match="refused"):
        survey.survey_add(book_folder, NEW, who="Marit")
    assert path.read_bytes() == before


def test_the_starter_survey_is_whole_and_added_once(book_folder: Path) -> None:
    added = survey.survey_add_starter(book_folder, who="coach")
    assert len(added) == 19
    assert survey.survey_add_starter(book_folder, who="coach") == []
    found = read_book_files(book_folder).survey_file
    for word in (
        "rail",
        "jib_change",
        "spliced",
        "halyard",
        "backstay",
        "marks",
        "kite",
        "locks",
        "foil",
        "skid",
        "safety",
    ):
        assert any(word in one.id for one in found.items if one.id.startswith("start_"))
    assert len([one for one in found.departure if one.id.startswith("start_")]) == 8


def test_rule_fields_become_a_rule() -> None:
    assert survey.item_fields(id="a", rule="C.1", edition="2026")["rule"] == {
        "number": "C.1",
        "edition": "2026",
    }
    assert "rule" not in survey.item_fields(id="a", rule="", edition="")


def test_the_list_on_paper(book_folder: Path, tmp_path: Path) -> None:
    work = tmp_path / "w.pdf"
    survey.survey_print(book_folder, work, at=AT)
    first = work.read_bytes()
    assert first.startswith(b"%PDF")
    survey.survey_print(book_folder, work, at=AT)
    assert work.read_bytes() == first


def test_json_has_null_for_the_unknown(book_folder: Path) -> None:
    found = survey.survey_json(survey.survey_shown(book_folder))
    ranks = [one["rank"] for one in found["items"] if one["allowed"] != "no"]
    assert ranks == sorted(ranks)
    forbidden = next(one for one in found["items"] if one["allowed"] == "no")
    assert (forbidden["rank"], forbidden["cost"]) == (None, None)
    assert forbidden["rule"] == {"number": "C.6.2", "edition": "2026"}


def test_a_broken_survey_is_named_by_line(book_folder: Path) -> None:
    path = book_folder / "survey.toml"
    path.write_text(
        path.read_text(encoding="utf-8").replace('"essential"', '"esential"', 1), encoding="utf-8"
    )
    with pytest.raises(BookFileError, match=r"survey\.toml:9"):
        survey.survey_shown(book_folder)


def test_a_conflict_of_two_writers_is_refused(book_folder: Path) -> None:
    survey.survey_set_state(book_folder, "marks", "done", who="Keo")
    with Book.open(book_folder, who="Ines") as book, pytest.raises(Exception, match="Keo"):
        book.write([NewEntry("survey_state", "marks", {"value": "dropped"})], why="late")
