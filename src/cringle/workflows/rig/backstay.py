"""The backstay and the loads: travel against effect, where each wind sits, a longer V, margins."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from cringle.boat.boat_file import Backstay
from cringle.errors import InputError
from cringle.rig.backstay import (
    HalfTravelAdvice,
    TravelRow,
    WindPlace,
    half_travel,
    need_backstay,
    travel_table,
    wind_places,
)
from cringle.rig.base import BaseTune
from cringle.rig.bridle_choice import LegComparison, compare_legs
from cringle.rig.loads import DYNAMIC_FACTOR, DesignFactor, LoadRow, load_table
from cringle.rig.model import bridle_of
from cringle.rig.turns import Setting, backstay_take_up_m, role_turns, solve_setting
from cringle.units import metres_to_millimetres
from cringle.workflows.rig.book import DEFAULT_WIND_KN, RigBook, read_rig

PULLED_SHARE = 0.9
"""Top load where the mast bends away first, as a share of the most that the travel pulls (our choice)."""

STATIC_SHARE = 0.20
"""Usual top load when none is given, as a share of the weakest break load (general practice, from memory)."""


@dataclass(frozen=True)
class BackstayAnswer:
    """Everything about the backstay in a wind.

    Parameters
    ----------
    boat : str
        Whose.
    backstay : Backstay
        Its geometry.
    apex_height_m : float
        Apex above the transom, untouched.
    wind_kn : float
        Wind of the table.
    rows : tuple of TravelRow
        Across the travel.
    advice : HalfTravelAdvice
        The coarse length.
    winds : tuple of WindPlace
        Where each wind of the settings table sits.
    legs : tuple of LegComparison
        What a shorter upper leg changes.
    top_load_source : str
        Where the top load comes from.
    warnings : tuple of str
        Unlocked screws.
    """

    boat: str
    backstay: Backstay
    apex_height_m: float
    wind_kn: float
    rows: tuple[TravelRow, ...]
    advice: HalfTravelAdvice
    winds: tuple[WindPlace, ...]
    legs: tuple[LegComparison, ...]
    top_load_source: str
    warnings: tuple[str, ...]


@dataclass(frozen=True)
class BackstayRequest:
    """What is asked of the backstay.

    Parameters
    ----------
    wind_kn : float
        Wind; 0 is the dock.
    turns : mapping or None
        Role to turns; the recorded ones when None.
    top_load_n : float or None
        Usual top load of the day.
    points : int
        Rows of the table.
    shorter_m : tuple of float
        Upper legs to compare.
    """

    wind_kn: float = DEFAULT_WIND_KN
    turns: Mapping[str, float] | None = None
    top_load_n: float | None = None
    points: int = 11
    shorter_m: tuple[float, ...] = (0.9, 1.2)


def rig_backstay(folder: Path, request: BackstayRequest) -> BackstayAnswer:
    """Return load, bend and sag across the travel, and what to do about the lengths.

    Raises
    ------
    InputError
        There is no backstay, or a top load the rig does not stand.
    """
    known = read_rig(folder)
    base = known.base()
    backstay = need_backstay(base)
    turns = dict(known.turns) if request.turns is None else role_turns(base.model, request.turns)
    setting = known.setting(turns, request.wind_kn, known.backstay_pull_mm(request.wind_kn))
    rows = travel_table(base, setting, points=request.points)
    top, source = _top_load(base, backstay, request.top_load_n, most_n=max(one.load_n for one in rows))
    places = wind_places(base, _table_settings(known, base))
    least = min((one.pull_mm for one in places), default=0.0)
    advice = half_travel(
        base,
        setting,
        top_load_n=top,
        least_take_up_mm=metres_to_millimetres(backstay_take_up_m(base.model, least)),
    )
    return BackstayAnswer(
        known.files.boat_file.boat.name,
        backstay,
        bridle_of(backstay).apex_height,
        request.wind_kn,
        tuple(rows),
        advice,
        tuple(places),
        tuple(compare_legs(base, setting, top_load_n=top, shorter_m=request.shorter_m)),
        source,
        known.warnings(),
    )


def _top_load(base: BaseTune, backstay: Backstay, given: float | None, *, most_n: float) -> tuple[float, str]:
    """Return the usual top load and its source; without one, no more than the travel pulls in this wind."""
    if given is not None:
        return given, "entered"
    upper = base.model.strands[base.model.strand(backstay.upper_wire)].wire.break_load
    weakest = min(upper, 2.0 * backstay.leg_break_load_n)
    if STATIC_SHARE * weakest > PULLED_SHARE * most_n:
        return (
            PULLED_SHARE * most_n,
            f"{100 * PULLED_SHARE:.0f} % of the most that the travel pulls in this wind",
        )
    return STATIC_SHARE * weakest, f"{100 * STATIC_SHARE:.0f} % of the weakest part's break load, from memory"


def _table_settings(known: RigBook, base: BaseTune) -> list[Setting]:
    """Return a setting for every wind of the settings table, turns and puller as it says."""
    roles = base.model.roles()
    found = []
    for wind in sorted(known.table):
        kept = known.table[wind]
        turns = role_turns(base.model, {role: kept[role].value for role in roles if role in kept})
        found.append(known.setting(turns, wind, known.backstay_pull_mm(wind)))
    return found


@dataclass(frozen=True)
class LoadsAnswer:
    """Working loads with margins."""

    boat: str
    rows: tuple[LoadRow, ...]
    factor: DesignFactor
    winds_kn: tuple[float, ...]
    warnings: tuple[str, ...]


def design_factor(value: float | None, source: str) -> DesignFactor:
    """Return a factor as given with its source, or the one shown when nothing is given.

    Raises
    ------
    InputError
        A factor without a source, or below one.
    """
    return DYNAMIC_FACTOR if value is None else DesignFactor(value, source)


def rig_loads(
    folder: Path,
    *,
    winds_kn: Sequence[float] = (10.0, 14.0, 18.0, 24.0),
    turns: Mapping[str, float] | None = None,
    factor: DesignFactor = DYNAMIC_FACTOR,
    line_breaks_n: Mapping[str, float] | None = None,
) -> LoadsAnswer:
    """Return working loads of wires and lines over some winds, against their break loads.

    Parameters
    ----------
    folder : Path
        The book.
    winds_kn : sequence of float
        Winds.
    turns : mapping or None
        Role to turns for all winds; the table's turns for each wind when None.
    factor : DesignFactor
        Peak over working load, with its source.
    line_breaks_n : mapping, optional
        Break loads of lines (``main_sheet`` ...), as their maker states them.

    Raises
    ------
    InputError
        A break load for a part that is not in the table.
    """
    known = read_rig(folder)
    base = known.base()
    states = [solve_setting(base, _load_setting(known, base, wind, turns)) for wind in winds_kn]
    rows = load_table(
        base,
        known.files.class_file,
        states,
        crew_kg=known.crew_kg,
        factor=factor,
        line_breaks_n=line_breaks_n,
    )
    unknown = set(line_breaks_n or {}) - {one.part for one in rows}
    if unknown:
        parts = ", ".join(one.part for one in rows)
        raise InputError(f"no part {min(unknown)!r}; there are: {parts}", next_step="use one of these")
    return LoadsAnswer(
        known.files.boat_file.boat.name, tuple(rows), factor, tuple(winds_kn), known.warnings()
    )


def _load_setting(
    known: RigBook, base: BaseTune, wind_kn: float, turns: Mapping[str, float] | None
) -> Setting:
    kept: Mapping[str, float] = turns or {}
    if turns is None and known.table:
        nearest = min(known.table, key=lambda one: abs(one - wind_kn))
        row = known.table[nearest]
        kept = {role: row[role].value for role in base.model.roles() if role in row}
    return known.setting(role_turns(base.model, kept), wind_kn, known.backstay_pull_mm(wind_kn))
