"""Trials as the book keeps them: the plan with who carried the change when, and what each trial showed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass, field, replace
from datetime import datetime
from typing import Any, Final

from cringle.book.entries import Entry, NewEntry
from cringle.book.rows import time_of, time_text
from cringle.errors import InputError
from cringle.output.wording import mark_text
from cringle.workflows.book_open import Records

TRIAL, RESULT, DECISION = "trial", "trial_result", "trial_decision"
KINDS: Final = ("pair", "alone")
STATES: Final = ("planned", "going on", "stopped", "judged")
GONE: Final = "the boat file no longer has this control"
GONE_NEXT: Final = "put it back into boat.toml to use its trials; they stay in the book either way"


@dataclass(frozen=True)
class Carried:
    """Who had the change from an instant on: ``us``, ``them`` or ``nobody``."""

    at: datetime
    who: str


@dataclass(frozen=True)
class Trial:
    """One trial of one control.

    Parameters
    ----------
    id : str
        ``t1``, ``t2`` ...
    role, unit : str
        What is changed.
    start, to, step : float
        The table's number, the one tried, and the control's step.
    wind_kn : float
        Wind it is meant for.
    sail_set, sea, gear : str
        The rest of the table's row.
    kind : str
        ``pair`` or ``alone``.
    other : str
        Name of the other boat; empty when alone.
    matters_m_per_min, minutes, swaps
        From the plan.
    state : str
        ``planned``, ``going on``, ``stopped`` or ``judged``.
    outing : str or None
        The day it was sailed on.
    carried : tuple of Carried
        As noted afloat.
    stopped : datetime or None
        When it ended.
    entry_id : int or None
        The entry this was read from.
    table : float or None
        The table's number, where `start` is not it: both boats are then a step from it, one either side.
    """

    id: str
    role: str
    unit: str
    start: float
    to: float
    step: float
    wind_kn: float
    sail_set: str
    sea: str
    gear: str
    kind: str = "pair"
    other: str = ""
    matters_m_per_min: float = 2.0
    minutes: float = 20.0
    swaps: int = 1
    state: str = "planned"
    outing: str | None = None
    carried: tuple[Carried, ...] = ()
    stopped: datetime | None = None
    entry_id: int | None = None
    table: float | None = None

    @property
    def text(self) -> str:
        """The trial in one line, as tonight's page shows it."""
        against = "alone, A-B-A" if self.kind == "alone" else f"beside {self.other or 'another boat'}"
        between = "" if self.table is None else f" either side of {mark_text(self.table)}"
        name, plural = self.role.replace("_", " "), "" if self.swaps == 1 else "s"
        numbers = f"{name} {mark_text(self.start)} → {mark_text(self.to)}{between}"
        return f"{numbers} {against}, {self.minutes:.0f} min, {self.swaps} swap{plural}"


def trial_entry(trial: Trial) -> NewEntry:
    """Return the entry that states a trial as it stands."""
    kept = {name: value for name, value in asdict(trial).items() if name not in ("id", "entry_id")}
    kept["carried"] = [[time_text(one.at), one.who] for one in trial.carried]
    kept["stopped"] = None if trial.stopped is None else time_text(trial.stopped)
    closed = trial.state in ("stopped", "judged")
    return NewEntry(TRIAL, trial.id, {**kept, "text": trial.text, "closed": closed}, base_id=trial.entry_id)


def trial_of(entry: Entry) -> Trial:
    """Return the trial that an entry states."""
    kept = {name: value for name, value in entry.payload.items() if name in Trial.__dataclass_fields__}
    kept["carried"] = tuple(Carried(time_of(at), who) for at, who in kept.get("carried", []))
    kept["stopped"] = None if kept.get("stopped") is None else time_of(kept["stopped"])
    return Trial(**{**kept, "id": entry.key.subject, "entry_id": entry.id})


def all_trials(records: Records) -> list[Trial]:
    """Return every trial, oldest first."""
    found = [trial_of(one) for one in records.book.current(TRIAL) if "role" in one.payload]
    return sorted(found, key=lambda one: int(one.id[1:]))


