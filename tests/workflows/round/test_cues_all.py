"""Cues found by one word, and all of them at once."""

from __future__ import annotations

from pathlib import Path

import pytest

from cringle.book.store import Book
from cringle.errors import InputError
from cringle.findings import Source
from cringle.settings.table import TECHNIQUES
from cringle.workflows.numbers.csv import import_csv
from cringle.workflows.plays.open import open_playbook
from cringle.workflows.round.cues_all import about_of, every_cue, said_of, write_about
from cringle.workflows.round.cues_row import RowPlace


@pytest.mark.parametrize(
    ("word", "about"),
    [
        ("plane", "technique/plane"),
        ("tack", "play/tack"),
        ("technique/soak", "technique/soak"),
        ("12", RowPlace(12.0, "settled")),
    ],
)
def test_one_word_is_enough(book_folder: Path, word: str, about: object) -> None:
    assert about_of(book_folder, word) == about


@pytest.mark.parametrize("word", ["plan", "tak", "nan", "inf"])
def test_another_word_gets_the_nearest(book_folder: Path, word: str) -> None:
    with pytest.raises(InputError, match="no technique or play"):
        about_of(book_folder, word)


@pytest.mark.parametrize("about", ["row/8", "technique/fly", "play/none"])
def test_what_there_is_not_is_refused(book_folder: Path, about: str) -> None:
    with pytest.raises(InputError):
        said_of(book_folder, about)


def test_all_of_them_are_those_of_each(book_folder: Path, examples: Path) -> None:
    Book.open(book_folder, create=True).close()
    import_csv(book_folder, examples / "table.csv", examples / "cues.csv", who="coach")
    found = every_cue(book_folder)
    plays = open_playbook(book_folder).in_order()
    wanted = [f"technique/{one}" for one in TECHNIQUES] + [f"play/{one}" for one in plays]
    for about in wanted:
        assert tuple(one for one in found if one.about == about) == said_of(book_folder, about)
    rows = {one.about for one in found} - set(wanted)
    assert len(rows) == 20, "ten winds, build and settled; techniques stand by themselves"
    assert all(one.entry_id is None for one in found if one.source is Source.GUESS)


def test_writing_needs_a_place_and_a_sense(book_folder: Path) -> None:
    for about, sense in ((None, "see"), ("play/tack", None)):
        with pytest.raises(InputError, match="without its place"):
            write_about(book_folder, about, sense=sense, words="x", who="coach")
    write_about(book_folder, "play/tack", sense="see", words="x", who="coach")
    assert said_of(book_folder, "play/tack")[0].words == "x"
