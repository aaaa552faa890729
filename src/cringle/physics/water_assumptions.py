"""Every assumed coefficient of the water side, read from one table with its spread.

The ensemble of the speed model replaces values in `WaterAssumptions` by draws between low and high.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from functools import cache

from cringle.errors import InputError
from cringle.physics.arrays import require_between
from cringle.physics.assumptions import Assumption
from cringle.physics.tables import load_table
from cringle.units import degrees_to_radians

TABLE_NAME = "assumptions_water"


@dataclass(frozen=True)
class WaterAssumptions:
    """The assumed coefficients of hull, foils and stability, angles in radians; the table tells the rest."""

    hull_drag_factor: float
    planing_drag_factor: float
    heeled_drag_factor: float
    keel_wave_factor: float
    bulb_wave_decay: float
    profile_drag_factor: float
    roughness: float
    effective_draft_share: float
    rudder_wake: float
    stall_lift_coefficient: float
    heel_lift_loss: float
    heel_leeway: float
    side_force_depth_share: float
    wave_factor: float
    righting_moment_factor: float
    crew_place: float
    trim_response: float

    def __post_init__(self) -> None:
        for one in fields(self):
            require_between(
                one.name, getattr(self, one.name), -1.0 if one.name == "crew_place" else 0.0, 10.0
            )


@cache
def water_assumption_rows() -> tuple[Assumption, ...]:
    """Return every row of the table of assumptions, in the table's order, angles in radians."""
    table = load_table(TABLE_NAME)
    rows = []
    for place, name in enumerate(table.labels["name"]):
        unit = table.labels["unit"][place]
        numbers = [float(table.columns[one][place]) for one in ("value", "low", "high")]
        value, low, high = [degrees_to_radians(one) if unit == "deg" else one for one in numbers]
        why, source = table.labels["why"][place], table.provenance[place]
        rows.append(Assumption(name, value, low, high, unit, why, source))
    return tuple(rows)


@cache
def default_water_assumptions() -> WaterAssumptions:
    """Return the best value of every assumption.

    Raises
    ------
    InputError
        A row of the table is missing or unknown.
    """
    values = {row.name: row.value for row in water_assumption_rows()}
    expected = {one.name for one in fields(WaterAssumptions)}
    if values.keys() != expected:
        raise InputError(
            f"table {TABLE_NAME}: rows and model differ in {', '.join(sorted(values.keys() ^ expected))}",
            next_step="give every assumption of the model exactly one row",
        )
    return WaterAssumptions(**values)
