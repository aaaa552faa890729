from __future__ import annotations

from pathlib import Path

import pytest

from cringle.errors import BookFileError
from cringle.workflows.book_open import open_records


def test_files_and_history_open_together(book_folder: Path) -> None:
    with open_records(book_folder, who="Ines", device="phone") as records:
        assert records.files.boat_file.boat.name == "Brindle"
        assert records.zone.key == "Europe/London"
        assert (records.book.who, records.book.device) == ("Ines", "phone")
    assert (book_folder / "book.sqlite").is_file()


def test_files_with_mistakes_open_nothing(book_folder: Path) -> None:
    (book_folder / "boat.toml").write_text("schema_version = 1\n", encoding="utf-8")
    with pytest.raises(BookFileError), open_records(book_folder):
        pass
    assert not (book_folder / "book.sqlite").exists()
