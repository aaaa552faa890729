"""The rig on the dock: base, turns, what turns to make, and the tune sheet."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from cringle.errors import InputError
from cringle.findings import Source
from cringle.rig.base import BaseTune
from cringle.rig.inverse import Proposal, Target, Wanted, free_roles, propose
from cringle.rig.model import RigFactors
from cringle.rig.sheet import RowWish, SheetRow, rule_states, tune_sheet
from cringle.rig.spread import Ensemble
from cringle.rig.state import Sensitivity, turn_sensitivity
from cringle.rig.turns import Setting, Solved, role_turns, solve_setting
from cringle.workflows.rig.book import DEFAULT_WIND_KN, DEFAULT_WINDS_KN, RigBook, read_rig


@dataclass(frozen=True)
class TurnsAnswer:
    """What some turns do.

    Parameters
    ----------
    turns : dict
        Screw to turns from base.
    dock, sailing : Solved
        On the dock, and upwind in `wind_kn`.
    sensitivity, sailing_sensitivity : Sensitivity
        One turn of each screw to the change of each quantity, on the dock and in the wind.
    wind_kn : float
        Wind of the sailing state.
    rule_states : dict
        Role to when its screws may be changed.
    warnings : tuple of str
        Unlocked screws.
    """

    turns: dict[str, float]
    dock: Solved
    sailing: Solved
    sensitivity: Sensitivity
    sailing_sensitivity: Sensitivity
    wind_kn: float
    rule_states: dict[str, str]
    warnings: tuple[str, ...]


def rig_turns(
    folder: Path,
    asked: Mapping[str, float],
    *,
    wind_kn: float = DEFAULT_WIND_KN,
    pull_mm: float | None = None,
) -> TurnsAnswer:
    """Return tensions, prebend, rake and sag for turns from base.

    Parameters
    ----------
    folder : Path
        The book.
    asked : mapping
        Role or screw id to turns; the rest stays at base.
    wind_kn : float
        Wind of the sag.
    pull_mm : float, optional
        Backstay puller; the table's place for that wind when left out.

    Raises
    ------
    InputError
        An unknown screw, or turns beyond a thread.
    NotConvergedError
        The rig cannot stand like this.
    """
    known = read_rig(folder)
    base = known.base()
    turns = role_turns(base.model, asked)
    dock = solve_setting(base, Setting(turns))
    pull = known.backstay_pull_mm(wind_kn) if pull_mm is None else pull_mm
    sailing = solve_setting(base, known.setting(turns, wind_kn, pull), start=dock)
    return TurnsAnswer(
        turns,
        dock,
        sailing,
        turn_sensitivity(dock.model, dock.equilibrium),
        turn_sensitivity(sailing.model, sailing.equilibrium),
        wind_kn,
        rule_states(base.model),
        known.warnings(),
    )


@dataclass(frozen=True)
class BaseAnswer:
    """The base tune with where it comes from."""

    base: BaseTune
    is_measured: bool
    factors: RigFactors
    warnings: tuple[str, ...]
    turns: Mapping[str, float]


def rig_base(folder: Path) -> BaseAnswer:
    """Return the base tune a book describes."""
    known = read_rig(folder)
    return BaseAnswer(known.base(), known.is_measured, known.factors, known.warnings(), known.turns)


@dataclass(frozen=True)
class SolveAnswer:
    """Turns for what is wanted, with what they reach."""

    proposal: Proposal
    targets: tuple[Target, ...]
    wind_kn: float
    rule_states: dict[str, str]
    warnings: tuple[str, ...]


@dataclass(frozen=True)
class SolveRequest:
    """What is wanted.

    Parameters
    ----------
    targets : tuple of Target
        Quantities to reach.
    roles : tuple of str or None
        Screws that may turn; all that the class lets be turned between races when None.
    step : float or None
        Smallest turn.
    wind_kn : float
        Wind of sailing targets.
    """

    targets: tuple[Target, ...]
    roles: tuple[str, ...] | None = None
    step: float | None = None
    wind_kn: float = DEFAULT_WIND_KN


def rig_solve(folder: Path, request: SolveRequest) -> SolveAnswer:
    """Return the turns that come nearest to what is wanted, in whole steps, with their interval.

    Raises
    ------
    InputError
        Nothing or something unknown is wanted.
    """
    known = read_rig(folder)
    found = known.ensemble()
    roles = free_roles(found.middle.model, request.roles)
    start = known.setting({}, request.wind_kn, known.backstay_pull_mm(request.wind_kn))
    targets = with_prebend_kept(request.targets, roles)
    proposal = propose(found, Wanted(targets, roles, request.step), start)
    return SolveAnswer(proposal, targets, request.wind_kn, rule_states(found.middle.model), known.warnings())


def with_prebend_kept(targets: tuple[Target, ...], roles: tuple[str, ...]) -> tuple[Target, ...]:
    """Return targets with the base's prebend on the dock added where they leave the screws a choice."""
    if len(targets) >= len(roles) or any(one.name == "prebend_mm" for one in targets):
        return targets
    return (*targets, Target("prebend_mm", 0.0, kind="change"))


@dataclass(frozen=True)
class SheetAnswer:
    """A tune sheet."""

    boat: str
    rows: tuple[SheetRow, ...]
    rule_states: dict[str, str]
    rules: dict[str, str]
    warnings: tuple[str, ...]
    is_measured: bool


def rig_sheet(
    folder: Path, *, winds_kn: Sequence[float] = DEFAULT_WINDS_KN, source: str = "book", sea: str = "chop"
) -> SheetAnswer:
    """Return the tune sheet.

    Parameters
    ----------
    folder : Path
        The book.
    winds_kn : sequence of float
        Rows.
    source : str
        ``book``: turns of the table where it has that wind, computed elsewhere; ``model``: all computed.
    sea : str
        Sea of the table's rows.
    """
    known = read_rig(folder, sea=sea)
    return sheet_of(known, known.ensemble(), winds_kn, source)


def sheet_of(known: RigBook, found: Ensemble, winds_kn: Sequence[float], source: str) -> SheetAnswer:
    """Return the tune sheet of a book already read; see `rig_sheet`."""
    if source not in ("book", "model"):
        raise InputError(f"source {source!r}", next_step="give book or model")
    roles = tuple(found.middle.model.roles())
    wishes = [_wish(known, wind, roles if source == "book" else ()) for wind in winds_kn]
    rows = tune_sheet(found, known.sailing, wishes)
    rules = {role: known.files.class_file.rule_for(role) for role in roles}
    return SheetAnswer(
        known.files.boat_file.boat.name,
        tuple(rows),
        rule_states(found.middle.model),
        {role: str(rule.rule) for role, rule in rules.items() if rule},
        known.warnings(),
        known.is_measured,
    )


def _wish(known: RigBook, wind_kn: float, roles: tuple[str, ...]) -> RowWish:
    kept = known.table.get(wind_kn, {})
    turns = {role: kept[role].value for role in roles if role in kept}
    pull = known.backstay_pull_mm(wind_kn)
    if not turns:
        return RowWish(wind_kn, None, pull)
    return RowWish(wind_kn, turns, pull, _weakest([kept[role].source for role in turns]))


def _weakest(sources: Sequence[Source]) -> Source:
    order = (Source.GUESS, Source.COMPUTED, Source.ENTERED, Source.TRIAL, Source.MEASURED)
    return min(sources, key=order.index)
