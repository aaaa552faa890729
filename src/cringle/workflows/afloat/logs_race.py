"""What a debrief needs for the race inside a log: the boat's polar, the wind, the baseline, the plays."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Final

from cringle.errors import CringleError, InputError
from cringle.track.debrief.correct import corrected_found
from cringle.track.debrief.race import RaceOptions, race_of
from cringle.track.heel.felt import read_felt
from cringle.track.ledger.baseline import of_boat
from cringle.track.race.marks import Course
from cringle.track.reading.complete import complete
from cringle.track.reading.read import TrackLog
from cringle.track.series import series_of
from cringle.track.turns.manoeuvre import KINDS, PlayPlan, UsualFault
from cringle.track.turns.tacks import find_manoeuvres
from cringle.track.wind.estimate import estimate_wind
from cringle.track.wind.series import with_wind
from cringle.track.wind.stream import Stream
from cringle.track.wind.strength import Strength, entered_strength, read_strength, wind_beside
from cringle.workflows.plays.open import Playbook, open_playbook
from cringle.workflows.plays.play import checked_in
from cringle.workflows.speed.boat_polar import boat_polar

PLAY_OF: Final = {"tack": ("tack",), "gybe": ("gybe_kite", "plane_gybe", "wing_gybe")}
"""Kind of manoeuvre to the plays looked for, the first that can be read is taken."""


@dataclass(frozen=True)
class RaceWishes:
    """What a person says about the race inside a log.

    Parameters
    ----------
    wind_kn : float or None
        Strength of the true wind, entered by hand.
    wind_height_m : float
        Height at which it was read. [m]
    wind_csv : Path or None
        Wind over time from a second file, such as a committee boat's.
    stream : tuple of float or None
        Speed [kn] of the water, and where it sets to [deg true].
    baseline : str
        ``model``, ``fitted``, ``own`` or ``boat``.
    against : Path or None
        Log of the named boat, with ``boat``.
    felt_csv : Path or None
        What people said the heel was.
    sea : str
        ``flat``, ``chop`` or ``waves``.
    spotter_csv : Path or None
        Heel as somebody read it now and then.
    marks : mapping
        ``windward``, ``offset`` or ``leeward`` to latitude and longitude [deg], where the course is known.
    """

    wind_kn: float | None = None
    wind_height_m: float = 10.0
    wind_csv: Path | None = None
    stream: tuple[float, float] | None = None
    baseline: str = "model"
    against: Path | None = None
    felt_csv: Path | None = None
    sea: str = "chop"
    spotter_csv: Path | None = None
    marks: Mapping[str, tuple[float, float]] = field(default_factory=dict)


def race_options(book: Path | None, wishes: RaceWishes, *, targets_deg: Mapping[str, float]) -> RaceOptions:
    """Return what the track room needs: polar, wind, stream, plays.

    Parameters
    ----------
    book : Path or None
        Gives the boat's polar and plays; without one those of the demo's class, and the answer says so.
    wishes : RaceWishes
        What a person says.
    targets_deg : mapping
        Point of sail to the heel to keep, where a person gave it.

    Raises
    ------
    InputError, LogError
        A file cannot be read, or a number makes no sense.
    """
    found = boat_polar(book, sea=wishes.sea)
    if wishes.baseline == "boat" and wishes.against is None:
        raise InputError("no boat to hold against", next_step="name her log: --against FILE")
    return RaceOptions(
        polar=found.polar,
        boat_known=found.known,
        fitted=found.fitted,
        baseline="model" if wishes.against is not None else wishes.baseline,
        strength=_strength(wishes),
        stream=None if wishes.stream is None else Stream((wishes.stream[0],), (wishes.stream[1],)),
        course=Course(dict(wishes.marks)) if wishes.marks else None,
        targets_deg=dict(targets_deg),
        felt=() if wishes.felt_csv is None else tuple(read_felt(wishes.felt_csv)),
        plans=() if book is None else play_plans(book),
    )


def said_or_beside(wishes: RaceWishes, log: Path) -> RaceWishes:
    """Return the wishes with the wind record that lies beside the log, where a person named no wind."""
    if wishes.wind_kn is not None or wishes.wind_csv is not None:
        return wishes
    return replace(wishes, wind_csv=wind_beside(log))


def _strength(wishes: RaceWishes) -> Strength | None:
    if wishes.wind_csv is not None:
        return read_strength(wishes.wind_csv, height_m=wishes.wind_height_m)
    if wishes.wind_kn is not None:
        return entered_strength(wishes.wind_kn, height_m=wishes.wind_height_m)
    return None


def against(options: RaceOptions, other: TrackLog, path: Path) -> RaceOptions:
    """Return the options with another boat's log as the baseline.

    Raises
    ------
    InputError
        The other log does not tell how she sailed.
    """
    log = complete(series_of(other.track, other.side))
    wind = estimate_wind(log, polar=options.polar, strength=options.strength, stream=options.stream)
    full = None if wind is None else with_wind(log, wind)
    found = None if full is None else corrected_found(find_manoeuvres(full), options.corrections, full)[0]
    if wind is None or full is None or found is None:
        raise InputError(
            f"{path.name}: its courses do not tell the wind", next_step="use another log as the baseline"
        )
    race = race_of(full, wind, found.manoeuvres, options)
    baseline = of_boat(race.rows, options.polar, path.stem)
    return replace(options, baseline="boat", other=baseline)


def play_plans(book: Path) -> tuple[PlayPlan, ...]:
    """Return the plays for tacks and gybes that the book has, with their planned times and usual faults."""
    try:
        playbook = open_playbook(book)
    except CringleError:
        return ()
    found = (_plan(playbook, kind) for kind in KINDS)
    return tuple(one for one in found if one is not None)


def _plan(playbook: Playbook, kind: str) -> PlayPlan | None:
    for name in PLAY_OF[kind]:
        if name in playbook.paths:
            play = playbook.load(name).play
            faults = tuple(UsualFault(one.symptom, one.cause, one.cure) for one in play.faults)
            return PlayPlan(kind, name, play.title, _planned_s(playbook, name), faults)
    return None


def _planned_s(playbook: Playbook, name: str) -> float | None:
    """Return the planned seconds from the wind crossing to where the play is done; None without a plan."""
    try:
        plan = checked_in(playbook, name).checked.plan
    except CringleError:
        return None
    times = {**plan.end_s, **plan.cue_s}
    first, last = plan.play.flips_at, plan.play.done_by
    if first is None or first not in times or last not in times:
        return None
    return times[last] - times[first]
