"""Cues of the table's rows: the coach's words where there are any, else a guess for that much wind."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from cringle.book.store import Book
from cringle.errors import InputError
from cringle.findings import Source
from cringle.settings.records import TonightRequest
from cringle.settings.table import CUE_SENSES
from cringle.settings.tonight import Call
from cringle.workflows.numbers.csv import import_csv
from cringle.workflows.numbers.settings import whole_table
from cringle.workflows.numbers.tonight import tonight
from cringle.workflows.round.cues_row import (
    SHIPPED_UPWIND,
    RowPlace,
    senses_of_row,
    shipped_for,
    with_cues,
    write_row_cue,
)


@pytest.fixture
def book(book_folder: Path, examples: Path) -> Path:
    """Return a book with numbers and no words of anybody's."""
    Book.open(book_folder, create=True).close()
    import_csv(book_folder, examples / "table.csv", who="coach")
    return book_folder


def test_every_gear_has_words_in_every_wind_by_the_known_senses() -> None:
    for gear in ("settled", "build", "soak", "wing", "plane"):
        for wind_kn in (4.0, 8.0, 14.0, 24.0):
            words = shipped_for(gear, wind_kn)
            assert {"see", "feel"} <= set(words) <= set(CUE_SENSES)
    assert shipped_for("somebody's own gear", 10.0) == {}


def test_the_words_speak_of_leech_stay_helm_spray_and_sound() -> None:
    said = " ".join(words for row in SHIPPED_UPWIND.values() for words in row.values())
    for word in ("leech", "spreader", "sags", "forestay", "mast", "finger", "spray", "hiss", "hums"):
        assert word in said


@pytest.mark.parametrize(("wind_kn", "word"), [(4.0, "sags"), (12.0, "two fingers off"), (20.0, "each puff")])
def test_without_own_words_ours_stand_as_guesses(book: Path, wind_kn: float, word: str) -> None:
    found = senses_of_row(book, RowPlace(wind_kn))
    assert {one.source for one in found} == {Source.GUESS}
    assert all(one.shown.endswith("(guess)") for one in found)
    assert word in next(one.words for one in found if one.sense == "see")
    assert found[0].about == f"row {wind_kn:g} kn, settled, main+jib"


def test_the_tables_own_words_go_before_ours_and_stay_in_the_table(book: Path, examples: Path) -> None:
    import_csv(book, None, examples / "cues.csv", who="Ines")
    found = {one.sense: one for one in senses_of_row(book, RowPlace(10.0))}
    assert found["see"].words == "jib leech two fingers off the spreader end"
    assert (found["see"].source, found["see"].by) == (Source.ENTERED, "Ines")
    assert found["hear"].source is Source.GUESS
    write_row_cue(book, RowPlace(10.0), "see", "leech three fingers off", who="coach")
    with Book.open(book) as records:
        note = whole_table(records).note("main+jib", "chop", 10.0, "settled")
    assert note is not None
    assert note.cues["see"] == "leech three fingers off"


def test_words_for_one_sea_hold_there_only(book: Path) -> None:
    write_row_cue(book, RowPlace(10.0), "hear", "hiss", who="coach")
    write_row_cue(book, RowPlace(10.0, sea="flat"), "hear", "silence", who="coach")

    def heard(sea: str | None) -> str:
        return next(one.words for one in senses_of_row(book, RowPlace(10.0, sea=sea)) if one.sense == "hear")

    assert (heard("flat"), heard("chop"), heard(None)) == ("silence", "hiss", "hiss")


def test_own_words_can_be_taken_back(book: Path) -> None:
    write_row_cue(book, RowPlace(10.0), "feel", "mine", who="coach")
    assert write_row_cue(book, RowPlace(10.0), "feel", None, who="coach") is None
    felt = next(one for one in senses_of_row(book, RowPlace(10.0)) if one.sense == "feel")
    assert felt.source is Source.GUESS
    write_row_cue(book, RowPlace(10.0), "feel", "mine again", who="coach")
    with Book.open(book) as records:
        before = records.newest()
        assert write_row_cue(book, RowPlace(10.0), "see", None, who="coach") is None
        assert records.newest() == before, "there was nothing to take back"


def test_a_wind_between_rows_reads_the_nearest_and_writes_none(book: Path) -> None:
    assert senses_of_row(book, RowPlace(11.2))[0].about.startswith("row 12 kn")
    with pytest.raises(InputError, match="12 kn"):
        write_row_cue(book, RowPlace(11.2), "see", "x", who="coach")


def test_a_technique_finds_the_sails_it_is_sailed_with(book: Path) -> None:
    assert "main+jib+kite" in senses_of_row(book, RowPlace(14.0, "plane"))[0].about


@pytest.mark.parametrize(
    ("place", "sense", "words"),
    [
        (RowPlace(10.0, gear="fly"), "see", "x"),
        (RowPlace(10.0, sea="ice"), "see", "x"),
        (RowPlace(10.0, sail_set="none"), "see", "x"),
        (RowPlace(10.0), "smell", "x"),
        (RowPlace(10.0), "see", " "),
    ],
)
def test_unknown_things_are_refused(book: Path, place: RowPlace, sense: str, words: str) -> None:
    with pytest.raises(InputError):
        write_row_cue(book, place, sense, words, who="coach")


def test_tonight_gets_ours_only_where_it_has_none(book: Path, examples: Path) -> None:
    bare = with_cues(book, tonight(book, TonightRequest(wind_kn=12.0)))
    assert bare.cues["helm"] == "two fingers to windward (guess)"
    import_csv(book, None, examples / "cues.csv", who="Ines")
    own = tonight(book, TonightRequest(wind_kn=12.0))
    assert with_cues(book, own) is own
    assert "guess" not in " ".join(own.cues.values())


def test_a_run_gets_those_of_the_technique_called(book: Path) -> None:
    found = tonight(book, TonightRequest(wind_kn=14.0, sail_set="main+jib+kite"))
    assert with_cues(book, replace(found, call=None)).cues == {}
    called = replace(found, call=Call(lane="protect high", technique="plane", jib="out", why="x"))
    assert "spray" in with_cues(book, called).cues["see"]
