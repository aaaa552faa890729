"""Every cue of a book, found by one word: a technique, a play, or the wind of a row."""

from __future__ import annotations

import math
from collections.abc import Iterator
from pathlib import Path

from cringle.errors import InputError
from cringle.settings.names import known_name
from cringle.settings.table import TECHNIQUES, Table
from cringle.workflows.book_open import open_records
from cringle.workflows.numbers.settings import whole_table
from cringle.workflows.plays.open import open_playbook
from cringle.workflows.round.cues import (
    PLAY,
    SHIPPED_KINDS,
    SHIPPED_TECHNIQUES,
    TECHNIQUE,
    CueSaid,
    cues_about,
    senses_of_play,
    senses_of_technique,
    write_cue,
)
from cringle.workflows.round.cues_row import RowPlace, cues_of_row, senses_of_row, write_row_cue

About = RowPlace | str
"""A row, or ``technique/soak`` or ``play/tack``."""


def about_of(
    folder: Path, word: str, *, gear: str = "settled", sail_set: str | None = None, sea: str | None = None
) -> About:
    """Return what a word means: a number is the wind of a row, else a technique or a play.

    Raises
    ------
    InputError
        It is neither; the message names the nearest.
    """
    wind_kn = _number(word)
    if wind_kn is not None:
        return RowPlace(wind_kn, gear, sail_set, sea)
    if "/" in word:
        return word
    plays = open_playbook(folder).in_order()
    name = known_name(word, (*TECHNIQUES, *plays), what="technique or play", next_step="run: cringle cues")
    return f"{TECHNIQUE}/{name}" if name in TECHNIQUES else f"{PLAY}/{name}"


def _number(word: str) -> float | None:
    try:
        value = float(word)
    except ValueError:
        return None
    return value if math.isfinite(value) else None


def said_of(folder: Path, about: About) -> tuple[CueSaid, ...]:
    """Return the cues of a row, a technique or a play.

    Raises
    ------
    InputError
        There is no such thing.
    """
    if isinstance(about, RowPlace):
        return senses_of_row(folder, about)
    kind, _, name = about.partition("/")
    if kind == TECHNIQUE:
        return senses_of_technique(folder, name)
    if kind == PLAY:
        return senses_of_play(folder, name)
    raise InputError(f"{about!r} is neither technique/… nor play/…", next_step="run: cringle cues")


def write_about(folder: Path, about: About | None, *, sense: str | None, words: str | None, who: str) -> None:
    """Write a cue in somebody's own words, or take those back (`words` None).

    Raises
    ------
    InputError
        It is not said of what, or by which sense.
    """
    if about is None or sense is None:
        raise InputError(
            "a cue without its place or its sense",
            next_step="such as: cringle cues plane --sense hear --words 'a drum under the floor'",
        )
    if isinstance(about, RowPlace):
        write_row_cue(folder, about, sense, words, who=who)
    else:
        write_cue(folder, about, sense, words, who=who)


def every_cue(folder: Path) -> tuple[CueSaid, ...]:
    """Return the cues of every row up the wind, every technique and every play."""
    book = open_playbook(folder)
    kinds = {name: book.load(name).play.kind for name in book.in_order()}
    with open_records(folder) as records:
        rows = [cues_of_row(records, one) for one in _rows(whole_table(records.book))]
        runs = [cues_about(records, f"{TECHNIQUE}/{one}", SHIPPED_TECHNIQUES[one]) for one in TECHNIQUES]
        plays = [cues_about(records, f"{PLAY}/{one}", SHIPPED_KINDS[kind]) for one, kind in kinds.items()]
    return tuple(cue for found in (*rows, *runs, *plays) for cue in found)


def _rows(table: Table) -> Iterator[RowPlace]:
    for sail_set in table.sail_sets():
        for gear in (one for one in table.gears(sail_set) if one not in TECHNIQUES):
            yield from (RowPlace(wind_kn, gear, sail_set) for wind_kn in table.winds(sail_set, gear))
