"""The four files of a book are one frozen thing."""

from __future__ import annotations

import dataclasses
from pathlib import Path

import pytest

from cringle.boat.book_files import BookFiles
from cringle.boat.read import read_book_files


def test_files_are_frozen_and_know_their_folder(examples: Path) -> None:
    files = read_book_files(examples)
    assert isinstance(files, BookFiles)
    assert files.folder == examples
    with pytest.raises(dataclasses.FrozenInstanceError):
        files.folder = Path()  # type: ignore[misc]
