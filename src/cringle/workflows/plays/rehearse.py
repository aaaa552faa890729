"""Rehearsing a play: keep a timed run in the book, show progress over outings and who has done what."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path

from cringle.book.entries import NewEntry
from cringle.book.rows import time_text
from cringle.errors import InputError
from cringle.plays.durations import Timing
from cringle.plays.play_file import LONGEST_S, PlayFile
from cringle.plays.rehearsal import (
    Progress,
    Run,
    SkillSeen,
    progress,
    require_known,
    skills_seen,
    tapped_durations,
    timings,
)
from cringle.workflows.book_open import open_records
from cringle.workflows.outings.outing import all_outings
from cringle.workflows.plays.open import RUN_KIND, open_playbook, recorded_runs
from cringle.workflows.plays.play import check_play

FASTEST_SHARE = 0.2
"""Taps in less than this share of the planned time were not made by people at work (judgement)."""


@dataclass(frozen=True)
class RunSaid:
    """What somebody says about one run.

    Parameters
    ----------
    times_s : mapping
        Action to its duration by the stop-watch [s].
    total_s : float or None
        From the call to the end [s].
    people : mapping
        Role to person; tonight's roles of the crew file when empty.
    afloat : bool
        False for a walk-through ashore, which does not change the times the tool reckons with.
    note : str
        What was seen.
    """

    times_s: Mapping[str, float] = field(default_factory=dict)
    total_s: float | None = None
    people: Mapping[str, str] = field(default_factory=dict)
    afloat: bool = True
    note: str = ""


@dataclass(frozen=True)
class Rehearsed:
    """A play's record so far: runs, progress by outing, and the times reckoned with now."""

    play: PlayFile
    runs: tuple[Run, ...]
    progress: tuple[Progress, ...]
    timings: Mapping[str, Timing]


def record_run(folder: Path, name: str, said: RunSaid, *, who: str = "coach") -> Rehearsed:
    """Keep one run of a play in the book; when this returns, it is on the disk.

    Raises
    ------
    InputError
        A time of an action the play does not have, or one that cannot be; nothing is kept.
    """
    book = open_playbook(folder)
    play = book.load(name).play
    require_known(play, said.times_s)
    if said.total_s is not None and not 0.0 < said.total_s <= LONGEST_S:
        raise InputError(f"total: found {said.total_s:g} s, accepted more than 0 up to {LONGEST_S:g} s")
    if not said.times_s and said.total_s is None:
        raise InputError("nothing was timed", next_step="give --times ACTION=SECONDS, or --total SECONDS")
    people = dict(said.people) or {one.role: one.id for one in book.files.crew_file.people}
    known = [one.id for one in book.files.crew_file.people]
    for person in people.values():
        if person not in known:
            raise InputError(f"nobody {person!r} in crew.toml", next_step=f"use one of: {', '.join(known)}")
    with open_records(folder, who=who) as records:
        open_ones = [one.id for one in all_outings(records) if one.is_open]
        payload = {
            "at": time_text(records.book.now()),
            "times_s": {one: float(seconds) for one, seconds in said.times_s.items()},
            "total_s": said.total_s,
            "people": people,
            "afloat": said.afloat,
            "outing": open_ones[-1] if open_ones else None,
            "note": said.note,
        }
        records.book.write([NewEntry(RUN_KIND, play.id, payload)], why=said.note or "timed run")
    return rehearsed(folder, name)


def record_taps(
    folder: Path, name: str, taps: Mapping[str, float], said: RunSaid, *, who: str = "coach"
) -> Rehearsed:
    """Keep one run from the moments at which actions were tapped as done.

    Parameters
    ----------
    folder : Path
        The book.
    name : str
        The play.
    taps : mapping
        Action to the tap, from the call [s].
    said : RunSaid
        People, where and what was seen; its times are worked out from the taps.
    who : str
        Kept with the run.

    Raises
    ------
    InputError
        The play cannot be done as it is, an action it does not have, or taps too fast for people at work;
        nothing is kept.
    """
    found = check_play(folder, name)
    if found.checked.plan.makespan_s is None:
        raise InputError(f"{name} cannot be done as it is", next_step=f"run: cringle play check {name}")
    require_known(found.play, taps)
    total = max(taps.values(), default=None)
    if total is not None and total < FASTEST_SHARE * found.checked.plan.makespan_s:
        raise InputError(
            f"all taps within {total:.1f} s, planned are {found.checked.plan.makespan_s:.1f} s;"
            " nothing was kept",
            next_step="tap as each action is done, or give the times by hand",
        )
    whole = replace(said, times_s=tapped_durations(found.checked.plan, taps), total_s=total)
    return record_run(folder, name, whole, who=who)


def rehearsed(folder: Path, name: str) -> Rehearsed:
    """Return the record of a play so far."""
    book = open_playbook(folder)
    play = book.load(name).play
    runs = tuple(one for one in book.runs if one.play == play.id)
    return Rehearsed(play, runs, tuple(progress(play.id, runs)), timings(play, runs))


def skills_grid(folder: Path) -> list[SkillSeen]:
    """Return who has been seen in which role of which play, how often and when last."""
    return skills_seen(recorded_runs(folder))
