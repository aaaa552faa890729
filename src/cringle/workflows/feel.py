"""The drill for feel: somebody calls a heel, the log tells the truth, and the bias is kept over outings."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from cringle.book.entries import NewEntry
from cringle.errors import InputError
from cringle.track.heel_felt import FeltBias
from cringle.workflows.book_open import open_records
from cringle.workflows.logs import DebriefWishes, debrief_log
from cringle.workflows.logs_race import RaceWishes
from cringle.workflows.outing import chosen_outing

HEEL_FELT = "heel_felt"


@dataclass(frozen=True)
class FeelOver:
    """One person over outings: calls, outings, mean of felt less measured, and that of the last [deg]."""

    who: str
    count: int
    outings: int
    bias_deg: float
    last_deg: float


def feel_drill(
    folder: Path, log: Path, called: Path, *, who: str, outing: str | None = None
) -> tuple[FeltBias, ...]:
    """Hold called heels against a log and keep each person's bias for the outing.

    Parameters
    ----------
    folder : Path
        The book.
    log : Path
        A file, or the name of a log kept in the book.
    called : Path
        CSV with ``time,who,heel_deg``.
    who : str
        Who keeps it.
    outing : str or None
        Id of the outing; None takes the newest.

    Raises
    ------
    InputError
        The log has no heel at those times, or too few calls to say anything.
    """
    found = debrief_log(log, book=folder, wishes=DebriefWishes(race=RaceWishes(felt_csv=called)))
    biases = () if found.race is None else found.race.felt
    if not biases:
        raise InputError(
            f"{called.name}: nobody called often enough while heel was measured",
            next_step="call at least three times, with a phone fixed below or a heel sensor",
        )
    keep_feel(folder, biases, who=who, outing=outing)
    return biases


def keep_feel(folder: Path, biases: Sequence[FeltBias], *, who: str, outing: str | None = None) -> None:
    """Keep each person's bias of an outing; the same outing again replaces it."""
    with open_records(folder, who=who) as records:
        day = chosen_outing(records, outing)
        entries = []
        for one in biases:
            subject = f"{day.id}/{one.who}"
            stands = records.book.one(HEEL_FELT, subject)
            payload = {"value": one.bias_deg, "count": one.count, "person": one.who}
            entries.append(
                NewEntry(HEEL_FELT, subject, payload, unit="deg", base_id=stands.id if stands else None)
            )
        records.book.write(entries, why="drill for feel")


def feel_over_outings(folder: Path) -> tuple[FeelOver, ...]:
    """Return each person's bias over the outings, weighted by the number of calls."""
    with open_records(folder) as records:
        kept = records.book.current(HEEL_FELT)
    found = []
    for person in dict.fromkeys(str(one.payload["person"]) for one in kept):
        own = sorted(
            (one for one in kept if one.payload["person"] == person), key=lambda one: one.key.subject
        )
        count = sum(int(one.payload["count"]) for one in own)
        bias = math.fsum(int(one.payload["count"]) * float(one.value) for one in own) / count
        found.append(FeelOver(person, count, len(own), bias, float(own[-1].value)))
    return tuple(found)
