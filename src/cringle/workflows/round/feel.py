"""The drill for feel: somebody calls a heel, the log tells the truth, and the bias is kept over outings."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from cringle.boat.read import read_book_files
from cringle.book.entries import Entry, NewEntry
from cringle.errors import InputError
from cringle.settings.aboard import people_aboard
from cringle.track.heel.felt import LARGEST_DEG, FeltBias, bias_of
from cringle.workflows.afloat.logs import DebriefWishes, debrief_log
from cringle.workflows.afloat.logs_race import RaceWishes
from cringle.workflows.book_open import open_records
from cringle.workflows.outings.outing import chosen_outing

HEEL_FELT = "heel_felt"


GOOD_DEG: Final = 2.0
"""A feeling within this is good enough to hold a heel by: half the band of the heel target."""


@dataclass(frozen=True)
class FeelDay:
    """One person on one outing: calls, and the mean of felt less measured [deg]."""

    outing: str
    count: int
    bias_deg: float


@dataclass(frozen=True)
class FeelOver:
    """One person over outings: calls, outings, mean of felt less measured, and that of the last [deg]."""

    who: str
    count: int
    outings: int
    bias_deg: float
    last_deg: float
    days: tuple[FeelDay, ...] = ()

    @property
    def advice(self) -> str:
        """What to do with it, in a sentence."""
        if abs(self.last_deg) <= GOOD_DEG:
            return f"good enough: within {GOOD_DEG:g}° the last time"
        more = "more" if self.last_deg > 0.0 else "less"
        return f"said {abs(self.last_deg):.0f}° {more} than there was the last time: call, look, call again"


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
        days = tuple(_day(one) for one in own)
        count = sum(one.count for one in days)
        bias = math.fsum(one.count * one.bias_deg for one in days) / count
        found.append(FeelOver(person, count, len(days), bias, days[-1].bias_deg, days))
    return tuple(found)


def _day(entry: Entry) -> FeelDay:
    return FeelDay(entry.key.subject.split("/")[0], int(entry.payload["count"]), float(entry.value))


def feel_by_spotter(
    folder: Path, caller: str, calls: Sequence[tuple[float, float]], *, who: str, outing: str | None = None
) -> FeltBias:
    """Keep the bias of one person whose calls a spotter, or the inclinometer read aloud, has set right.

    Parameters
    ----------
    folder : Path
        The book.
    caller : str
        Name or id of somebody of the crew.
    calls : sequence of (float, float)
        Heel called, and the true one [deg], both to leeward.
    who : str
        Who keeps it.
    outing : str or None
        Id of the outing; None takes the newest.

    Raises
    ------
    InputError
        Nobody of the crew has that name, too few calls, or a heel that is none.
    """
    for one in (angle for call in calls for angle in call):
        if not abs(one) <= LARGEST_DEG:
            raise InputError(
                f"heel {one:g}°; accepted: up to {LARGEST_DEG:g} either way", next_step="such as 12=15"
            )
    (person,) = people_aboard(read_book_files(folder).crew_file, (caller,))
    bias = bias_of(person.name, [called - true for called, true in calls])
    keep_feel(folder, [bias], who=who, outing=outing)
    return bias
