from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from cringle.book.entries import NewEntry
from cringle.book.store import Book
from cringle.errors import ConflictError, InputError
from cringle.workflows.books.book import (
    back_up,
    bring_back,
    check_book,
    export_history,
    import_history,
    report_as_json,
)


@pytest.fixture
def folder(book_folder: Path) -> Path:
    with Book.open(book_folder, create=True, who="Ines") as book:
        names = {"sail_set": "main+jib", "sea": "chop", "wind_kn": 10.0, "gear": "settled"}
        payload = {"value": 3.0, "source": "entered"}
        book.write([NewEntry("setting", "table", payload, unit="mark", role="backstay", **names)], why="x")  # type: ignore[arg-type]
        book.write([NewEntry("screw_lock", "cap_port", {"value": "locked"})], why="x")
    return book_folder


def replace_text(path: Path, old: str, new: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new), encoding="utf-8")


def test_a_healthy_book_is_well(folder: Path) -> None:
    report = check_book(folder)
    assert report.is_well
    assert report.remarks == ()
    assert report.looked_at == (
        "Brindle: 15 controls, 5 screws, 4 people, time zone Europe/London",
        "history: 2 entries",
    )
    assert report_as_json(report)["well"] is True


def test_every_mistake_of_files_and_history_is_listed_at_once(folder: Path) -> None:
    replace_text(folder / "boat.toml", 'time_zone = "Europe/London"', 'time_zone = "Europe/Londn"')
    replace_text(folder / "crew.toml", "mass_kg = 66.0", "mass_kg = 660.0")
    (folder / "book.sqlite").write_bytes(b"ruined" * 500)
    report = check_book(folder)
    words = [str(one) for one in report.mistakes]
    assert not report.is_well
    assert any("boat.toml:10" in one and "time zone name" in one for one in words)
    assert any("crew.toml" in one and "660" in one for one in words)
    assert any("is not a database" in one and "book restore" in one for one in words)
    assert report_as_json(report)["mistakes"][0]["line"] == 10


def test_a_book_without_a_history_says_how_to_make_one(book_folder: Path) -> None:
    (mistake,) = check_book(book_folder).mistakes
    assert "there is no book here" in mistake.message


def test_what_the_files_no_longer_have_is_a_remark(folder: Path) -> None:
    text = (folder / "boat.toml").read_text(encoding="utf-8")
    start = text.index('[[controls]]\nid = "backstay"')
    end = text.index("[[controls]]", start + 1)
    kept = text[:start] + text[end:]
    backstay = kept.index("[backstay]")
    kept = kept[:backstay] + kept[kept.index("[[sails]]", backstay) :]
    (folder / "boat.toml").write_text(kept, encoding="utf-8")
    replace_text(folder / "survey.toml", ', "backstay"]', "]")
    replace_text(folder / "survey.toml", 'controls = ["backstay"]\n', "")
    report = check_book(folder)
    assert report.is_well, [str(one) for one in report.mistakes]
    (remark,) = report.remarks
    assert "1 entries of setting are about 'backstay'" in remark.message


def test_a_sail_set_and_a_screw_that_are_gone_are_remarks(folder: Path) -> None:
    with Book.open(folder) as book:
        payload = {"value": 1.0, "source": "guess"}
        book.write(
            [NewEntry("setting", "table", payload, sail_set="genoa", wind_kn=10.0, role="vang")], why="x"
        )
        book.write([NewEntry("screw_lock", "babystay", {"value": "locked"})], why="x")
    words = " ".join(one.message for one in check_book(folder).remarks)
    assert "'genoa'" in words
    assert "'babystay'" in words


def test_back_up_and_bring_back(folder: Path, tmp_path: Path) -> None:
    report = back_up(folder, tmp_path / "b.zip")
    assert (report.files, report.entries) == (5, 2)
    assert bring_back(tmp_path / "b.zip", tmp_path / "again").replaced is None
    assert check_book(tmp_path / "again").is_well
    assert bring_back(tmp_path / "b.zip", folder, replace=True).replaced is not None
    assert check_book(folder).is_well


def test_a_history_travels_and_both_values_stay(folder: Path, tmp_path: Path) -> None:
    shutil.copytree(folder, tmp_path / "copy")
    with Book.open(folder, who="Ines") as ours, Book.open(tmp_path / "copy", who="Keo") as theirs:
        for book, word in ((ours, "taped"), (theirs, "unlocked")):
            book.write([NewEntry("screw_lock", "cap_port", {"value": word}, base_id=2)], why="x")
    assert export_history(tmp_path / "copy", tmp_path / "h.jsonl") == 3
    with pytest.raises(InputError, match="is there already"):
        export_history(tmp_path / "copy", tmp_path / "h.jsonl")
    with pytest.raises(ConflictError, match="you wrote taped, Keo wrote unlocked"):
        import_history(folder, tmp_path / "h.jsonl", who="Ines")
    report = import_history(folder, tmp_path / "h.jsonl", who="Ines", prefer="theirs")
    assert (report.added, report.already_there, len(report.clashes)) == (1, 2, 1)
    assert import_history(folder, tmp_path / "h.jsonl", who="Ines").added == 0
    with Book.open(folder) as book:
        assert [entry.value for entry in book.history("screw_lock")] == ["locked", "taped", "unlocked"]


@pytest.mark.parametrize(
    ("content", "words"),
    [(b"\xff\xfe\x00", "is not UTF-8"), (b"hello\n", "h.jsonl:1: not an entry"), (None, "cannot be read")],
)
def test_a_bad_import_file_takes_nothing_in(
    folder: Path, tmp_path: Path, content: bytes | None, words: str
) -> None:
    if content is not None:
        (tmp_path / "h.jsonl").write_bytes(content)
    with pytest.raises(InputError, match=words) as refused:
        import_history(folder, tmp_path / "h.jsonl", who="Ines")
    assert refused.value.next_step
    assert check_book(folder).looked_at[1] == "history: 2 entries"
