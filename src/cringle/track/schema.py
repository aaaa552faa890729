"""The tidy track: its columns, their units and signs, and the side tables that keep native rates."""

from __future__ import annotations

from typing import Final

import polars as pl

TIME: Final = pl.Datetime("us", "UTC")
"""Type of every time column."""

TRACK_COLUMNS: Final[dict[str, str]] = {
    "time": "UTC",
    "lat": "deg WGS84, north positive",
    "lon": "deg WGS84, east positive",
    "sog": "kn, speed over ground",
    "stw": "kn, speed through water",
    "aws": "kn, apparent wind speed",
    "tws": "kn, true wind speed",
    "cog": "deg true, 0 <= x < 360, course over ground",
    "hdg": "deg true, 0 <= x < 360, heading",
    "twd": "deg true, 0 <= x < 360, where the true wind comes from",
    "awa": "deg, -180 < x <= 180, apparent wind angle, starboard positive",
    "twa": "deg, -180 < x <= 180, true wind angle, starboard positive",
    "roll": "deg, starboard side down positive",
    "pitch": "deg, bow up positive",
    "rot": "deg/min, rate of turn, to starboard positive",
    "rudder": "deg, blade to starboard positive",
    "hdg_mag": "deg magnetic, 0 <= x < 360, heading as the compass gave it",
}
"""Column name to unit and sign, in the order of the table. Float64, null where not measured."""

TRACK_SCHEMA: Final[dict[str, pl.DataType]] = {
    name: TIME if name == "time" else pl.Float64() for name in TRACK_COLUMNS
}
"""Schema of a track: one row per position fix, sorted by time, no two rows at one time."""

CHANNELS: Final[dict[str, tuple[str, ...]]] = {
    "ground": ("sog", "cog"),
    "water_speed": ("stw",),
    "apparent_wind": ("awa", "aws"),
    "true_wind": ("twa", "tws"),
    "wind_direction": ("twd", "tws"),
    "heading": ("hdg", "hdg_mag"),
    "attitude": ("roll", "pitch"),
    "rate_of_turn": ("rot",),
    "rudder": ("rudder",),
}
"""Side tables: channel to the track columns it carries. Each has also ``time`` and ``source``."""

DIRECTIONS: Final = frozenset({"cog", "hdg", "hdg_mag", "twd"})
"""Columns on the circle kept in [0, 360)."""

SIGNED_ANGLES: Final = frozenset({"awa", "twa"})
"""Columns on the circle kept in (-180, 180]."""

JOIN_WINDOW_S: Final = 2.0
"""A reading joins a fix when it is not older than this [s]."""


def side_schema(channel: str) -> dict[str, pl.DataType]:
    """Return the schema of one side table: ``time``, its columns, and ``source`` (sentence or field name)."""
    numbers: dict[str, pl.DataType] = {name: pl.Float64() for name in CHANNELS[channel]}
    return {"time": TIME, **numbers, "source": pl.String()}


def empty_track() -> pl.DataFrame:
    """Return a track without rows."""
    return pl.DataFrame(schema=TRACK_SCHEMA)
