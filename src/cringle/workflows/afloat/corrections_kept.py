"""Corrections of a log's detections as entries of the book: kept, listed, undone, each with who and why."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any, Final

from cringle.book.entries import Entry, NewEntry, blank_payload
from cringle.book.names import DATABASE_NAME
from cringle.errors import InputError
from cringle.track.debrief.correct import correction_words
from cringle.track.race.correction import Correction
from cringle.workflows.book_open import open_records

CORRECTION: Final = "log_correction"
"""Kind of entry; its subject is the hash of the log, its role the correction's number."""


@dataclass(frozen=True)
class KeptCorrection:
    """A correction in the book.

    Parameters
    ----------
    number : int
        By which it is undone; counts up for each log.
    sha256 : str
        Hash of the log.
    correction : Correction
        What was said.
    who, why : str
        Who said it, and why; of one that was undone, who undid it.
    at : datetime
        When that was written, UTC.
    undone : bool
        Whether it no longer counts.
    """

    number: int
    sha256: str
    correction: Correction
    who: str
    why: str
    at: datetime
    undone: bool = False

    def to_json(self) -> dict[str, Any]:
        """Return it as plain values."""
        return {
            "number": self.number,
            "sha256": self.sha256,
            **{name: value for name, value in self.correction.to_json().items() if name != "at"},
            "time": self.correction.at.isoformat(),
            "who": self.who,
            "why": self.why,
            "written": self.at.isoformat(),
            "undone": self.undone,
        }


def kept_corrections(book: Path, sha256: str) -> list[KeptCorrection]:
    """Return the corrections of a log in the order they were made, undone ones too.

    Parameters
    ----------
    book : Path
        The book's folder.
    sha256 : str
        Hash of the log.
    """
    return _by_log(book, sha256).get(sha256, [])


def corrections_in_force(book: Path | None, sha256: str) -> tuple[Correction, ...]:
    """Return the corrections of a log that count; none without a book."""
    return all_in_force(book, sha256).get(sha256, ())


def all_in_force(book: Path | None, sha256: str | None = None) -> dict[str, tuple[Correction, ...]]:
    """Return the corrections that count, by the hash of their log.

    Parameters
    ----------
    book : Path or None
        The book's folder; a folder without records has none.
    sha256 : str, optional
        Of one log only.
    """
    if book is None or not (book / DATABASE_NAME).is_file():
        return {}
    return {
        log: tuple(one.correction for one in kept if not one.undone)
        for log, kept in _by_log(book, sha256).items()
    }


def keep_corrections(
    book: Path, sha256: str, said: Sequence[Correction], *, who: str, why: str
) -> list[KeptCorrection]:
    """Write corrections of a log into the book, all of them or none.

    Raises
    ------
    ConflictError
        Somebody corrected the same log at the same moment; look at the list and say it again.
    """
    with open_records(book, who=who) as records:
        history = records.book.history(CORRECTION, subject=sha256)
        last = max((int(one.key.role or 0) for one in history), default=0)
        entries = [
            NewEntry(
                CORRECTION, sha256, {"value": correction_words(one, "UTC"), **one.to_json()}, role=str(number)
            )
            for number, one in enumerate(said, start=last + 1)
        ]
        written = records.book.write(entries, why=why)
    return [_kept(one, one) for one in written]


def undo_corrections(
    book: Path, sha256: str, numbers: Sequence[int], *, who: str, why: str
) -> list[KeptCorrection]:
    """Take corrections of a log back; the entries stay in the history, and new ones say they do not count.

    Raises
    ------
    InputError
        There is no correction of such a number that counts.
    ConflictError
        Somebody else took it back at the same moment.
    """
    with open_records(book, who=who) as records:
        current = {int(one.key.role or 0): one for one in records.book.current(CORRECTION, subject=sha256)}
        missing = [number for number in numbers if number not in current]
        if missing:
            have = ", ".join(str(one) for one in sorted(current)) or "none"
            raise InputError(
                f"no correction {missing[0]} of this log; it has {have}",
                next_step="list them: cringle log correct LOG",
            )
        entries = [
            NewEntry(CORRECTION, sha256, blank_payload(), role=str(number), base_id=current[number].id)
            for number in dict.fromkeys(numbers)
        ]
        written = records.book.write(entries, why=why)
        return [_kept(current[int(one.key.role or 0)], one) for one in written]


def _payload(one: Correction) -> dict[str, Any]:
    """Return what is kept: for the machine, and as a value that the history shows in words."""
    return {"value": correction_words(one, "UTC"), **one.to_json()}


def _by_log(book: Path, sha256: str | None) -> Mapping[str, list[KeptCorrection]]:
    where = {} if sha256 is None else {"subject": sha256}
    with open_records(book) as records:
        history = records.book.history(CORRECTION, **where)  # type: ignore[arg-type]  # one key or none
    made: dict[tuple[str, int], Entry] = {}
    newest: dict[tuple[str, int], Entry] = {}
    for one in history:
        cell = (one.key.subject, int(one.key.role or 0))
        newest[cell] = one
        if not one.is_blank:
            made[cell] = one
    found: dict[str, list[KeptCorrection]] = {}
    for cell in sorted(made):
        found.setdefault(cell[0], []).append(_kept(made[cell], newest[cell]))
    return found


def _kept(made: Entry, newest: Entry) -> KeptCorrection:
    return KeptCorrection(
        number=int(made.key.role or 0),
        sha256=made.key.subject,
        correction=Correction.from_json(made.payload),
        who=newest.who,
        why=newest.why,
        at=newest.at,
        undone=newest.is_blank,
    )
