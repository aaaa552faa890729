"""Timed runs of plays: what they say about durations, about progress, and about who has done what."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from statistics import median

from cringle.errors import InputError
from cringle.plays.durations import Timing, updated
from cringle.plays.plan import Plan
from cringle.plays.play_file import LONGEST_S, PlayFile, ThreePoint


@dataclass(frozen=True)
class Run:
    """One timed run of a play.

    Parameters
    ----------
    play : str
        Its id.
    at : datetime
        When, UTC.
    times_s : mapping
        Action to its duration by the stop-watch [s]; only those that were timed.
    total_s : float or None
        From the call to the end [s].
    people : mapping
        Role to the person who had it.
    afloat : bool
        Whether it was sailed, not walked through ashore.
    outing : str or None
        Id of the outing.
    note : str
        What was seen.
    """

    play: str
    at: datetime
    times_s: Mapping[str, float] = field(default_factory=dict)
    total_s: float | None = None
    people: Mapping[str, str] = field(default_factory=dict)
    afloat: bool = True
    outing: str | None = None
    note: str = ""


@dataclass(frozen=True)
class Progress:
    """How a play went on one day: runs, the best and the middle total [s]."""

    day: str
    runs: int
    best_s: float | None
    median_s: float | None
    afloat: int


@dataclass(frozen=True)
class SkillSeen:
    """A person seen in a role: how often, and when last."""

    person: str
    role: str
    play: str
    runs: int
    last: datetime


def require_known(play: PlayFile, times_s: Mapping[str, float]) -> None:
    """Refuse a time of an action the play does not have, or one that cannot be.

    Raises
    ------
    InputError
        Named, with what is accepted.
    """
    known = [one.id for one in play.actions]
    for name, seconds in times_s.items():
        if name not in known:
            raise InputError(f"{play.id} has no action {name!r}", next_step=f"use one of: {', '.join(known)}")
        if not 0.0 <= seconds <= LONGEST_S:
            raise InputError(f"{name}: found {seconds:g} s, accepted 0 to {LONGEST_S:g} s")


def timings(play: PlayFile, runs: Sequence[Run], *, ashore_counts: bool = False) -> dict[str, Timing]:
    """Return the times of every action after the runs recorded so far.

    Parameters
    ----------
    play : PlayFile
        Its written times are the prior.
    runs : sequence of Run
        Of this play; others are passed over.
    ashore_counts : bool
        Whether runs that were walked through ashore count too.
    """
    counted = [one for one in runs if one.play == play.id and (one.afloat or ashore_counts)]
    return {
        action.id: updated(
            action.duration_s, [one.times_s[action.id] for one in counted if action.id in one.times_s]
        )
        for action in play.actions
    }


def learned(play: PlayFile, runs: Sequence[Run]) -> dict[str, ThreePoint]:
    """Return the three times of every action that has been timed afloat."""
    return {name: one.three_point_s for name, one in timings(play, runs).items() if one.runs > 0}


def progress(play: str, runs: Sequence[Run]) -> list[Progress]:
    """Return how a play went day by day, oldest first."""
    days: dict[str, list[Run]] = {}
    for one in sorted(runs, key=lambda run: run.at):
        if one.play == play:
            days.setdefault(one.outing or one.at.date().isoformat(), []).append(one)
    found = []
    for day, group in days.items():
        totals = [one.total_s for one in group if one.total_s is not None]
        found.append(
            Progress(
                day,
                len(group),
                min(totals) if totals else None,
                median(totals) if totals else None,
                sum(one.afloat for one in group),
            )
        )
    return found


def skills_seen(runs: Sequence[Run]) -> list[SkillSeen]:
    """Return who has been seen in which role of which play, most runs first."""
    seen: dict[tuple[str, str, str], list[Run]] = {}
    for one in runs:
        for role, person in one.people.items():
            seen.setdefault((person, role, one.play), []).append(one)
    rows = [
        SkillSeen(person, role, play, len(group), max(one.at for one in group))
        for (person, role, play), group in seen.items()
    ]
    return sorted(rows, key=lambda row: (row.person, row.role, -row.runs, row.play))


def tapped_durations(plan: Plan, ended_s: Mapping[str, float]) -> dict[str, float]:
    """Return durations from the moments at which actions were tapped as done.

    An action is taken to start when the last of what it waits for was done, or when the plan lets it start
    where it waits for nothing that was tapped.

    Parameters
    ----------
    plan : Plan
        What was rehearsed.
    ended_s : mapping
        Action to the tap, from the call [s].
    """
    found = {}
    for name, end in ended_s.items():
        action = plan.play.action(name)
        if action.hold:
            continue
        before = [ended_s[one] for one in awaited_by(plan, name) if one in ended_s]
        start = max(before) if before else min(plan.start_s[name], end)
        found[name] = round(max(0.0, end - start), 2)
    return found


def awaited_by(plan: Plan, name: str) -> list[str]:
    """Return what an action waits for: named ones, the one behind its cue, and the person's earlier ones."""
    action = plan.play.action(name)
    waits = list(action.after)
    if action.not_before_cue is not None:
        on = plan.play.cue(action.not_before_cue).on
        waits += [] if on is None else [on.split(".")[0]]
    mine = [
        one.id
        for one in plan.play.actions
        if plan.deal[one.id] == plan.deal[name]
        and not one.background
        and plan.end_s[one.id] <= plan.start_s[name] + 1e-6
        and one.id != name
    ]
    return list(dict.fromkeys([*waits, *mine]))
