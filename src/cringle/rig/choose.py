"""Which turns for a forecast that is a range: the row with the least expected loss, and its lead."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cringle.errors import InputError
from cringle.rig.assumptions import ASSUMPTIONS
from cringle.rig.base import BaseTune
from cringle.rig.sheet import SheetRow
from cringle.rig.state import QUANTITIES, strand_sensitivity
from cringle.rig.turns import Setting, Solved, role_turns, solve_setting
from cringle.rig.wind_load import Sailing

Array = NDArray[np.float64]

SAG_UNIT_MM, PREBEND_UNIT_MM = 20.0, 10.0
"""Misses that the assumed costs are for. [mm]"""


@dataclass(frozen=True)
class Forecast:
    """A wind to come, as winds with weights that add up to one.

    Parameters
    ----------
    winds_kn, weights : tuple of float
        Same length.
    """

    winds_kn: tuple[float, ...]
    weights: tuple[float, ...]


def forecast_of(percentiles: Mapping[float, float], *, points: int = 9) -> Forecast:
    """Return a forecast from percentiles.

    Parameters
    ----------
    percentiles : mapping
        Share of time at or below (0 to 1) to wind: ``{0.1: 8, 0.5: 11, 0.9: 15}``; a range is 0.05 and 0.95.
    points : int
        Winds to stand for it, each of equal weight.

    Returns
    -------
    Forecast
        Winds in the middle of equal shares of time, straight lines between the percentiles, ends held.

    Raises
    ------
    InputError
        Fewer than one percentile, shares outside 0 to 1, or winds that fall as the share rises.
    """
    shares = sorted(percentiles)
    winds = [percentiles[one] for one in shares]
    if not shares or shares[0] < 0.0 or shares[-1] > 1.0 or any(np.diff(winds) < 0.0) or winds[0] < 0.0:
        raise InputError(
            "a forecast needs winds that rise with their percentiles, between 0 and 100",
            next_step="give --low and --high, or --percentile 10=8 --percentile 50=11 --percentile 90=15",
        )
    middles = (np.arange(points) + 0.5) / points
    values = np.interp(middles, shares, winds)
    return Forecast(tuple(float(one) for one in values), tuple([1.0 / points] * points))


@dataclass(frozen=True)
class Costs:
    """What a miss costs.

    Parameters
    ----------
    sag_s_per_mile : float
        Cost of 20 mm of sag too much or too little.
    prebend_s_per_mile : float
        Cost of 10 mm of mast bend too much or too little.
    """

    sag_s_per_mile: float = ASSUMPTIONS["sag_cost"].value
    prebend_s_per_mile: float = ASSUMPTIONS["prebend_cost"].value

    def __post_init__(self) -> None:
        if min(self.sag_s_per_mile, self.prebend_s_per_mile) < 0.0:
            raise InputError("a cost cannot be negative", next_step="give seconds a mile, 0 or more")


@dataclass(frozen=True)
class Candidate:
    """One setting on offer.

    Parameters
    ----------
    row_kn : float
        The sheet's row it is.
    turns : dict
        Role to turns.
    expected_s_per_mile : float
        Mean loss over the forecast.
    worst_s_per_mile : float
        Loss at the worst wind of the forecast.
    behind_s_per_mile : float
        How much it loses to the best.
    low_s_per_mile, high_s_per_mile : float
        The mean loss with costs a standard deviation down and up.
    """

    row_kn: float
    turns: dict[str, float]
    expected_s_per_mile: float
    worst_s_per_mile: float
    behind_s_per_mile: float
    low_s_per_mile: float
    high_s_per_mile: float


def choose(
    base: BaseTune,
    sailing: Sailing,
    rows: Sequence[SheetRow],
    forecast: Forecast,
    *,
    costs: Costs | None = None,
) -> list[Candidate]:
    """Return the sheet's rows as candidates for a forecast, best first.

    Parameters
    ----------
    base : BaseTune
        What turns are counted from.
    sailing : Sailing
        Sails, hull, crew.
    rows : sequence of SheetRow
        The tune sheet; each row is taken as right for its own wind.
    forecast : Forecast
        Winds with weights.
    costs : Costs, optional
        What a miss of sag or bend costs; assumed when left out.

    Returns
    -------
    list of Candidate
        One a row, the least expected loss first.

    Notes
    -----
    In every wind of the forecast the backstay is hauled or eased for the least loss, because it may be
    changed while sailing and the screws may not. Its effect is taken from the tangent. The rows' own sag
    and mast bend, interpolated between rows, are what the loss is measured from.
    """
    if not rows:
        raise InputError("there is no tune sheet to choose from", next_step="run: cringle rig sheet")
    cost = costs or Costs()
    losses = np.array(
        [[_loss(base, sailing, rows, (row, wind), cost) for wind in forecast.winds_kn] for row in rows]
    )
    return _ranked(rows, losses, forecast)


def choose_from_table(
    rows: Sequence[SheetRow], table: Mapping[tuple[float, float], float], forecast: Forecast
) -> list[Candidate]:
    """Return candidates by the coach's own loss table.

    Parameters
    ----------
    rows : sequence of SheetRow
        The tune sheet.
    table : mapping
        (row's wind, sailed wind) to loss in seconds a mile; straight lines between sailed winds.
    forecast : Forecast
        Winds with weights.

    Raises
    ------
    InputError
        A row of the sheet is not in the table.
    """
    losses = []
    for row in rows:
        line = sorted((sailed, loss) for (wind, sailed), loss in table.items() if wind == row.wind_kn)
        if not line:
            raise InputError(
                f"the loss table has no line for the {row.wind_kn:g} kn row",
                next_step="add it: row_kn,wind_kn,loss_s_per_mile",
            )
        winds, values = zip(*line, strict=True)
        losses.append(np.interp(forecast.winds_kn, winds, values))
    return _ranked(rows, np.array(losses), forecast, spread=0.0)


def _ranked(
    rows: Sequence[SheetRow], losses: Array, forecast: Forecast, spread: float = 0.5
) -> list[Candidate]:
    expected = losses @ np.array(forecast.weights)
    best = float(expected.min())
    found = [
        Candidate(
            row.wind_kn,
            row.turns,
            float(mean),
            float(line.max()),
            float(mean) - best,
            float(mean) * (1.0 - spread),
            float(mean) * (1.0 + spread),
        )
        for row, line, mean in zip(rows, losses, expected, strict=True)
    ]
    return sorted(found, key=lambda one: one.expected_s_per_mile)


def _wanted(rows: Sequence[SheetRow], wind_kn: float) -> tuple[float, float, float]:
    """Return the sheet's own sag, bend and backstay pull in a wind, straight lines between rows."""
    winds = [row.wind_kn for row in rows]
    columns = (
        [row.sailing.sag_mm for row in rows],
        [row.sailing.prebend_mm for row in rows],
        [row.backstay_pull_mm for row in rows],
    )
    sag, bend, pull = (float(np.interp(wind_kn, winds, column)) for column in columns)
    return sag, bend, pull


def _loss(
    base: BaseTune, sailing: Sailing, rows: Sequence[SheetRow], pair: tuple[SheetRow, float], cost: Costs
) -> float:
    """Return the loss of a row's turns in a wind, backstay set for the least loss. [s/mile]."""
    row, wind = pair
    sag, bend, pull = _wanted(rows, wind)
    load = sailing.load(wind)
    state = solve_setting(base, Setting(role_turns(base.model, row.turns), pull, load))
    miss = np.array(
        [(state.state.sag_mm - sag) / SAG_UNIT_MM, (state.state.prebend_mm - bend) / PREBEND_UNIT_MM]
    )
    weight = np.sqrt([cost.sag_s_per_mile, cost.prebend_s_per_mile])
    slope = _backstay_slope(state) / [SAG_UNIT_MM, PREBEND_UNIT_MM]
    scaled, rate = miss * weight, slope * weight
    if float(rate @ rate) > 0.0:
        most = 0.05
        take_up = float(np.clip(-(scaled @ rate) / (rate @ rate), -most, most))
        scaled = scaled + rate * take_up
    return float(scaled @ scaled)


def _backstay_slope(state: Solved) -> Array:
    """Return change of sag and bend a metre of backstay take-up; zero where it is slack. [mm/m]."""
    stays = [n for n, one in enumerate(state.model.strands) if one.wire.kind == "backstay"]
    if not stays or state.equilibrium.tension[stays[0]] <= 0.0:
        return np.zeros(2)
    change = strand_sensitivity(state.model, state.equilibrium, stays[0])
    start = len(change) - len(QUANTITIES)
    return np.array([change[start + QUANTITIES.index(name)] for name in ("sag_mm", "prebend_mm")])
