"""Every assumed coefficient of the air side, read from one table with its spread.

The ensemble of the speed model replaces values in `AirAssumptions` by draws between the low and the high end.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from functools import cache

import numpy as np
from numpy.typing import NDArray

from cringle.errors import InputError
from cringle.physics.tables import Table, load_table

TABLE_NAME = "assumptions_air"

SCORE_AT_ENDS = 1.6448536269514722
"""Standard normal score of the 95 per cent point."""

MOST_SCORE = 2.0
"""Draws further out than this are moved back to it."""


@dataclass(frozen=True)
class Assumption:
    """One assumed value: what it is, how far off it may be, and why.

    Parameters
    ----------
    name : str
        Field of `AirAssumptions`.
    value, low, high : float
        Best value and its 5 and 95 per cent points; angles in radians, everything else as `unit` says.
    unit : str
        Unit as printed in the table.
    why, source : str
        What it stands for and where it comes from; ``estimate`` where nothing was published.
    """

    name: str
    value: float
    low: float
    high: float
    unit: str
    why: str
    source: str


@dataclass(frozen=True)
class AirAssumptions:
    """The assumed coefficients of sails and windage, angles in radians; the table tells the rest."""

    roughness_length: float
    main_lift_factor: float
    main_drag_factor: float
    jib_lift_factor: float
    jib_drag_factor: float
    kite_lift_factor: float
    kite_drag_factor: float
    main_quadratic_drag: float
    jib_quadratic_drag: float
    kite_quadratic_drag: float
    effective_height_factor: float
    gap_sealed_until: float
    gap_open_from: float
    jib_blanketed_from: float
    jib_exposure_beside_kite: float
    jib_shadow_from: float
    jib_shadow_to: float
    kite_loss_to_jib: float
    jib_downwash_share: float
    wing_main_drag: float
    wing_kite_drag: float
    wing_fade_from: float
    wing_full_from: float
    flat_centre_drop: float
    flat_centre_drop_fraction: float
    twist_penalty: float
    feather_drag: float
    build_lift_factor: float
    build_drag_factor: float
    build_angle: float
    hull_drag_coefficient: float
    mast_drag_coefficient: float
    mast_with_sail_drag_coefficient: float
    wire_drag_coefficient: float
    crew_drag_area: float
    crew_shelter: float
    hull_yaw_factor: float

    def __post_init__(self) -> None:
        for low, high in (
            ("gap_sealed_until", "gap_open_from"),
            ("jib_shadow_from", "jib_shadow_to"),
            ("wing_fade_from", "wing_full_from"),
        ):
            if not getattr(self, low) < getattr(self, high):
                raise InputError(
                    f"{low}: found {getattr(self, low):.3f} rad, accepted less than {high} "
                    f"{getattr(self, high):.3f} rad",
                    next_step="draw the two again, or keep the values of the table",
                )


@cache
def air_assumption_rows() -> tuple[Assumption, ...]:
    """Return every row of the table of assumptions, in the table's order, angles in radians."""
    return _rows(load_table(TABLE_NAME))


@cache
def default_air_assumptions() -> AirAssumptions:
    """Return the best value of every assumption."""
    values = {row.name: row.value for row in air_assumption_rows()}
    expected = {one.name for one in fields(AirAssumptions)}
    if values.keys() != expected:
        raise InputError(
            f"table {TABLE_NAME}: rows and model differ in {', '.join(sorted(values.keys() ^ expected))}",
            next_step="give every assumption of the model exactly one row",
        )
    return AirAssumptions(**values)


def drawn_air_assumptions(scores: NDArray[np.float64]) -> AirAssumptions:
    """Return one draw of all assumptions from standard normal scores.

    Parameters
    ----------
    scores : array, shape (number of assumptions,)
        One score per row of the table, in its order; 0 is the best value, -1.645 the low and +1.645 the high
        end. Scores are limited to 2 either way, so that no value leaves the range in which it makes sense.

    Raises
    ------
    InputError
        The number of scores is not that of the rows, or a score is NaN.

    Notes
    -----
    Two half normal distributions, one below and one above the best value, as most spreads are lopsided. The
    caller makes the scores, so that the same draw can serve before and after a change.
    """
    rows = air_assumption_rows()
    if np.shape(scores) != (len(rows),) or np.isnan(scores).any():
        raise InputError(
            f"scores of the air assumptions: found shape {np.shape(scores)}, "
            f"accepted ({len(rows)},) without NaN",
            next_step="draw one standard normal number for every row of the table",
        )
    limited = np.clip(scores, -MOST_SCORE, MOST_SCORE) / SCORE_AT_ENDS
    value, low, high = np.array([(row.value, row.low, row.high) for row in rows]).T
    drawn = value + limited * np.where(limited < 0.0, value - low, high - value)
    return AirAssumptions(**{row.name: float(x) for row, x in zip(rows, drawn, strict=True)})


def _rows(table: Table) -> tuple[Assumption, ...]:
    units = table.labels["unit"]
    scale = np.where(np.array(units) == "deg", np.pi / 180.0, 1.0)
    value, low, high = (table.columns[one] * scale for one in ("value", "low", "high"))
    return tuple(
        Assumption(name, float(value[i]), float(low[i]), float(high[i]), units[i], why, source)
        for i, (name, why, source) in enumerate(
            zip(table.labels["name"], table.labels["why"], table.provenance, strict=True)
        )
    )
