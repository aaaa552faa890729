"""The wind as measured, brought to the height the table's rows refer to."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from cringle.errors import InputError
from cringle.settings.moves import neighbour_winds
from cringle.settings.records import TonightRequest

WIND_DECIMALS = 1
"""Decimals of a converted wind that a person can use."""

HIGHEST_MAST_M = 200.0
"""No wind for a small boat is measured higher than this [m]."""


@dataclass(frozen=True)
class Winds:
    """Mean, range and gust at the table's height [kn], and what turned the entered winds into them."""

    mean_kn: float
    low_kn: float | None
    high_kn: float | None
    gust_kn: float | None
    ratio: float = 1.0

    def others(self, rows: Sequence[float]) -> tuple[float, ...]:
        """Return the winds to give moves for: the ends of the range, else the next rows; and the gust."""
        ends = (self.low_kn, self.high_kn) if self.low_kn is not None else neighbour_winds(rows, self.mean_kn)
        wanted = [one for one in (*ends, self.gust_kn) if one is not None and one != self.mean_kn]
        return tuple(sorted(set(wanted)))

    @property
    def strongest_kn(self) -> float:
        """The strongest wind to reckon with [kn]."""
        return max(one for one in (self.mean_kn, self.high_kn, self.gust_kn) if one is not None)


def winds_at_table_height(request: TonightRequest, height_m: float) -> Winds:
    """Return the winds asked for at the table's height, a converted wind to a tenth of a knot."""
    ratio = height_ratio(request.height_m, height_m)

    def scaled(wind_kn: float) -> float:
        return wind_kn if ratio == 1.0 else round(wind_kn * ratio, WIND_DECIMALS)

    low, high, gust = (
        None if one is None else scaled(one) for one in (request.low_kn, request.high_kn, request.gust_kn)
    )
    return Winds(scaled(request.mean_kn), low, high, gust, ratio)


def height_ratio(measured_at_m: float | None, table_at_m: float) -> float:
    """Return what turns a wind at one height into the wind at the table's height, by the log law.

    Raises
    ------
    InputError
        The height is not above the water's roughness, or far above any boat.
    """
    if measured_at_m is None or measured_at_m == table_at_m:
        return 1.0
    if not 0.0 < measured_at_m <= HIGHEST_MAST_M:
        raise InputError(
            f"height {measured_at_m:g} m: accepted is more than 0 and at most {HIGHEST_MAST_M:g} m",
            next_step="give the height above the water where the wind was measured, for example 2",
        )
    from cringle.physics.wind import wind_speed_at_height

    return float(wind_speed_at_height(1.0, measured_at_m, table_at_m))
