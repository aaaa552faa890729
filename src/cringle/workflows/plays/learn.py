"""Durations of a play out of a log: how long the bow took in each tack or gybe."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from cringle.book.entries import NewEntry
from cringle.book.rows import time_text
from cringle.errors import InputError
from cringle.plays.observed import helm_times, turn_seconds
from cringle.plays.play_file import PlayFile, PlayKind
from cringle.track.circle import unwind_deg
from cringle.track.reading.complete import Complete, complete
from cringle.track.reading.options import ReadOptions
from cringle.track.reading.read import read_log
from cringle.track.series import series_of
from cringle.track.turns.tacks import Manoeuvre, find_manoeuvres
from cringle.workflows.book_open import open_records
from cringle.workflows.plays.open import RUN_KIND, open_playbook
from cringle.workflows.plays.rehearse import Rehearsed, rehearsed


@dataclass(frozen=True)
class Learned:
    """What a log added to a play: runs kept, those known already, and turns that could not be timed."""

    rehearsed: Rehearsed
    kept: int
    known: int
    untimed: int


def learn_from_log(
    folder: Path, name: str, log: Path, *, who: str = "coach", options: ReadOptions | None = None
) -> Learned:
    """Keep a run of a tack or gybe for each one that a log shows, with the helm's times.

    The time of the turn is shared among the helm's actions as the play plans them. A log that was taken in
    before adds nothing a second time. Nobody counts as seen in a role by it.

    Raises
    ------
    LogError, InputError
        The log cannot be read or carries no wind angle, or the play is neither a tack nor a gybe.
    """
    book = open_playbook(folder)
    play = book.load(name).play
    if play.kind not in (PlayKind.TACK, PlayKind.GYBE):
        raise InputError(f"{play.id} is no tack or gybe; a log tells nothing about its times")
    track = read_log(log, options=options)
    full = complete(series_of(track.track, track.side))
    found = find_manoeuvres(full)
    if found is None:
        raise InputError(
            f"{log}: no wind angle in this log", next_step="time the play: cringle play rehearse"
        )
    turns = [one for one in found.manoeuvres if one.kind == play.kind.value]
    timed = [(one.at, seconds) for one in turns if (seconds := _seconds(full, one)) is not None]
    known = {run.at for run in book.runs if run.play == play.id}
    fresh = [(at, seconds) for at, seconds in timed if at not in known]
    entries = [_entry(play, at, seconds, log=log.name) for at, seconds in fresh]
    with open_records(folder, who=who) as records:
        records.book.write(entries, why=f"turns of {log.name}")
    return Learned(rehearsed(folder, name), len(fresh), len(timed) - len(fresh), len(turns) - len(timed))


def _seconds(full: Complete, turn: Manoeuvre) -> float | None:
    if turn.heading_before_deg is None or turn.turn_deg is None:
        return None
    row = round((turn.at - full.series.start).total_seconds())
    return turn_seconds(unwind_deg(full.bow), row, before_deg=turn.heading_before_deg, turn_deg=turn.turn_deg)


def _entry(play: PlayFile, at: datetime, seconds: float, *, log: str) -> NewEntry:
    payload = {
        "at": time_text(at),
        "times_s": helm_times(play, seconds),
        "total_s": None,
        "people": {},
        "afloat": True,
        "outing": None,
        "note": f"turn of {seconds:.1f} s in {log}",
    }
    return NewEntry(RUN_KIND, play.id, payload)
