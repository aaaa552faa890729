"""A copy of the demo's files with one mistake put in."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from cringle.boat.read import read_book_files
from cringle.errors import BookFileError, Finding

Spoil = Callable[[str, str, str], Finding]


@pytest.fixture
def spoil(book_folder: Path) -> Spoil:
    """Return a function that replaces text in one file and gives back the first mistake reported for it."""

    def run(name: str, old: str, new: str) -> Finding:
        path = book_folder / name
        text = path.read_text(encoding="utf-8")
        assert old in text
        path.write_text(text.replace(old, new, 1), encoding="utf-8")
        with pytest.raises(BookFileError) as caught:
            read_book_files(book_folder)
        assert caught.value.next_step is not None
        return next(one for one in caught.value.findings if one.path == path)

    return run
