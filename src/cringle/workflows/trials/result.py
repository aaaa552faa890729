"""What a trial showed: from two logs, from one, or in words; kept with everything that stood around it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cringle.boat.write import write_atomically
from cringle.book.outings import Outing, settings_in_force, wind_at
from cringle.errors import InputError
from cringle.settings.reading import read_role
from cringle.settings.roles import role_scales
from cringle.settings.table import Table
from cringle.settings.winds import height_ratio
from cringle.track.reading.read import read_log
from cringle.track.reading.store import list_stored, read_stored
from cringle.track.series import Series, series_of
from cringle.trials.alone import Target, compare_alone
from cringle.trials.pair import Carry, PairResult, PairWish, compare, smooth_wind
from cringle.trials.together import Together, alone, cut, together
from cringle.workflows.book_open import Records, open_records
from cringle.workflows.numbers.settings import whole_table
from cringle.workflows.outings.outing import chosen_outing
from cringle.workflows.trials.records import (
    GONE,
    GONE_NEXT,
    RESULT,
    Outcome,
    Trial,
    outcome_entry,
    trial_named,
    write_trial,
)

HELD_AGAINST_ITSELF: Final = Target()
WHO: Final = {"us": 1, "them": -1, "nobody": 0}


@dataclass(frozen=True)
class ResultWish:
    """Which trial, from which logs.

    Parameters
    ----------
    trial : str or None
        None takes the newest that was stopped.
    ours, other : Path or None
        Logs: files, or names of logs kept in the book. No `other` for a boat alone.
    wind_from_deg : float or None
        None takes the logs' own wind, else the outing's note.
    shift_s : float
        Added to the other log's times. [s]
    target : Target
        For a boat alone.
    note : str
        Words; without logs they are all that is kept.
    keep : bool
        Whether to keep the result in the book.
    """

    trial: str | None = None
    ours: Path | None = None
    other: Path | None = None
    wind_from_deg: float | None = None
    shift_s: float = 0.0
    target: Target = HELD_AGAINST_ITSELF
    note: str = ""
    keep: bool = True


@dataclass(frozen=True)
class Judged:
    """A trial, what is kept of it, and the whole comparison where there were logs."""

    trial: Trial
    outcome: Outcome
    pair: PairResult | None


def judge_trial(folder: Path, wish: ResultWish, *, who: str) -> Judged:
    """Work out what a trial showed and keep it as an observation.

    Raises
    ------
    InputError
        No such trial, no log and no words, or the logs allow no fair comparison; the message says why.
    """
    if wish.ours is None and not wish.note.strip():
        raise InputError("neither a log nor words", next_step="give the logs, or --note 'felt slow'")
    with open_records(folder, who=who) as records:
        trial = trial_named(records, wish.trial, "going on", "stopped", "judged")
        outing = chosen_outing(records, trial.outing)
        found = None if wish.ours is None else _compared(records, trial, outing, wish)
        outcome = outcome_of(records, trial, outing, found, note=wish.note)
        if wish.keep:
            stands = records.book.one(RESULT, trial.id)
            records.book.write([outcome_entry(outcome, stands.id if stands else None)], why="trial judged")
            trial = write_trial(records, replace(trial, state="judged"), why="trial judged")
        return Judged(trial, outcome, found)


def _compared(records: Records, trial: Trial, outing: Outing, wish: ResultWish) -> PairResult:
    ours = _series(records, wish.ours)
    begun = trial.carried[0].at if trial.carried else None
    if trial.kind == "alone" or wish.other is None:
        both = _during(alone(ours), begun, trial.stopped)
        wanted = _pair_wish(trial, both)
        return compare_alone(both, _wind(outing, both, wish), wanted, wish.target)
    both = _during(together(ours, _series(records, wish.other), shift_s=wish.shift_s), begun, trial.stopped)
    return compare(both, _wind(outing, both, wish), _pair_wish(trial, both))


def _series(records: Records, log: Path | None) -> Series:
    if log is None:
        raise InputError("no log of our boat", next_step="give it first")
    if log.exists():
        read = read_log(log)
    else:
        folder = records.book.logs
        kept = {one.name: one.sha256 for one in list_stored(folder)}
        named = {**{Path(name).stem: key for name, key in kept.items()}, **kept}
        if str(log) not in named:
            listed = ", ".join(sorted(kept)) or "none yet"
            raise InputError(f"{log}: no such file, and the book has: {listed}", next_step="check the name")
        read = read_stored(folder, named[str(log)])
    return series_of(read.track, read.side)


def _during(both: Together, begun: datetime | None, stopped: datetime | None) -> Together:
    """Return the part of the tracks that lies within the trial."""
    first = 0.0 if begun is None else (begun - both.start).total_seconds()
    last = float(both.rows) if stopped is None else (stopped - both.start).total_seconds()
    if last - max(first, 0.0) < 60.0 or first >= both.rows:
        raise InputError(
            f"the logs begin {both.start:%Y-%m-%d %H:%M:%S} UTC and do not cover the trial",
            next_step="give the logs of that day, or check the times of the trial",
        )
    return cut(both, max(round(first), 0), min(round(last), both.rows))


def _pair_wish(trial: Trial, both: Together) -> PairWish:
    carries = tuple(Carry((one.at - both.start).total_seconds(), WHO[one.who]) for one in trial.carried)
    return PairWish(carries, trial.matters_m_per_min)


def _wind(outing: Outing, both: Together, wish: ResultWish) -> NDArray[np.float64]:
    noted = wind_at(outing, both.at(both.rows)) or (outing.winds[0] if outing.winds else None)
    given = wish.wind_from_deg
    if given is None and noted is not None and not _has_wind(both):
        given = noted.direction_deg
    return smooth_wind(both, given)


def _has_wind(both: Together) -> bool:
    return bool(np.isfinite(both.wind_from).mean() >= 0.5)


def outcome_of(
    records: Records, trial: Trial, outing: Outing, found: PairResult | None, *, note: str = ""
) -> Outcome:
    """Return what is kept of a trial: the gain, and everything that stood around it."""
    at = trial.carried[0].at if trial.carried else outing.started
    force = {role: one.value for role, one in settings_in_force(outing, at).items()}
    said = wind_at(outing, at) or (outing.winds[0] if outing.winds else None)
    height_m = records.files.boat_file.boat.wind_height_m
    wind_kn = None if said is None else said.wind_kn * height_ratio(said.height_m, height_m)
    crew = [one for one in outing.crews if one.at <= at]
    table = whole_table(records.book)
    plain = Outcome(
        trial=trial.id,
        role=trial.role,
        unit=trial.unit,
        tried=trial.to,
        reference=trial.start,
        step=trial.step,
        wind_kn=wind_kn,
        sail_set=trial.sail_set,
        sea=outing.seas[-1].sea if outing.seas else trial.sea,
        gear=trial.gear,
        outing=outing.id,
        kind="note" if found is None else trial.kind,
        note=note,
        people=crew[-1].people if crew else (),
        settings=force,
        deviations=_deviations(records, trial, table, force, wind_kn or trial.wind_kn),
        sail_hours=outing.hours_by_sail,
        carried_by="them" if trial.carried and trial.carried[0].who == "them" else "us",
    )
    gone = f"{trial.role}: {GONE}; {GONE_NEXT}"
    known = trial.role in role_scales(records.files.boat_file, rules=records.files.class_file)
    why_not = _why_not(trial, plain, found) if known else gone
    measured = plain if found is None else _measured(plain, found)
    return replace(measured, used=why_not is None, why_not=why_not)


def _measured(outcome: Outcome, found: PairResult) -> Outcome:
    heels = [one.heel_deg[0] for one in found.stretches if one.heel_deg[0] is not None]
    return replace(
        outcome,
        gain=found.gain.value,
        low=found.gain.low,
        high=found.gain.high,
        standard_error=found.gain.standard_error,
        height=found.height.value,
        speed=found.speed.value,
        swapped=found.boat is not None or outcome.kind == "alone",
        verdict=found.verdict.words,
        heel_deg=sum(heels) / len(heels) if heels else None,
        noise_sd=found.noise.one_minute_sd,
        forgetting_s=found.noise.forgetting_s,
    )


def _deviations(
    records: Records, trial: Trial, table: Table, force: dict[str, float], wind_kn: float
) -> dict[str, float]:
    """Return how many steps each role in force is from the table."""
    scales = role_scales(records.files.boat_file, rules=records.files.class_file)
    found = {}
    for role, value in force.items():
        cell_of = (trial.sail_set, trial.gear, role)
        stands = read_role(table, cell_of, sea=trial.sea, wind_kn=wind_kn) if role in scales else None
        if stands is not None:
            found[role] = (value - stands.number.value) / scales[role].step
    return found


def _why_not(trial: Trial, outcome: Outcome, found: PairResult | None) -> str | None:
    if found is None:
        return "a note in words carries no metres: it is kept, and read by people"
    if outcome.wind_kn is None:
        return "no wind was noted: note it with cringle outing wind, then judge again"
    in_force = outcome.settings.get(trial.role)
    if in_force is None:
        return f"nobody noted where {trial.role} stood: cringle trial start and change do"
    if min(abs(in_force - trial.to), abs(in_force - trial.start)) > trial.step / 2.0:
        return f"{trial.role} stood at {in_force:g}, which is neither number of the trial"
    return None


def write_gain_picture(found: Judged, path: Path) -> None:
    """Write the gain over time with its stretches as an SVG.

    Raises
    ------
    InputError
        The trial has no logs to draw.
    """
    from cringle.output.trial_charts import gain_svg

    if found.pair is None:
        raise InputError("a note in words cannot be drawn", next_step="give the logs")
    write_atomically(path, gain_svg(found.pair, found.trial.text).encode("utf-8"))
