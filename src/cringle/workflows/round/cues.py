"""Cues: what one sees, feels and hears with a technique or in a play, where there are no instruments.

Rows of the table carry theirs in the table. Techniques and plays carry ours, which are guesses in our own
words (common practice, no source) until the coach writes better ones.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from cringle.book.entries import Entry, NewEntry, blank_payload
from cringle.book.outing_notes import require_text
from cringle.errors import InputError
from cringle.findings import Source
from cringle.settings.names import known_name
from cringle.settings.table import CUE_SENSES, TECHNIQUES
from cringle.workflows.book_open import Records, open_records
from cringle.workflows.numbers.entries import CUE
from cringle.workflows.plays.open import open_playbook

SHIPPED_TECHNIQUES: Final = {
    "soak": {
        "see": "luff of the kite curls a hand wide; clew over the corner of the transom",
        "feel": "low and quiet: pressure stays on the sheet when the bow goes down",
        "hear": "an even gurgle; silence means too low",
        "helm": "a light pull to windward",
    },
    "wing": {
        "see": "kite square to windward, its two clews level",
        "feel": "boat upright, no roll building up",
        "hear": "no slap of the leech",
        "helm": "no load; any load is a roll beginning",
    },
    "plane": {
        "see": "bow wave behind the shrouds, spray leaves low and flat",
        "feel": "jumps forward with each puff, never onto its ear",
        "hear": "a roar at the transom that does not stop in the lull",
        "helm": "light at speed; heavy means too high",
    },
}
"""Technique to sense to words."""

SHIPPED_KINDS: Final = {
    "speed": {
        "see": "telltales fly together",
        "feel": "heel steady while speed comes",
        "hear": "an even hiss along the side; a slap means too high",
    },
    "tack": {
        "see": "jib fills once, without a flap",
        "feel": "one push out of the turn, then build",
        "hear": "quiet through the wind, then the gurgle is back",
    },
    "rounding": {
        "see": "wake bends once, no second bend",
        "feel": "weight moves with the bow, not after it",
        "hear": "each call answered before the next",
    },
    "set": {
        "see": "kite fills before the jib leaves",
        "feel": "boat level at the hoist, the pull comes all at once",
        "hear": "head up called before sheet on",
    },
    "change": {
        "see": "the sail never collapses while roles change",
        "feel": "heel stays where it was while people move",
        "hear": "one voice calls",
    },
    "gybe": {
        "see": "clew leaves the forestay before the main crosses",
        "feel": "boat under the mast, no roll",
        "hear": "one rustle of cloth, the boom crosses without a bang",
    },
    "drop": {
        "see": "cloth comes in as fast as it comes down",
        "feel": "boat upright, little pull left in the cloth",
        "hear": "the halyard runs free",
    },
    "trouble": {
        "see": "everybody in sight and counted",
        "feel": "boat slow and upright before anybody moves",
        "hear": "one voice, short words",
    },
}
"""Kind of play to sense to words, where a play has no own words: guesses (common practice, no source)."""

TECHNIQUE, PLAY = "technique", "play"


@dataclass(frozen=True)
class CueSaid:
    """One cue: of what, by which sense, in what words, how sure, by whom, and its entry where it has one."""

    about: str
    sense: str
    words: str
    source: Source
    by: str
    entry_id: int | None = None

    @property
    def shown(self) -> str:
        """The words, a guess marked as one."""
        return guessed(self.words) if self.source is Source.GUESS else self.words


def guessed(words: str) -> str:
    """Return words marked as a guess."""
    return f"{words} (guess)"


def senses_of_technique(folder: Path, technique: str) -> tuple[CueSaid, ...]:
    """Return the cues of a technique: the coach's words, else ours as guesses.

    Raises
    ------
    InputError
        There is no such technique.
    """
    name = known_name(technique, TECHNIQUES, what="technique")
    with open_records(folder) as records:
        return cues_about(records, f"{TECHNIQUE}/{name}", SHIPPED_TECHNIQUES[name])


def senses_of_play(folder: Path, play: str) -> tuple[CueSaid, ...]:
    """Return the cues of a play: the coach's words, else ours for its kind as guesses.

    Raises
    ------
    InputError
        There is no such play.
    """
    kind = open_playbook(folder).load(play).play.kind
    with open_records(folder) as records:
        return cues_about(records, f"{PLAY}/{play}", SHIPPED_KINDS[kind])


def cues_about(records: Records, about: str, shipped: Mapping[str, str]) -> tuple[CueSaid, ...]:
    """Return the cues of a technique or a play of an open book; see `senses_of_technique`."""
    own = {str(one.key.role): one for one in records.book.current(CUE, subject=about)}
    return merged_cues(about, own, shipped)


def merged_cues(about: str, own: Mapping[str, Entry], shipped: Mapping[str, str]) -> tuple[CueSaid, ...]:
    """Return cues by sense: somebody's own words where there are any, else ours as guesses."""
    found = []
    for sense in CUE_SENSES:
        if (entry := own.get(sense)) is not None:
            found.append(CueSaid(about, sense, str(entry.value), Source.ENTERED, entry.who, entry.id))
        elif sense in shipped:
            found.append(CueSaid(about, sense, shipped[sense], Source.GUESS, "shipped"))
    return tuple(found)


def write_cue(folder: Path, about: str, sense: str, words: str | None, *, who: str) -> CueSaid | None:
    """Write a cue of a technique or a play in the coach's own words; without words ours stand again.

    Parameters
    ----------
    folder : Path
        The book.
    about : str
        ``technique/soak`` or ``play/tack``.
    sense : str
        ``see``, ``feel``, ``hear`` or ``helm``.
    words : str or None
        What one sees, feels or hears; None takes the own words back.
    who : str
        Who writes it.

    Raises
    ------
    InputError
        There is no such technique, play or sense, or the words are empty.
    """
    known_name(sense, CUE_SENSES, what="sense")
    _require_known(folder, about)
    if words is not None:
        require_text("cue", words)
    with open_records(folder, who=who) as records:
        stands = records.book.one(CUE, about, role=sense)
        if words is None and (stands is None or stands.is_blank):
            return None
        payload = blank_payload() if words is None else {"value": words}
        entry = NewEntry(CUE, about, payload, role=sense, base_id=stands.id if stands else None)
        written = records.book.write([entry], why="cue")[0]
    return None if words is None else CueSaid(about, sense, words, Source.ENTERED, who, written.id)


def _require_known(folder: Path, about: str) -> None:
    kind, _, name = about.partition("/")
    if kind == TECHNIQUE:
        known_name(name, TECHNIQUES, what="technique")
    elif kind == PLAY:
        open_playbook(folder).load(name)
    else:
        raise InputError(
            f"{about!r} is neither a technique nor a play",
            next_step="write technique/soak or play/tack, or a wind for a row of the table",
        )
