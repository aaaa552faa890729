from __future__ import annotations

import pytest

from cringle.book.store import Book
from cringle.errors import BookFileError, InputError
from cringle.workflows.numbers.csv import export_csv, export_files, import_csv


@pytest.fixture
def folder(book_folder):
    with Book.open(book_folder, create=True, who="coach"):
        pass
    return book_folder


def newest(folder):
    with Book.open(folder) as book:
        return book.newest()


def test_the_same_file_twice_changes_nothing(folder, examples):
    first = import_csv(folder, examples / "table.csv", examples / "cues.csv", who="Ines")
    assert first.written == first.read > 700
    count = newest(folder)
    second = import_csv(folder, examples / "table.csv", examples / "cues.csv", who="Keo")
    assert (second.written, second.unchanged) == (0, first.read)
    assert newest(folder) == count


def test_only_what_differs_is_written(folder, examples, tmp_path):
    import_csv(folder, examples / "table.csv", None, who="Ines")
    text = (examples / "table.csv").read_text(encoding="utf-8")
    old = "main+jib,chop,12,settled,vang,2,mark,entered,"
    assert old in text
    changed = tmp_path / "table.csv"
    changed.write_text(text.replace(old, old.replace(",2,", ",2.5,")), encoding="utf-8")
    assert import_csv(folder, changed, None, who="Keo").written == 1
    same_value = tmp_path / "table2.csv"
    same_value.write_text(
        text.replace(old, "main+jib,chop,12,settled,vang,2.5,mark,trial,7"), encoding="utf-8"
    )
    assert import_csv(folder, same_value, None, who="Keo").written == 1


def test_a_mistake_writes_nothing(folder, examples, tmp_path):
    text = (examples / "table.csv").read_text(encoding="utf-8")
    wrong = tmp_path / "wrong.csv"
    wrong.write_text(text + "main+jib,chop,12,settled,vang,99,mark,entered,\n", encoding="utf-8")
    before = newest(folder)
    with pytest.raises(BookFileError, match=r"wrong.csv:\d+: value: a number out of reach; found '99'"):
        import_csv(folder, wrong, None, who="Ines")
    assert newest(folder) == before


def test_a_mistake_in_the_cues_keeps_the_table_out_too(folder, examples, tmp_path):
    cues = tmp_path / "cues.csv"
    cues.write_text("sail_set,sea,wind_kn,gear,posture\nmain+jib,,8,settled,lying\n", encoding="utf-8")
    before = newest(folder)
    with pytest.raises(BookFileError, match="posture"):
        import_csv(folder, examples / "table.csv", cues, who="Ines")
    assert newest(folder) == before


def test_what_goes_out_comes_in_unchanged(folder, examples, tmp_path):
    import_csv(folder, examples / "table.csv", examples / "cues.csv", who="Ines")
    out, cues = export_files(folder, tmp_path / "out.csv", tmp_path / "cues.csv")
    again = import_csv(folder, out, cues, who="Keo")
    assert again.written == 0
    assert export_csv(folder)[0] == out.read_text(encoding="utf-8")


def test_an_earlier_table_goes_out(folder, examples):
    import_csv(folder, examples / "table.csv", None, who="Ines")
    assert export_csv(folder, as_of="2020-01-01")[0].count("\n") == 1
    assert export_csv(folder, as_of="#3")[0].count("\n") == 4


def test_targets_that_cannot_be(folder, tmp_path):
    with pytest.raises(InputError, match="no such folder"):
        export_files(folder, tmp_path / "none" / "out.csv")
    with pytest.raises(InputError, match="need two files"):
        export_files(folder, tmp_path / "out.csv", tmp_path / "out.csv")
