"""The plain names and units that a CSV header may carry, and what each of them means.

A header is a name and a unit: ``sog_kn``, ``Speed over ground [kn]``, ``heading (deg true)``. Capitals,
blanks and brackets do not matter. A known name without its unit, or one with two meanings, is an error that
lists the choices; a name that is not known is left out, and the report says so.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cringle.errors import Finding, InputError
from cringle.track.reading.nmea_columns import STATUTE_MILE_M
from cringle.units import (
    kilometres_per_hour_to_knots,
    metres_per_second_to_knots,
    metres_to_nautical_miles,
    radians_to_degrees,
    wrap_degrees,
    wrap_signed_degrees,
)

Floats = NDArray[np.float64]
Convert = Callable[[Floats], Floats]


def _same(values: Floats) -> Floats:
    return values


def _miles_per_hour(values: Floats) -> Floats:
    return metres_to_nautical_miles(values * STATUTE_MILE_M)


def _per_second(values: Floats) -> Floats:
    return values * 60.0


def _direction_of_radians(values: Floats) -> Floats:
    return wrap_degrees(radians_to_degrees(values))


def _signed_of_radians(values: Floats) -> Floats:
    return wrap_signed_degrees(radians_to_degrees(values))


SPEED: Final[dict[str, Convert]] = {
    "kn": _same,
    "m_per_s": metres_per_second_to_knots,
    "km_per_h": kilometres_per_hour_to_knots,
    "mph": _miles_per_hour,
}
DEGREES: Final[dict[str, Convert]] = {"deg": _same, "rad": radians_to_degrees}
DIRECTION: Final[dict[str, Convert]] = {
    "deg": wrap_degrees,
    "deg_true": wrap_degrees,
    "rad": _direction_of_radians,
}
TRUE_DIRECTION: Final[dict[str, Convert]] = {"deg_true": wrap_degrees, "rad_true": _direction_of_radians}
MAGNETIC_DIRECTION: Final[dict[str, Convert]] = {
    "deg": wrap_degrees,
    "deg_mag": wrap_degrees,
    "rad": _direction_of_radians,
}
SIGNED: Final[dict[str, Convert]] = {
    "deg": wrap_signed_degrees,
    "deg_signed": wrap_signed_degrees,
    "rad": _signed_of_radians,
}
RATE: Final[dict[str, Convert]] = {"deg_per_min": _same, "deg_per_s": _per_second}
POSITION: Final[dict[str, Convert]] = {"": _same, "deg": _same}

UNIT_WORDS: Final[dict[str, str]] = {
    "kt": "kn", "kts": "kn", "knot": "kn", "knots": "kn", "kn": "kn",
    "m_s": "m_per_s", "mps": "m_per_s", "m_per_s": "m_per_s",
    "km_h": "km_per_h", "kmh": "km_per_h", "kph": "km_per_h", "km_per_h": "km_per_h",
    "mph": "mph",
    "deg": "deg", "degree": "deg", "degrees": "deg", "rad": "rad", "radians": "rad",
    "deg_min": "deg_per_min", "deg_per_min": "deg_per_min", "deg_s": "deg_per_s", "deg_per_s": "deg_per_s",
    "t": "true", "true": "true", "m": "mag", "mag": "mag", "magnetic": "mag", "signed": "signed",
}  # fmt: skip
"""How units may be written, and the word used here."""


@dataclass(frozen=True)
class Quantity:
    """One thing a column may hold.

    Parameters
    ----------
    column : str
        Track column it becomes.
    names : tuple of str
        Plain names, the usual one first.
    units : dict
        Unit to conversion into the unit of the track.
    low, high : float
        Values outside make the row bad, in the unit of the track.
    """

    column: str
    names: tuple[str, ...]
    units: dict[str, Convert]
    low: float = -np.inf
    high: float = np.inf

    def choices(self) -> list[str]:
        """Return the headers that would be clear."""
        return [f"{self.names[0]}_{unit}".rstrip("_") for unit in self.units]


def _negative(values: Floats) -> Floats:
    return -values


QUANTITIES: Final = (
    Quantity("lat", ("lat", "latitude"), POSITION, -90.0, 90.0),
    Quantity("lon", ("lon", "lng", "long", "longitude"), POSITION, -180.0, 180.0),
    Quantity("sog", ("sog", "speed_over_ground", "ground_speed", "gps_speed"), SPEED, 0.0, 200.0),
    Quantity("cog", ("cog", "course_over_ground", "gps_course"), DIRECTION, 0.0, 360.0),
    Quantity("stw", ("stw", "speed_through_water", "water_speed", "boat_speed"), SPEED, -200.0, 200.0),
    Quantity("aws", ("aws", "apparent_wind_speed"), SPEED, 0.0, 200.0),
    Quantity("tws", ("tws", "true_wind_speed"), SPEED, 0.0, 200.0),
    Quantity("awa", ("awa", "apparent_wind_angle"), SIGNED, -180.0, 180.0),
    Quantity("twa", ("twa", "true_wind_angle"), SIGNED, -180.0, 180.0),
    Quantity("twd", ("twd", "true_wind_direction"), DIRECTION, 0.0, 360.0),
    Quantity("hdg", ("hdg", "heading"), TRUE_DIRECTION, 0.0, 360.0),
    Quantity("hdg", ("hdt", "heading_true"), DIRECTION, 0.0, 360.0),
    Quantity(
        "hdg_mag", ("hdm", "hdg_mag", "heading_mag", "heading_magnetic"), MAGNETIC_DIRECTION, 0.0, 360.0
    ),
    Quantity("roll", ("roll", "heel_to_starboard"), DEGREES, -180.0, 180.0),
    Quantity(
        "roll", ("heel_to_port",), {"deg": _negative, "rad": lambda x: -radians_to_degrees(x)}, -180.0, 180.0
    ),
    Quantity("pitch", ("pitch", "bow_up"), DEGREES, -90.0, 90.0),
    Quantity("rot", ("rot", "rate_of_turn"), RATE, -10000.0, 10000.0),
    Quantity("rudder", ("rudder", "rudder_angle"), DEGREES, -90.0, 90.0),
    Quantity("variation", ("variation", "magnetic_variation"), DEGREES, -180.0, 180.0),
)
"""Every quantity a CSV may carry."""

MAGNETIC_HEADING: Final = next(one for one in QUANTITIES if one.column == "hdg_mag")

TIMES: Final[dict[str, str]] = {
    "time_utc": "zoned or UTC", "utc": "zoned or UTC",
    "timestamp_utc": "zoned or UTC", "datetime_utc": "zoned or UTC",
    "time": "zoned", "timestamp": "zoned", "datetime": "zoned", "date_time": "zoned",
    "time_local": "local",
    "epoch_s": "epoch_s", "unix_s": "epoch_s", "unix_time_s": "epoch_s",
    "epoch_ms": "epoch_ms", "unix_ms": "epoch_ms", "unix_time_ms": "epoch_ms",
    "elapsed_s": "elapsed_s", "elapsed_ms": "elapsed_ms",
}  # fmt: skip
"""Header of a time column to how it is read."""

TIME_CHOICES: Final = (
    "time_utc (ISO 8601), time_local (with --csv-zone), epoch_s, epoch_ms, elapsed_s (with --start-time)"
)

UNCLEAR: Final[dict[str, tuple[str, ...]]] = {
    "speed": ("sog_kn", "stw_kn"),
    "boatspeed": ("sog_kn", "stw_kn"),
    "course": ("cog_deg", "hdg_deg_true", "hdg_deg_mag"),
    "track": ("cog_deg",),
    "bearing": ("cog_deg", "hdg_deg_true", "hdg_deg_mag"),
    "wind_speed": ("aws_kn", "tws_kn"),
    "wind_angle": ("awa_deg", "twa_deg"),
    "wind_direction": ("twd_deg", "awa_deg"),
    "heel": ("roll_deg", "heel_to_starboard_deg", "heel_to_port_deg"),
    "heel_angle": ("roll_deg", "heel_to_starboard_deg", "heel_to_port_deg"),
}
"""Names with more than one meaning, and the clear ones to choose from."""


@dataclass(frozen=True)
class ColumnPlan:
    """What the columns of one file mean.

    Parameters
    ----------
    time_index : int
        Place of the time column.
    time_kind : str
        A value of `TIMES`.
    numbers : dict
        Place of a column to its quantity and conversion.
    ignored : tuple of str
        Headers that are not known.
    """

    time_index: int
    time_kind: str
    numbers: dict[int, tuple[Quantity, Convert]]
    ignored: tuple[str, ...]


def plain(header: str) -> str:
    """Return a header in small letters with its words joined by underscores."""
    text = header.strip().strip('"').lower().replace("°", " deg ")
    text = re.sub(r"(?<=[a-z])/(?=[a-z])", " per ", text)
    return re.sub(r"[^a-z0-9]+", "_", text).strip("_")


def plan_columns(headers: list[str], renamed: dict[str, str], path: Path) -> ColumnPlan:
    """Return what each column means.

    Parameters
    ----------
    headers : list of str
        The header line.
    renamed : dict
        Header as it stands to the plain name a person says is meant.
    path : Path
        For messages.

    Raises
    ------
    InputError
        No time column, a name without its unit, a name with two meanings, or one quantity twice; all such
        mistakes are listed at once.
    """
    findings: list[Finding] = []
    times: list[tuple[int, str]] = []
    numbers: dict[int, tuple[Quantity, Convert]] = {}
    ignored: list[str] = []
    for place, header in enumerate(headers):
        name = plain(renamed.get(header.strip(), header))
        if name in TIMES:
            times.append((place, TIMES[name]))
            continue
        try:
            meaning = _meaning(name)
        except _UnclearError as error:
            findings.append(Finding(str(error), path, 1, header.strip(), name, ", ".join(error.choices)))
            continue
        if meaning is None:
            ignored.append(header.strip())
        else:
            numbers[place] = meaning
    findings += _clashes(headers, numbers, times, path)
    if findings:
        raise InputError(
            "\n".join(str(one) for one in findings),
            next_step="rename the header in the file, or say what it means with --column 'HEADER=NAME'",
        )
    return ColumnPlan(times[0][0], times[0][1], numbers, tuple(ignored))


def _clashes(
    headers: list[str], numbers: dict[int, tuple[Quantity, Convert]], times: list[tuple[int, str]], path: Path
) -> list[Finding]:
    """Return the mistakes that concern several columns: no time, two times, one quantity twice."""
    findings = []
    if len(times) != 1:
        found = ", ".join(headers[place] for place, _ in times) or "none"
        findings.append(Finding("exactly one time column is wanted", path, 1, None, found, TIME_CHOICES))
    seen: dict[str, int] = {}
    for place, (quantity, _) in numbers.items():
        if quantity.column in seen:
            both = f"{headers[seen[quantity.column]]} and {headers[place]}"
            findings.append(
                Finding(f"two columns give {quantity.names[0]}", path, 1, None, both, "one of them")
            )
        seen[quantity.column] = place
    return findings


class _UnclearError(Exception):
    """A header that could mean several things."""

    def __init__(self, message: str, choices: tuple[str, ...]) -> None:
        super().__init__(message)
        self.choices = choices


def _meaning(name: str) -> tuple[Quantity, Convert] | None:
    """Return the quantity and conversion of a plain header, None when it is not known."""
    quantity, unit = _split(name)
    if quantity is not None and unit is not None:
        if unit in quantity.units:
            return quantity, quantity.units[unit]
        if quantity.names[0] == "hdg" and unit in ("deg_mag", "rad_mag"):
            return MAGNETIC_HEADING, MAGNETIC_HEADING.units[unit.removesuffix("_mag")]
        choices = tuple(quantity.choices()) + (("hdg_deg_mag",) if quantity.names[0] == "hdg" else ())
        raise _UnclearError("its unit is missing" if not unit else "its unit is not clear", choices)
    for unclear, meanings in UNCLEAR.items():
        if name == unclear or (
            name.startswith(unclear + "_") and _unit(name[len(unclear) + 1 :]) is not None
        ):
            raise _UnclearError("the name has more than one meaning", meanings)
    return None


def _split(name: str) -> tuple[Quantity | None, str | None]:
    """Return the quantity whose name a header begins with, and its unit; None for a unit that is no unit."""
    best: tuple[int, Quantity | None, str | None] = (0, None, None)
    for quantity in QUANTITIES:
        for known in quantity.names:
            if name != known and not name.startswith(known + "_"):
                continue
            unit = _unit(name[len(known) + 1 :])
            if len(known) > best[0] and unit is not None:
                best = (len(known), quantity, unit)
    return best[1], best[2]


def _unit(text: str) -> str | None:
    """Return a unit in the words used here; None when the text is not made of units."""
    if not text:
        return ""
    if text in UNIT_WORDS and UNIT_WORDS[text] not in ("true", "mag", "signed"):
        return UNIT_WORDS[text]
    head, _, tail = text.rpartition("_")
    if not head:
        return UNIT_WORDS.get(text)
    first, last = UNIT_WORDS.get(head), UNIT_WORDS.get(tail)
    return None if first is None or last is None else f"{first}_{last}"
