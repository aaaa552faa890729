"""The mast's shape as measured: prebend, rake and forestay sag beside the model, kept for the fit."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from cringle.book.entries import NewEntry
from cringle.book.store import Book
from cringle.errors import InputError
from cringle.rig.spread import half_widths
from cringle.rig.state import QUANTITIES, quantities
from cringle.rig.turns import solve_setting
from cringle.workflows.rig.book import read_rig

SPREAD_MM = {"prebend_mm": 3.0, "rake_mm": 10.0, "sag_mm": 10.0, "tip_to_leeward_mm": 10.0}
"""Standard deviation of a reading by halyard or photograph (common practice, no source). [mm]"""


@dataclass(frozen=True)
class ShapeRow:
    """One measured quantity beside the model.

    Parameters
    ----------
    quantity : str
        ``prebend_mm``, ``rake_mm`` or ``sag_mm``.
    measured_mm, expected_mm, half_width_mm : float
        Measured; by the model at the recorded turns; half its 90 % interval.
    is_within : bool
        Whether the measurement lies in the interval, reading error added.
    """

    quantity: str
    measured_mm: float
    expected_mm: float
    half_width_mm: float
    is_within: bool


@dataclass(frozen=True)
class ShapeAnswer:
    """A measured shape beside the model."""

    rows: tuple[ShapeRow, ...]
    wind_kn: float
    backstay_pull_mm: float
    kept: bool
    warnings: tuple[str, ...]


@dataclass(frozen=True)
class ShapeRequest:
    """What was measured, and in what state.

    Parameters
    ----------
    measured_mm : mapping
        ``prebend_mm``, ``rake_mm``, ``sag_mm`` to value.
    wind_kn : float
        True wind, upwind on starboard tack; 0 is the dock.
    backstay_pull_mm : float
        Puller from the top.
    """

    measured_mm: Mapping[str, float]
    wind_kn: float = 0.0
    backstay_pull_mm: float = 0.0


def rig_shape(folder: Path, request: ShapeRequest, *, keep: bool = False, who: str = "coach") -> ShapeAnswer:
    """Return a measured shape beside the model at the recorded turns; keep it when asked.

    Raises
    ------
    InputError
        Nothing or something unknown was measured, or a sag on the dock.
    """
    _check(request)
    known = read_rig(folder)
    found = known.ensemble()
    setting = known.setting(known.turns, request.wind_kn, request.backstay_pull_mm)

    def shape(base: Any) -> Any:
        state = solve_setting(base, setting)
        return quantities(state.model, state.equilibrium.position, state.equilibrium.tension)[
            -len(QUANTITIES) :
        ]

    expected, half = half_widths(found, shape)
    rows = []
    for name, measured in request.measured_mm.items():
        place = QUANTITIES.index(name)
        reach = half[place] + 1.645 * SPREAD_MM[name]
        middle = float(expected[place])
        rows.append(
            ShapeRow(name, measured, middle, float(half[place]), bool(abs(measured - middle) <= reach))
        )
    if keep:
        _keep(folder, request, dict(known.turns), who)
    return ShapeAnswer(tuple(rows), request.wind_kn, request.backstay_pull_mm, keep, known.warnings())


def _check(request: ShapeRequest) -> None:
    unknown = [name for name in request.measured_mm if name not in SPREAD_MM]
    if unknown or not request.measured_mm:
        raise InputError(
            f"{unknown[0] if unknown else 'nothing'} was measured",
            next_step="give --prebend, --rake or --sag, in mm",
        )
    if "sag_mm" in request.measured_mm and request.wind_kn <= 0.0:
        raise InputError(
            "a forestay hangs straight on the dock", next_step="give the wind it sagged in: --wind 12"
        )


def _keep(folder: Path, request: ShapeRequest, turns: dict[str, float], who: str) -> None:
    entries = []
    for name, value in request.measured_mm.items():
        payload = {
            "value_mm": value,
            "method": "entered",
            "wind_kn": request.wind_kn,
            "backstay_pull_mm": request.backstay_pull_mm,
            "turns": turns,
        }
        entries.append(NewEntry("rig_measurement", name, payload))
    with Book.open(folder, create=True, who=who) as book:
        book.write(entries, why="shape of the mast measured")
