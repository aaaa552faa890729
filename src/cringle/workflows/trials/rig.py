"""Whether the rig bears what a trial would try: loads at both numbers, in the wind and in its puffs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Final

from cringle.errors import CringleError
from cringle.findings import Number, Source
from cringle.rig.base import BaseTune
from cringle.rig.loads import load_table
from cringle.rig.turns import Setting, role_turns, solve_setting
from cringle.settings.roles import RoleScale
from cringle.workflows.rig.book import RigBook, read_rig

LEAST_MARGIN: Final = 1.0
"""Break load over peak load, the peak with its dynamic factor: nothing is tried beyond it."""

PUFF_SHARE: Final = 1.3
"""A trial also meets puffs, so much above the wind it is meant for (common practice, no source)."""

BACKSTAY: Final = "backstay"


def rig_trouble(folder: Path, scale: RoleScale, numbers: Sequence[float], wind_kn: float) -> str | None:
    """Return why the rig does not bear some numbers of a role; None when it does, or is not loaded by it.

    Parameters
    ----------
    folder : Path
        The book.
    scale : RoleScale
        Role and unit; screws and the backstay load the rig.
    numbers : sequence of float
        What would be sailed, on the role's scale.
    wind_kn : float
        Wind at the table's height. [kn]
    """
    if scale.unit != "turn" and scale.role != BACKSTAY:
        return None
    known = read_rig(folder)
    if scale.role == BACKSTAY and known.files.boat_file.backstay is None:
        return None
    try:
        base = known.base()
        weak = [(one, part) for one in numbers for part in _weak_parts(known, base, (scale, one), wind_kn)]
    except CringleError as error:
        return f"its loads cannot be checked: {error.message}"
    if not weak:
        return None
    number, part = weak[0]
    return f"{part.replace('_', ' ')} would pass its margin at {number:g} in {wind_kn:g} kn and its puffs"


def _weak_parts(known: RigBook, base: BaseTune, tried: tuple[RoleScale, float], wind_kn: float) -> list[str]:
    states = [
        solve_setting(base, _setting(known, base, tried, one)) for one in (wind_kn, PUFF_SHARE * wind_kn)
    ]
    rows = load_table(base, known.files.class_file, states, crew_kg=known.crew_kg)
    return [one.part for one in rows if one.margin is not None and one.margin < LEAST_MARGIN]


def _setting(known: RigBook, base: BaseTune, tried: tuple[RoleScale, float], wind_kn: float) -> Setting:
    """Return the table's row nearest to a wind with one number put in its place."""
    scale, value = tried
    nearest = min(known.table, key=lambda one: abs(one - wind_kn), default=wind_kn)
    number = Number(value, scale.unit, Source.TRIAL)
    row = {**known.table.get(nearest, {}), scale.role: number}
    changed = replace(known, table={**known.table, nearest: row})
    turns = {role: row[role].value for role in base.model.roles() if role in row}
    return known.setting(role_turns(base.model, turns), wind_kn, changed.backstay_pull_mm(wind_kn))
