from __future__ import annotations

from pathlib import Path

import pytest

from cringle.errors import InputError
from cringle.findings import Source
from cringle.plays.play_file import PlayKind
from cringle.settings.table import CUE_SENSES, TECHNIQUES
from cringle.workflows.book_open import open_records
from cringle.workflows.round.cues import (
    SHIPPED_KINDS,
    SHIPPED_TECHNIQUES,
    senses_of_play,
    senses_of_technique,
    write_cue,
)
from cringle.workflows.round.cues_row import SHIPPED_UPWIND


def test_every_technique_and_every_kind_of_play_has_words() -> None:
    assert set(SHIPPED_TECHNIQUES) == set(TECHNIQUES)
    assert set(SHIPPED_KINDS) == {one.value for one in PlayKind}
    for one in (*SHIPPED_TECHNIQUES.values(), *SHIPPED_KINDS.values(), *SHIPPED_UPWIND.values()):
        assert {"see", "feel", "hear"} <= set(one)
    senses = {sense for one in (*SHIPPED_TECHNIQUES.values(), *SHIPPED_KINDS.values()) for sense in one}
    assert senses <= set(CUE_SENSES)


def test_shipped_words_are_guesses(book_folder: Path) -> None:
    found = senses_of_technique(book_folder, "plane")
    assert [one.sense for one in found] == list(CUE_SENSES)
    assert {one.source for one in found} == {Source.GUESS}


def test_the_coachs_words_take_their_place(book_folder: Path) -> None:
    write_cue(book_folder, "technique/plane", "hear", "a drum under the floor", who="Coach")
    write_cue(book_folder, "technique/plane", "hear", "a drum", who="Coach")
    heard = next(one for one in senses_of_technique(book_folder, "plane") if one.sense == "hear")
    assert (heard.words, heard.source, heard.by) == ("a drum", Source.ENTERED, "Coach")
    others = [one for one in senses_of_technique(book_folder, "plane") if one.sense != "hear"]
    assert {one.source for one in others} == {Source.GUESS}


def test_a_play_has_those_of_its_kind_and_then_its_own(book_folder: Path) -> None:
    assert {one.sense for one in senses_of_play(book_folder, "tack")} == set(SHIPPED_KINDS["tack"])
    write_cue(book_folder, "play/tack", "helm", "loads up late", who="Coach")
    assert "loads up late" in [one.words for one in senses_of_play(book_folder, "tack")]
    assert "loads up late" not in [one.words for one in senses_of_play(book_folder, "gybe_kite")]


@pytest.mark.parametrize(
    ("about", "sense", "words"),
    [
        ("technique/fly", "see", "x"),
        ("play/none", "see", "x"),
        ("row/8", "see", "x"),
        ("technique/soak", "smell", "x"),
        ("technique/soak", "see", "  "),
    ],
)
def test_unknown_things_are_refused(book_folder: Path, about: str, sense: str, words: str) -> None:
    with pytest.raises(InputError):
        write_cue(book_folder, about, sense, words, who="Coach")


def test_own_words_can_be_taken_back_and_given_again(book_folder: Path) -> None:
    for words in (None, "mine", None, "mine again", None, None):
        write_cue(book_folder, "technique/soak", "see", words, who="Coach")
    assert senses_of_technique(book_folder, "soak")[0].source is Source.GUESS
    with open_records(book_folder) as records:
        assert [one.value for one in records.book.history("cue")] == ["mine", None, "mine again", None]


def test_a_guess_is_shown_as_one(book_folder: Path) -> None:
    assert senses_of_technique(book_folder, "soak")[0].shown.endswith(" (guess)")
    write_cue(book_folder, "technique/soak", "see", "mine", who="Coach")
    assert senses_of_technique(book_folder, "soak")[0].shown == "mine"
