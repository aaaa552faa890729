"""The tune sheet: turns from base by wind, with the tensions, prebend and sag they give."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from cringle.errors import InputError
from cringle.findings import Source
from cringle.rig.base import BaseTune
from cringle.rig.inverse import Proposal, Target, Wanted, propose
from cringle.rig.model import RigModel
from cringle.rig.spread import Ensemble, half_widths
from cringle.rig.state import RigState
from cringle.rig.turns import Setting, role_turns, solve_setting
from cringle.rig.wind_load import Sailing

Array = NDArray[np.float64]

SAG_BY_WIND = ((4.0, 1.06), (10.0, 1.0), (16.0, 0.92), (24.0, 0.86))
"""Sag a computed row aims at, by wind, as a share of what the base tune sags in that wind: fuller in
light air,
flatter in a breeze. Our own starting values, a guess (from memory: sag is taken out as the wind builds)."""


@dataclass(frozen=True)
class RowWish:
    """One wind of a sheet before it is computed.

    Parameters
    ----------
    wind_kn : float
        True wind.
    turns : mapping or None
        Role to turns, as the book has them; None: find them.
    backstay_pull_mm : float
        Puller from the top.
    source : Source
        Of the turns.
    """

    wind_kn: float
    turns: Mapping[str, float] | None = field(default=None, hash=False)
    backstay_pull_mm: float = 0.0
    source: Source = Source.COMPUTED


@dataclass(frozen=True)
class SheetRow:
    """One wind of a sheet.

    Parameters
    ----------
    wind_kn : float
        True wind.
    turns : dict
        Role to turns from base.
    turns_half_width : dict
        Half the 90 % interval of computed turns; empty for turns from the book.
    backstay_pull_mm : float
        Puller from the top.
    dock, sailing : RigState
        Without and with the wind.
    sag_half_width_mm : float
        Half the 90 % interval of the sag.
    source : Source
        Of the turns.
    notes : tuple of str
        What a person should know: slack wires, ends of threads.
    """

    wind_kn: float
    turns: dict[str, float]
    turns_half_width: dict[str, float]
    backstay_pull_mm: float
    dock: RigState
    sailing: RigState
    sag_half_width_mm: float
    source: Source
    notes: tuple[str, ...]


def tune_sheet(found: Ensemble, sailing: Sailing, wishes: Sequence[RowWish]) -> list[SheetRow]:
    """Return the sheet.

    Parameters
    ----------
    found : Ensemble
        Base tune with neighbours.
    sailing : Sailing
        Sails, hull, crew.
    wishes : sequence of RowWish
        Winds, with turns where the book has them.

    Raises
    ------
    InputError
        No winds, or one twice.
    """
    winds = [one.wind_kn for one in wishes]
    if not winds or len(set(winds)) != len(winds):
        raise InputError("a sheet needs each wind once", next_step="give winds like --winds 6,8,10,12,14")
    return [_row(found, sailing, one) for one in sorted(wishes, key=lambda w: w.wind_kn)]


def _setting(base: BaseTune, sailing: Sailing, wish: RowWish) -> Setting:
    turns = role_turns(base.model, wish.turns or {})
    return Setting(turns, wish.backstay_pull_mm, sailing.load(wish.wind_kn))


def wanted_sag_share(wind_kn: float) -> float:
    """Return the sag a computed row aims at, as a share of the base tune's sag in that wind."""
    winds, shares = zip(*SAG_BY_WIND, strict=True)
    return float(np.interp(wind_kn, winds, shares))


def _row(found: Ensemble, sailing: Sailing, wish: RowWish) -> SheetRow:
    setting = _setting(found.middle, sailing, wish)
    if wish.turns is None:
        answer = _found_turns(found, setting, wanted_sag_share(wish.wind_kn))
        turns, half, underway, dock = answer.turns, answer.half_width, answer.solved, answer.dock
    else:
        turns, half = dict(wish.turns), {}
        underway = solve_setting(found.middle, setting)
        dock = solve_setting(found.middle, Setting(setting.turns))

    def sag(base: BaseTune) -> Array:
        if base is found.middle:
            return np.array([underway.state.sag_mm])
        return np.array([solve_setting(base, underway.setting, start=underway).state.sag_mm])

    _, width = half_widths(found, sag)
    return SheetRow(
        wish.wind_kn,
        turns,
        half,
        wish.backstay_pull_mm,
        dock.state,
        underway.state,
        float(width[0]),
        wish.source,
        row_notes(found.middle.model, turns, underway.state),
    )


def _found_turns(found: Ensemble, setting: Setting, sag_share: float) -> Proposal:
    """Return turns of the shrouds that give a sag in the wind and keep the base's prebend on the dock."""
    model = found.middle.model
    targets = (
        Target("sag_mm", sag_share, sailing=True, kind="share"),
        Target("prebend_mm", 0.0, kind="change"),
    )
    roles = tuple(
        role for role, screws in model.roles().items() if all(one.rule_state != "ashore" for one in screws)
    )
    return propose(found, Wanted(targets, roles), setting)


def row_notes(model: RigModel, turns: Mapping[str, float], state: RigState) -> tuple[str, ...]:
    """Return what a person should know about a row."""
    notes = [f"{name.replace('_', ' ')} slack on starboard tack" for name in state.slack]
    for identifier, value in role_turns(model, turns).items():
        screw = model.screw(identifier)
        if value >= screw.high or value <= screw.low:
            notes.append(f"{screw.name} is at the end of its range")
    return tuple(notes)


def rule_states(model: RigModel) -> dict[str, str]:
    """Return role to when its screws may be changed, the strictest of its screws."""
    order = ("any time", "unknown", "between races", "ashore")
    return {
        role: max((str(one.rule_state.value) for one in screws), key=order.index)
        for role, screws in model.roles().items()
    }
