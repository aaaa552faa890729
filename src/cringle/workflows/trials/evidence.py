"""The evidence over the table, what to try next, and moving the table."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from statistics import median
from typing import Final

from cringle.boat.base import RuleState
from cringle.boat.write import write_atomically
from cringle.book.outings import Outing
from cringle.errors import InputError
from cringle.output.trial_charts import DrawnRow, Panel, evidence_svg
from cringle.settings.answer import sail_set_asked
from cringle.settings.names import known_name
from cringle.settings.reading import read_role
from cringle.settings.roles import RoleScale, fit_to_scale, role_scales
from cringle.settings.table import DEFAULT_SEA, HIGHEST_WIND_KN, Table
from cringle.settings.winds import height_ratio
from cringle.trials.day_effects import respond_roles
from cringle.trials.optimum import Cell, Finding, Influence, find_optimum, influences
from cringle.trials.power import Noise, plan_minutes
from cringle.trials.response import Response, Seen
from cringle.trials.suggest import MOST_LISTED, Candidate, Suggestion, suggest
from cringle.workflows.book_open import Records, open_records
from cringle.workflows.numbers.entries import ROW_KINDS, SETTING, table_of
from cringle.workflows.numbers.settings import whole_table
from cringle.workflows.outings.outing import all_outings
from cringle.workflows.trials.records import DECISION, GONE, GONE_NEXT, Outcome, outcomes
from cringle.workflows.trials.rig import rig_trouble
from cringle.workflows.trials.trial import known_noise

WORTH_KNOWING_M_PER_MIN: Final = 2.0
TRIALS_TO_TELL: Final = 3
"""What the first trials are planned to find [m/min], and how many tell how exact the next will be."""

PRIOR_OUTINGS: Final = 3.0
"""Before outings tell which winds this water has, every row of the table counts as so many outings in all."""


@dataclass(frozen=True)
class Row:
    """Where evidence is asked for: sails, sea and gear."""

    sail_set: str | None = None
    sea: str = DEFAULT_SEA
    gear: str = "settled"


@dataclass(frozen=True)
class RoleEvidence:
    """What is known of one role.

    Parameters
    ----------
    scale : RoleScale
        Its scale.
    response : Response
        The fit.
    anchors : dict
        Wind of each row to the number the table had before any trial. [kn -> mark]
    table : dict
        Wind of each row to the number the table has now.
    findings : tuple of Finding
        One a row, in steps from the anchor.
    influences : dict
        Wind of a row to what each observation does there.
    """

    scale: RoleScale
    response: Response
    anchors: dict[float, float]
    table: dict[float, float]
    findings: tuple[Finding, ...]
    influences: dict[float, tuple[Influence, ...]]

    def number(self, wind_kn: float, steps: float) -> float:
        """Return the number on the scale that lies so many steps from the anchor of a row."""
        return self.anchors[wind_kn] + steps * self.scale.step


@dataclass(frozen=True)
class Evidence:
    """The evidence over the table: roles with trials, and observations that are kept but not used."""

    row: Row
    roles: tuple[RoleEvidence, ...]
    unused: tuple[Outcome, ...]


@dataclass(frozen=True)
class _Known:
    """What every question about evidence reads from the book."""

    row: Row
    scales: dict[str, RoleScale]
    table: Table
    anchor: Table
    outcomes: tuple[Outcome, ...]
    outings: tuple[Outing, ...]
    height_m: float


def show_evidence(folder: Path, row: Row | None = None, *, role: str | None = None) -> Evidence:
    """Return what the trials say of the table, role by role.

    Raises
    ------
    InputError
        An unknown role, sail set or sea.
    """
    with open_records(folder) as records:
        known = _known(records, row or Row())
    roles = [role] if role else list(dict.fromkeys(one.role for one in known.outcomes if one.used))
    if role is not None and role not in {one.role for one in known.outcomes}:
        known_name(role, known.scales, what="role")
    if role is not None and role not in known.scales:
        raise InputError(f"{role}: {GONE}", next_step=GONE_NEXT)
    responses = _responses(known)
    found = [_role_evidence(known, one, responses) for one in roles if one in known.scales]
    return Evidence(known.row, tuple(found), tuple(_unused(known)))


def _known(records: Records, row: Row) -> _Known:
    files = records.files
    wanted = replace(row, sail_set=sail_set_asked(files.class_file, row.sail_set).id)
    return _Known(
        wanted,
        role_scales(files.boat_file, rules=files.class_file),
        whole_table(records.book),
        anchor_table(records),
        tuple(outcomes(records)),
        tuple(all_outings(records)),
        files.boat_file.boat.wind_height_m,
    )


def anchor_table(records: Records) -> Table:
    """Return the table as it would stand without any number that accepted evidence put there."""
    accepted = {
        one.batch_uid for one in records.book.history(DECISION) if one.payload.get("decided") == "accepted"
    }
    newest = {entry.key: entry for entry in records.book.history(SETTING) if entry.batch_uid not in accepted}
    notes = [one for kind in ROW_KINDS for one in records.book.current(kind)]
    return table_of([*newest.values(), *notes])


def _unused(known: _Known) -> list[Outcome]:
    return [
        one
        if one.role in known.scales
        else replace(one, used=False, why_not=f"{one.role}: {GONE}; {GONE_NEXT}")
        for one in known.outcomes
        if not one.used or one.role not in known.scales
    ]


def _responses(known: _Known) -> dict[str, Response]:
    """Return what is known of every role, what the day did to all of them shared."""
    return respond_roles({role: _seen(known, scale) for role, scale in known.scales.items()})


def _role_evidence(known: _Known, role: str, responses: dict[str, Response]) -> RoleEvidence:
    scale = known.scales[role]
    winds = known.table.winds(known.row.sail_set or "", known.row.gear)
    anchors = {w: v for w in winds if (v := _read(known, known.anchor, scale, w)) is not None}
    table = {w: v for w in winds if (v := _read(known, known.table, scale, w)) is not None}
    anchors = {w: v for w, v in anchors.items() if w in table}
    response = responses[role]
    cells = {wind_kn: _cell(scale, wind_kn, anchors[wind_kn], table[wind_kn]) for wind_kn in anchors}
    findings = tuple(find_optimum(response, cell) for cell in cells.values())
    told = {one.cell.wind_kn for one in findings if one.observations}
    shown = {wind_kn: tuple(influences(response, cells[wind_kn])) for wind_kn in told}
    return RoleEvidence(scale, response, anchors, table, findings, shown)


def _read(known: _Known, table: Table, scale: RoleScale, wind_kn: float) -> float | None:
    cell_of = (known.row.sail_set or "", known.row.gear, scale.role)
    found = read_role(table, cell_of, sea=known.row.sea, wind_kn=wind_kn, by_row=scale.is_rig)
    return None if found is None else found.number.value


def _cell(scale: RoleScale, wind_kn: float, anchor: float, table: float) -> Cell:
    def steps(value: float) -> float:
        return (value - anchor) / scale.step

    return Cell(wind_kn, steps(table), steps(scale.low), steps(scale.high))


def _seen(known: _Known, scale: RoleScale) -> list[Seen]:
    found = []
    for one in known.outcomes:
        same = (one.role, one.sail_set, one.gear) == (scale.role, known.row.sail_set, known.row.gear)
        if not (same and one.used) or one.wind_kn is None or one.gain is None or one.standard_error is None:
            continue
        anchor = _read(known, known.anchor, scale, one.wind_kn)
        if anchor is None:
            continue
        tried, reference = ((value - anchor) / scale.step for value in (one.tried, one.reference))
        name, carrier = f"{one.trial} of {one.outing}", 1 if one.carried_by == "us" else -1
        gain, error = one.gain, one.standard_error
        found.append(Seen(one.wind_kn, tried, reference, gain, error, one.outing, one.swapped, name, carrier))
    return found


@dataclass(frozen=True)
class Tip:
    """A suggestion in the numbers of the scale.

    Parameters
    ----------
    role, unit : str
        What.
    start, to : float
        The table's number and the one to try.
    worth_m_per_min : float
        Expected gain over the season from knowing the result.
    gain_m_per_min, sd_m_per_min : float
        What the trial itself is expected to show, `to` over `against`.
    reason : str
        Plain words.
    against : float
        What the other boat sails: the table's number, or one step the other way.
    """

    role: str
    unit: str
    start: float
    to: float
    worth_m_per_min: float
    gain_m_per_min: float
    sd_m_per_min: float
    reason: str
    against: float


@dataclass(frozen=True)
class Tips:
    """What to try, most worth first, and which roles were left out and why."""

    wind_kn: float
    tips: tuple[Tip, ...]
    left_out: dict[str, str]


def suggest_trials(folder: Path, wind_kn: float, row: Row | None = None, *, rig_check: bool = True) -> Tips:
    """Return up to three things to try in a wind.

    Parameters
    ----------
    folder : Path
        The book.
    wind_kn : float
        Tonight's wind at the table's height. [kn]
    row : Row, optional
        Sails, sea and gear.
    rig_check : bool
        Whether to look at the loads of what moves the rig.

    Raises
    ------
    InputError
        The wind cannot be, or the table has no row for these sails.
    """
    if not 0.0 < wind_kn <= HIGHEST_WIND_KN:
        raise InputError(f"wind {wind_kn:g} kn", next_step=f"give 1 to {HIGHEST_WIND_KN:g} kn")
    with open_records(folder) as records:
        known = _known(records, row or Row())
        noise = known_noise(records)
    candidates, left_out = _candidates(known, wind_kn)
    error = usual_error(known.outcomes, noise)
    ranked = suggest(candidates, trial_error=error, most=len(candidates) or 1)
    tips: list[Tip] = []
    for one in ranked:
        if len(tips) == MOST_LISTED:
            break
        tip = _tip(known, one, wind_kn)
        tried = (tip.to, tip.against)
        trouble = rig_trouble(folder, known.scales[one.role], tried, wind_kn) if rig_check else None
        if trouble is not None:
            left_out[one.role] = trouble
        else:
            tips.append(tip)
    return Tips(wind_kn, tuple(tips), left_out)


def usual_error(outcomes: Sequence[Outcome], noise: Noise) -> float:
    """Return the standard error that the next trial will have, by the book's own trials, in m a minute.

    Notes
    -----
    The middle one of those that counted: crews stop before the minutes that a plan asks for. Before there are
    `TRIALS_TO_TELL`, a trial is taken to last as long as planned.
    """
    had = [one.standard_error for one in outcomes if one.used and one.standard_error is not None]
    if len(had) >= TRIALS_TO_TELL:
        return median(had)
    return float(noise.mean_variance(plan_minutes(WORTH_KNOWING_M_PER_MIN, noise).minutes) ** 0.5)


def _candidates(known: _Known, wind_kn: float) -> tuple[list[Candidate], dict[str, str]]:
    found, left_out = [], {}
    winds, responses = season_winds(known), _responses(known)
    for role in known.table.roles(known.row.sail_set or ""):
        scale = known.scales.get(role)
        if scale is None or role.endswith("_windward"):
            continue
        if scale.rule_state is RuleState.ASHORE:
            left_out[role] = "the class lets it be changed ashore only"
            continue
        anchor, table = (_read(known, one, scale, wind_kn) for one in (known.anchor, known.table))
        if anchor is None or table is None:
            continue
        season = []
        for row_kn, chance in winds:
            then = [_read(known, one, scale, row_kn) for one in (known.anchor, known.table)]
            if then[0] is not None and then[1] is not None:
                season.append((_cell(scale, row_kn, then[0], then[1]), chance))
        tonight = _cell(scale, wind_kn, anchor, fit_to_scale(table, scale).value)
        found.append(Candidate(role, responses[role], tonight, tuple(season)))
    return found, left_out


def season_winds(known: _Known) -> list[tuple[float, float]]:
    """Return the winds of the table's rows with how often this water has them, by the outings' own winds."""
    rows = known.table.winds(known.row.sail_set or "", known.row.gear)
    if not rows:
        raise InputError(
            f"the table has no {known.row.gear} rows for {known.row.sail_set}",
            next_step="enter a first table: cringle settings set",
        )
    count: Counter[float] = Counter(dict.fromkeys(rows, 0))
    for outing in known.outings:
        for note in outing.winds:
            wind_kn = note.wind_kn * height_ratio(note.height_m, known.height_m)
            nearest = min(rows, key=lambda one: abs(one - wind_kn))
            count[nearest] += 1
    total = sum(count.values()) + PRIOR_OUTINGS
    return [(one, (count[one] + PRIOR_OUTINGS / len(rows)) / total) for one in rows]


def _tip(known: _Known, one: Suggestion, wind_kn: float) -> Tip:
    scale = known.scales[one.role]
    anchor = _read(known, known.anchor, scale, wind_kn) or 0.0
    start, to, against = (
        fit_to_scale(anchor + steps * scale.step, scale).value for steps in (one.start, one.to, one.against)
    )
    motion = scale.motion(1 if to > start else -1)
    reason = f"{scale.name} {motion}: {one.reason}"
    if scale.rule_state is RuleState.UNKNOWN:
        reason += "; when the class lets it be changed is not known: ask first"
    return Tip(one.role, scale.unit, start, to, one.worth, one.gain, one.sd, reason, against)


def write_evidence_picture(found: Evidence, path: Path) -> None:
    """Write the evidence by wind as an SVG: estimate, interval and table, a panel a role."""
    write_atomically(path, evidence_svg(_panels(found.roles)).encode("utf-8"))


def _panels(roles: Sequence[RoleEvidence]) -> list[Panel]:
    return [
        Panel(role.scale.name, role.scale.unit, tuple(_drawn(role, one) for one in role.findings))
        for role in roles
    ]


def _drawn(role: RoleEvidence, one: Finding) -> DrawnRow:
    wind_kn = one.cell.wind_kn
    best, low, high = (role.number(wind_kn, steps) for steps in (one.best, one.best_low, one.best_high))
    return DrawnRow(wind_kn, role.table[wind_kn], best, low, high, one.state)
