"""Cues of a row of the table: the coach's words where the table has them, else ours for that much wind."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

from cringle.book.entries import Entry, NewEntry, blank_payload
from cringle.book.outing_notes import require_text
from cringle.errors import InputError
from cringle.findings import Source
from cringle.settings.answer import sail_set_asked
from cringle.settings.names import known_name
from cringle.settings.table import CUE_SENSES, SEAS
from cringle.settings.tonight import Tonight
from cringle.workflows.book_open import Records, open_records
from cringle.workflows.numbers.entries import CUE, SUBJECT
from cringle.workflows.numbers.settings import whole_table
from cringle.workflows.round.cues import (
    SHIPPED_TECHNIQUES,
    CueSaid,
    guessed,
    merged_cues,
    senses_of_technique,
)

LIGHT_BELOW_KN: Final = 8.0
STRONG_ABOVE_KN: Final = 14.0
"""Where other words are ours up the wind (judgement: legs in below, more than the crew can hold above)."""

SHIPPED_UPWIND: Final = {
    ("settled", "light"): {
        "see": "jib leech a hand off the spreader end, forestay sags plainly against the mast",
        "feel": "heel comes from the people, not from the wind",
        "hear": "no gurgle at the transom",
        "helm": "a fingertip, or none",
    },
    ("settled", "middle"): {
        "see": "jib leech two fingers off the spreader end, forestay all but straight",
        "feel": "heel stays where it was set, nobody moves",
        "hear": "an even hiss along the side",
        "helm": "two fingers to windward",
    },
    ("settled", "strong"): {
        "see": "leech of the main opens in each puff, forestay straight",
        "feel": "puffs lift the bow before they heel the boat",
        "hear": "spray on the jib, the rig hums",
        "helm": "three fingers; a fist means ease",
    },
    ("build", "light"): {
        "see": "telltales of the jib all fly, leech well open",
        "feel": "bow down, speed before height",
        "hear": "the gurgle goes before height is taken",
        "helm": "none until there is speed",
    },
    ("build", "middle"): {
        "see": "telltales of the jib all fly, top batten of the main falls off",
        "feel": "bow down, the boat comes upright with its speed",
        "hear": "the gurgle quickens, then turns into a hiss",
        "helm": "one finger, and less than settled",
    },
    ("build", "strong"): {
        "see": "main breathes at the luff, jib still drives",
        "feel": "through the waves, not over them; flat first",
        "hear": "no slam; a slam means pinched",
        "helm": "light; a pull means too flat a sail or too much heel",
    },
}
"""Gear and strength of the wind to sense to words: guesses (common practice, no source)."""


@dataclass(frozen=True)
class RowPlace:
    """Which row: wind [kn], gear or technique, sails (None the upwind ones), sea (None any)."""

    wind_kn: float
    gear: str = "settled"
    sail_set: str | None = None
    sea: str | None = None


def shipped_for(gear: str, wind_kn: float) -> dict[str, str]:
    """Return our words for a gear or technique in one wind; none for a gear that a book has added.

    Examples
    --------
    >>> shipped_for("settled", 6.0)["hear"]
    'no gurgle at the transom'
    """
    if gear in SHIPPED_TECHNIQUES:
        return SHIPPED_TECHNIQUES[gear]
    strong = "strong" if wind_kn > STRONG_ABOVE_KN else "middle"
    return SHIPPED_UPWIND.get((gear, "light" if wind_kn < LIGHT_BELOW_KN else strong), {})


def senses_of_row(folder: Path, place: RowPlace) -> tuple[CueSaid, ...]:
    """Return the cues of the row nearest to a wind: the table's words, else ours as guesses.

    Raises
    ------
    InputError
        No such sails, sea or gear, or the table has no row of them.
    """
    with open_records(folder) as records:
        return cues_of_row(records, row_at(records, place))


def cues_of_row(records: Records, row: RowPlace) -> tuple[CueSaid, ...]:
    """Return the cues of a row that `row_at` has found."""
    return merged_cues(_name(row), _own(records, row), shipped_for(row.gear, row.wind_kn))


def with_cues(folder: Path, found: Tonight) -> Tonight:
    """Return tonight with cues where its row has none of its own; ours are marked as guesses."""
    technique = None if found.call is None else found.call.technique
    if found.cues or (found.point != "up" and technique is None):
        return found
    if found.point == "up" or technique is None:
        ours = shipped_for("settled", found.numbers.wind_kn)
        return replace(found, cues={sense: guessed(words) for sense, words in ours.items()})
    return replace(found, cues={one.sense: one.shown for one in senses_of_technique(folder, technique)})


def write_row_cue(
    folder: Path, place: RowPlace, sense: str, words: str | None, *, who: str
) -> CueSaid | None:
    """Write a cue of a row in the coach's own words; without words take them back, and ours stand again.

    Raises
    ------
    InputError
        No such row or sense, or empty words.
    """
    known_name(sense, CUE_SENSES, what="sense")
    if words is not None:
        require_text("cue", words)
    with open_records(folder, who=who) as records:
        row = row_at(records, place)
        if row.wind_kn != place.wind_kn:
            raise InputError(
                f"no row for {place.wind_kn:g} kn", next_step=f"the nearest one is {row.wind_kn:g} kn"
            )
        stands = _own(records, row).get(sense)
        if words is None and stands is None:
            return None
        exact = stands if stands is not None and stands.key.sea == row.sea else None
        entry = NewEntry(
            CUE,
            SUBJECT,
            blank_payload() if words is None else {"value": words},
            sail_set=row.sail_set,
            sea=row.sea,
            wind_kn=row.wind_kn,
            gear=row.gear,
            role=sense,
            base_id=None if exact is None else exact.id,
        )
        written = records.book.write([entry], why="cue")[0]
    return None if words is None else CueSaid(_name(row), sense, words, Source.ENTERED, who, written.id)


def row_at(records: Records, place: RowPlace) -> RowPlace:
    """Return the row nearest in wind, every name found; a technique finds the sails it is sailed with."""
    table = whole_table(records.book)
    sail_set = sail_set_asked(records.files.class_file, place.sail_set).id
    if place.sea is not None:
        known_name(place.sea, SEAS, what="sea")
    if place.sail_set is None and place.gear in SHIPPED_TECHNIQUES:
        having = [one for one in table.sail_sets() if place.gear in table.gears(one)]
        sail_set = having[0] if having else sail_set
    gear = known_name(place.gear, table.gears(sail_set), what="gear", next_step="see: cringle settings show")
    winds = table.winds(sail_set, gear)
    nearest = min(winds, key=lambda wind: abs(wind - place.wind_kn))
    return replace(place, wind_kn=nearest, gear=gear, sail_set=sail_set)


def _own(records: Records, row: RowPlace) -> dict[str, Entry]:
    """Return the table's own cues of a row by sense; those for its sea before those for any."""
    found = records.book.current(
        CUE, subject=SUBJECT, sail_set=row.sail_set, wind_kn=row.wind_kn, gear=row.gear
    )
    fitting = [one for one in found if one.key.sea in (None, row.sea)]
    return {str(one.key.role): one for one in sorted(fitting, key=lambda one: one.key.sea is not None)}


def _name(row: RowPlace) -> str:
    sea = "" if row.sea is None else f", {row.sea}"
    return f"row {row.wind_kn:g} kn, {row.gear}, {row.sail_set}{sea}"
