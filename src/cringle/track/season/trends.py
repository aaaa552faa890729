"""Trends of a season: what changes over the days, with the wind, the crew, the sails, the settings."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from cringle.track.ledger.ledger import PARTS

Array = NDArray[np.float64]

FEWEST: Final = 4
"""Fewer logs than this give no trend."""

LEVEL: Final = 0.95
"""Upper end of the central 90 %."""

MEASURES: Final = (
    "heel_in_band_share",
    "heel_error_deg",
    "tack_loss_m",
    "gybe_loss_m",
    "lost_s_per_min",
    "lost_heel_s_per_min",
    "lost_angle_s_per_min",
    "lost_trim_s_per_min",
)
"""What is followed over a season."""

LOSSES: Final = tuple(name for name in MEASURES if name.startswith("lost_") and name != "lost_s_per_min")

OTHER_LOSSES: Final = tuple(
    name for part in PARTS if (name := f"lost_{part}_s_per_min") not in LOSSES and part != "unknown"
)
"""Other parts of the ledger: shown day by day, but no line is drawn through them."""


@dataclass(frozen=True)
class Trend:
    """How a measure goes with something: change for each unit of it, 90 % interval, logs it rests on."""

    measure: str
    against: str
    per_unit: float
    low: float
    high: float
    count: int

    @property
    def clear(self) -> bool:
        """Whether the interval leaves out nothing at all happening."""
        return self.low > 0.0 or self.high < 0.0

    def to_json(self) -> dict[str, Any]:
        """Return it as plain values."""
        return {
            "measure": self.measure,
            "against": self.against,
            "change_per_unit": self.per_unit,
            "change_per_unit_low": self.low,
            "change_per_unit_high": self.high,
            "logs": self.count,
            "clear": self.clear,
        }


@dataclass(frozen=True)
class Group:
    """Mean of a measure over the logs that share something, such as the same people aboard."""

    measure: str
    by: str
    name: str
    mean: float
    count: int


def log_means(rows: Sequence[Mapping[str, Any]]) -> list[dict[str, Any]]:
    """Return one line for each log and day: means over its legs, weighted by their time.

    Parameters
    ----------
    rows : sequence of mapping
        One for each leg, with what the book knows of the day joined to it.
    """
    by_log: dict[tuple[str, str], list[Mapping[str, Any]]] = {}
    for row in rows:
        if row.get("leg") is not None:
            by_log.setdefault((str(row["file"]), str(row.get("day"))), []).append(row)
    return [_log_mean(name, legs) for (name, _), legs in by_log.items()]


def _log_mean(name: str, legs: Sequence[Mapping[str, Any]]) -> dict[str, Any]:
    first = legs[0]
    found: dict[str, Any] = {
        "file": name,
        "day": str(first.get("day") or first["start"])[:10],
        "crew": first.get("crew"),
        "sail_hours": first.get("sail_hours"),
        "settings": first.get("settings") or {},
        "tws_kn": _weighted(legs, "tws_kn"),
    }
    for measure in (*MEASURES, *OTHER_LOSSES):
        is_part = measure in LOSSES or measure in OTHER_LOSSES
        found[measure] = _per_minute(legs, measure) if is_part else _weighted(legs, measure)
    return found


def _per_minute(legs: Sequence[Mapping[str, Any]], measure: str) -> float | None:
    """Return seconds a minute of one part of the ledger."""
    column = measure.replace("_s_per_min", "_s")
    known = [(leg[column], leg["duration_s"]) for leg in legs if leg.get(column) is not None]
    seconds = sum(length for _, length in known)
    return 60.0 * sum(lost for lost, _ in known) / seconds if seconds else None


def _weighted(legs: Sequence[Mapping[str, Any]], column: str) -> float | None:
    known = [(leg[column], leg["duration_s"]) for leg in legs if leg.get(column) is not None]
    weight = sum(length for _, length in known)
    return sum(value * length for value, length in known) / weight if weight else None


def trends(means: Sequence[Mapping[str, Any]]) -> list[Trend]:
    """Return how each measure goes with the days, the wind, the sails' hours and each setting.

    Parameters
    ----------
    means : sequence of mapping
        From `log_means`.

    Notes
    -----
    A straight line by least squares with Student's interval. Logs are few and nobody tossed a coin
    over them: a trend shows what went together, not what caused what.
    """
    found = []
    for against, values in _axes(means).items():
        for measure in MEASURES:
            line = slope(values, _column(means, measure))
            if line is not None:
                found.append(Trend(measure, against, *line))
    return found


def _axes(means: Sequence[Mapping[str, Any]]) -> dict[str, Array]:
    days = np.array([np.datetime64(one["day"]).astype(float) for one in means], dtype=np.float64)
    roles = sorted({role for one in means for role in one["settings"]})
    return {
        "days": days,
        "wind_kn": _column(means, "tws_kn"),
        "sail_hours": _column(means, "sail_hours"),
        **{f"setting {role}": _column([one["settings"] for one in means], role) for role in roles},
    }


def _column(means: Sequence[Mapping[str, Any]], name: str) -> Array:
    return np.array([np.nan if one.get(name) is None else float(one[name]) for one in means])


def slope(across: Array, values: Array) -> tuple[float, float, float, int] | None:
    """Return slope, the ends of its 90 % interval and the number of points, or None.

    Parameters
    ----------
    across, values : array, shape (n,)
        NaN where not known.
    """
    known = np.isfinite(across) & np.isfinite(values)
    count = int(known.sum())
    if count < FEWEST or np.ptp(across[known]) <= 0.0:
        return None
    from scipy.stats import t

    x, y = across[known] - across[known].mean(), values[known] - values[known].mean()
    spread = float((x**2).sum())
    per_unit = float((x * y).sum()) / spread
    left = float(((y - per_unit * x) ** 2).sum()) / (count - 2)
    half = float(t.ppf(LEVEL, count - 2)) * float(np.sqrt(left / spread))
    return per_unit, per_unit - half, per_unit + half, count


def groups(means: Sequence[Mapping[str, Any]], by: str = "crew") -> list[Group]:
    """Return the mean of each measure over logs that share the same people; groups of two logs or more.

    Parameters
    ----------
    means : sequence of mapping
        From `log_means`.
    by : str
        Column whose values make the groups.
    """
    names = sorted({str(one[by]) for one in means if one.get(by)})
    found = []
    for name in names:
        same = [one for one in means if str(one.get(by)) == name]
        for measure in MEASURES:
            values = [float(one[measure]) for one in same if one[measure] is not None]
            if len(same) >= 2 and values:
                found.append(Group(measure, by, name, float(np.mean(values)), len(values)))
    return found
