"""Planning a trial, and noting afloat when it starts, who carries the change, and when it stops."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

from cringle.boat.base import RuleState
from cringle.book.outing_notes import SettingNote, note_entry
from cringle.errors import InputError, OutOfRangeError, RuleError
from cringle.settings.answer import sail_set_asked
from cringle.settings.names import known_name
from cringle.settings.pairs import paired_role
from cringle.settings.reading import read_role
from cringle.settings.roles import RoleScale, fit_to_scale, role_scales, steps_between
from cringle.settings.table import DEFAULT_SEA, SEAS
from cringle.trials.pair import DEFAULT_MATTERS_M_PER_MIN
from cringle.trials.power import Noise, Plan, plan_minutes, pooled_noise, seconds_a_mile_to_gain
from cringle.workflows.book_open import Records, open_records
from cringle.workflows.numbers.settings import whole_table
from cringle.workflows.outings.outing import Door, chosen_outing, require_near, said_instant
from cringle.workflows.trials.records import (
    GONE,
    GONE_NEXT,
    KINDS,
    Carried,
    Trial,
    all_trials,
    next_id,
    past_noise,
    trial_named,
    write_trial,
)
from cringle.workflows.trials.rig import rig_trouble

CARRIERS = ("us", "them", "nobody")
LARGEST_STEPS = 1


@dataclass(frozen=True)
class TrialWish:
    """What a person wants to try.

    Parameters
    ----------
    numbers : mapping
        Role to the number to try; two roles only when they are the two sides of one circuit.
    wind_kn : float
        Wind at the table's height. [kn]
    gear, sea, sail_set
        Which row of the table.
    kind, other : str
        ``pair`` beside a boat of that name, or ``alone``.
    matters_m_per_min : float or None
        The smallest difference worth knowing; None takes `matters_s_per_mile`, else the default.
    matters_s_per_mile, vmg_kn : float or None
        The same as time a mile, with the velocity made good it is about.
    against : float or None
        What the boat without the change sails, a step from the table at most like the number to try; None
        takes the table's number.
    """

    numbers: Mapping[str, float]
    wind_kn: float
    gear: str = "settled"
    sea: str = DEFAULT_SEA
    sail_set: str | None = None
    kind: str = "pair"
    other: str = ""
    matters_m_per_min: float | None = None
    matters_s_per_mile: float | None = None
    vmg_kn: float | None = None
    against: float | None = None


@dataclass(frozen=True)
class Planned:
    """A trial with the power it has: minutes, swaps and the noise they are reckoned with."""

    trial: Trial
    plan: Plan
    noise: Noise
    cautions: tuple[str, ...]


def plan_trial(folder: Path, wish: TrialWish, *, who: str, keep: bool = True) -> Planned:
    """Plan a trial and keep it, so that tonight's page shows it.

    Raises
    ------
    InputError
        More than one control, more than one step, an unknown role, or a difference nobody can see.
    RuleError
        The class lets nobody change it afloat.
    """
    with open_records(folder, who=who) as records:
        scale, to = _checked(records, wish)
        table = _table_number(records, wish, scale)
        start = _reference(wish, scale, table, to)
        trouble = rig_trouble(folder, scale, (to, start), wish.wind_kn)
        if trouble is not None:
            raise InputError(f"{scale.name} {to:g}: {trouble}", next_step="see: cringle rig loads")
        noise = known_noise(records)
        matters = _matters(wish)
        plan = plan_minutes(matters, noise)
        trial = Trial(
            id=next_id(records),
            role=scale.role,
            unit=scale.unit,
            start=start,
            to=to,
            table=None if start == table else table,
            step=scale.step,
            wind_kn=wish.wind_kn,
            sail_set=sail_set_asked(records.files.class_file, wish.sail_set).id,
            sea=wish.sea,
            gear=wish.gear,
            kind=wish.kind,
            other=wish.other,
            matters_m_per_min=matters,
            minutes=plan.minutes,
            swaps=plan.swaps + (wish.kind == "alone" and plan.swaps < 2),
        )
        kept = write_trial(records, trial, why="trial planned") if keep else trial
        return Planned(kept, plan, noise, trial_cautions(scale))


def _reference(wish: TrialWish, scale: RoleScale, table: float, to: float) -> float:
    """Return what the boat without the change sails; both numbers are a step from the table at most."""
    start = table if wish.against is None else wish.against
    for name, value in (("to try", to), ("of the other boat", start)):
        if abs(steps_between(table, value, scale.step)) > LARGEST_STEPS:
            low, high = max(scale.low, table - scale.step), min(scale.high, table + scale.step)
            unit = f"{scale.unit}s, one step from the table's {table:g}"
            raise OutOfRangeError(f"{scale.name} {name}", value, low, high, unit=unit)
    if steps_between(start, to, scale.step) == 0:
        raise InputError(
            f"{scale.name} {to:g} on both boats: nothing is changed",
            next_step=f"try {table + scale.step:g} or {table - scale.step:g}",
        )
    return start


def trial_cautions(scale: RoleScale) -> tuple[str, ...]:
    """Return what to mind in a trial of a role."""
    found = ["keep a lookout and clear of boats that race; the class rules have the last word"]
    if scale.rule_state is RuleState.BETWEEN_RACES:
        found.append("change it only between races, unloaded: the class says so")
    if scale.rule_state is RuleState.UNKNOWN:
        found.append("when the class lets it be changed is not known: ask first")
    return tuple(found)


def _checked(records: Records, wish: TrialWish) -> tuple[RoleScale, float]:
    files = records.files
    scales = role_scales(files.boat_file, rules=files.class_file)
    known_name(wish.kind, KINDS, what="kind of trial")
    known_name(wish.sea, SEAS, what="sea")
    roles = [known_name(role, scales, what="role") for role in wish.numbers]
    if len(roles) != 1 and not _one_circuit(records, roles):
        raise InputError(
            f"{len(roles)} controls at once: {', '.join(roles) or 'none'}",
            next_step="try one control; only the two sides of one circuit may go together",
        )
    scale = scales[roles[0]]
    if scale.rule_state is RuleState.ASHORE:
        rule = files.class_file.rule_for(scale.role)
        raise RuleError(
            f"{scale.name} may only be changed ashore" + (f" ({rule.rule})" if rule else ""),
            next_step="compare two evenings instead, or try another control",
        )
    value = wish.numbers[roles[0]]
    if not scale.low <= value <= scale.high:
        raise OutOfRangeError(scale.name, value, scale.low, scale.high, unit=f"{scale.unit}s")
    return scale, value


def _one_circuit(records: Records, roles: list[str]) -> bool:
    return len(roles) == 2 and paired_role(records.files.boat_file, roles[0]) == roles[1]


def _table_number(records: Records, wish: TrialWish, scale: RoleScale) -> float:
    sail_set = sail_set_asked(records.files.class_file, wish.sail_set).id
    table = whole_table(records.book)
    cell_of = (sail_set, wish.gear, scale.role)
    found = read_role(table, cell_of, sea=wish.sea, wind_kn=wish.wind_kn, by_row=scale.is_rig)
    if found is None:
        raise InputError(
            f"the table has no {scale.name} for {sail_set}, {wish.gear}",
            next_step="enter one first: cringle settings set",
        )
    return fit_to_scale(found.number.value, scale).value


def _matters(wish: TrialWish) -> float:
    if wish.matters_m_per_min is not None:
        return wish.matters_m_per_min
    if wish.matters_s_per_mile is None:
        return DEFAULT_MATTERS_M_PER_MIN
    if wish.vmg_kn is None or wish.vmg_kn <= 0.0:
        raise InputError(
            "seconds a mile need a speed made good", next_step="add --vmg, as cringle speed gives it"
        )
    return seconds_a_mile_to_gain(wish.matters_s_per_mile, wish.vmg_kn)


def known_noise(records: Records) -> Noise:
    """Return the noise to plan with, from past pairs and the prior."""
    return pooled_noise(past_noise(records))


def start_trial(door: Door, name: str | None = None, *, carrier: str = "us") -> Trial:
    """Start a planned trial: from now on somebody carries the change.

    Raises
    ------
    InputError
        No such trial is planned, another one goes on, or no outing goes on.
    """
    with open_records(door.folder, who=door.who) as records:
        trial = trial_named(records, name, "planned")
        if trial.role not in role_scales(records.files.boat_file, rules=records.files.class_file):
            raise InputError(f"{trial.id}, {trial.role}: {GONE}", next_step=GONE_NEXT)
        going_on = [one.id for one in all_trials(records) if one.state == "going on"]
        if going_on:
            raise InputError(f"trial {going_on[-1]} still goes on", next_step="run: cringle trial stop")
        outing = chosen_outing(records, door.outing)
        begun = replace(trial, state="going on", outing=outing.id)
        return _carry(records, door, begun, carrier, why="trial starts")


def change_trial(door: Door, carrier: str | None = None) -> Trial:
    """Note that the change went over to the other boat, or on or off; None swaps it.

    Raises
    ------
    InputError
        No trial goes on.
    """
    with open_records(door.folder, who=door.who) as records:
        trial = trial_named(records, None, "going on")
        now = trial.carried[-1].who if trial.carried else "us"
        away = "nobody" if trial.kind == "alone" else "them"
        return _carry(
            records, door, trial, carrier or (away if now == "us" else "us"), why="change carried over"
        )


def stop_trial(door: Door) -> Trial:
    """Stop the trial that goes on.

    Raises
    ------
    InputError
        No trial goes on, or it would stop before it started.
    """
    with open_records(door.folder, who=door.who) as records:
        trial = trial_named(records, None, "going on")
        at = _instant(records, door, trial)
        return write_trial(records, replace(trial, state="stopped", stopped=at), why="trial stops")


def list_trials(folder: Path) -> list[Trial]:
    """Return every trial, oldest first."""
    with open_records(folder) as records:
        return all_trials(records)


def _carry(records: Records, door: Door, trial: Trial, carrier: str, *, why: str) -> Trial:
    """Note who carries the change, and our own number with it."""
    known_name(carrier, CARRIERS, what="carrier")
    at = _instant(records, door, trial)
    value = trial.to if carrier == "us" else trial.start
    note = SettingNote(at, trial.role, value, trial.unit)
    records.book.write([note_entry(trial.outing or "", note)], why=why)
    return write_trial(records, replace(trial, carried=(*trial.carried, Carried(at, carrier))), why=why)


def _instant(records: Records, door: Door, trial: Trial) -> datetime:
    outing = chosen_outing(records, trial.outing)
    at = said_instant(door.at, outing.day, records)
    require_near(outing, at)
    if trial.carried and at < trial.carried[-1].at:
        raise InputError("that is before the last change", next_step="check --at")
    return at