def trial_named(records: Records, name: str | None, *states: str) -> Trial:
    """Return the trial of that id; without one, the newest in one of the states.

    Raises
    ------
    InputError
        There is none; the message lists those that would do.
    """
    trials = all_trials(records)
    fitting = [one for one in trials if not states or one.state in states]
    wanted = [one for one in fitting if name in (None, one.id)]
    if wanted:
        return wanted[-1]
    listed = ", ".join(f"{one.id} ({one.state})" for one in trials[-6:]) or "none yet"
    asked = "no trial" if name is None else f"no trial {name!r}"
    state = f" that is {' or '.join(states)}" if states else ""
    raise InputError(
        f"{asked}{state}; there are: {listed}", next_step="plan one: cringle trial plan ROLE=NUMBER"
    )


def next_id(records: Records) -> str:
    """Return the id of the next trial."""
    taken = [int(one.key.subject[1:]) for one in records.book.current(TRIAL, include_blank=True) if _own(one)]
    return f"t{max(taken, default=0) + 1}"


def _own(entry: Entry) -> bool:
    subject = entry.key.subject
    return subject.startswith("t") and subject[1:].isdigit()


def write_trial(records: Records, trial: Trial, *, why: str) -> Trial:
    """Keep a trial as it stands now and return it with its entry."""
    written = records.book.write([trial_entry(trial)], why=why)[0]
    return replace(trial, entry_id=written.id)


@dataclass(frozen=True)
class Outcome:
    """What a trial showed, with all around it; gains are of `tried` over `reference` in m a minute.

    Parameters
    ----------
    trial, role, unit : str
        Which trial, and what was changed.
    tried, reference, step : float
        The two numbers and the control's step.
    wind_kn, gain, low, high, standard_error
        Wind at the table's height; gain with its 90 % interval; None for a note without numbers.
    height, speed : float or None
        The two parts of the gain.
    swapped : bool
        Whether the change was swapped over.
    used : bool
        Whether it counts as evidence; `why_not` says why it does not.
    sail_set, sea, gear, outing, kind, note, verdict
        What it was sailed with, on which day, how, in words.
    people, settings, deviations, sail_hours, heel_deg
        Who was aboard, settings in force, steps from the table, hours on the sails, mean heel.
    noise_sd, forgetting_s : float or None
        The noise met.
    carried_by : str
        Who had the number tried, at first: ``us`` or ``them``; without a swap the boats' difference has its
        sign.
    """

    trial: str
    role: str
    unit: str
    tried: float
    reference: float
    step: float
    wind_kn: float | None
    sail_set: str
    sea: str
    gear: str
    outing: str
    kind: str
    gain: float | None = None
    low: float | None = None
    high: float | None = None
    standard_error: float | None = None
    height: float | None = None
    speed: float | None = None
    swapped: bool = False
    used: bool = False
    why_not: str | None = None
    note: str = ""
    verdict: str = ""
    people: tuple[str, ...] = ()
    settings: Mapping[str, float] = field(default_factory=dict, hash=False)
    deviations: Mapping[str, float] = field(default_factory=dict, hash=False)
    sail_hours: Mapping[str, float] = field(default_factory=dict, hash=False)
    heel_deg: float | None = None
    noise_sd: float | None = None
    forgetting_s: float | None = None
    carried_by: str = "us"


def outcome_entry(outcome: Outcome, base_id: int | None) -> NewEntry:
    """Return the entry that keeps what a trial showed."""
    kept = {name: _plain(value) for name, value in asdict(outcome).items() if name != "trial"}
    return NewEntry(RESULT, outcome.trial, kept, base_id=base_id)


def _plain(value: Any) -> Any:
    return list(value) if isinstance(value, tuple) else value


def outcomes(records: Records) -> list[Outcome]:
    """Return what every trial showed, oldest first."""
    found = []
    for entry in records.book.current(RESULT):
        kept = {name: value for name, value in entry.payload.items() if name in Outcome.__dataclass_fields__}
        kept["people"] = tuple(kept.get("people", ()))
        found.append(Outcome(**{**kept, "trial": entry.key.subject}))
    return sorted(found, key=lambda one: (one.outing, one.trial))


def past_noise(records: Records) -> list[tuple[float, float]]:
    """Return the noise [m/min] and its forgetting time [s] that each trial with logs met, oldest first."""
    return [
        (one.noise_sd, one.forgetting_s)
        for one in outcomes(records)
        if one.noise_sd is not None and one.forgetting_s is not None
    ]
