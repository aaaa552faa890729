"""Times written as text: ISO 8601 with a zone, or local times of a named zone."""

from __future__ import annotations

from typing import Final

import polars as pl

from cringle.track.schema import TIME

_ZONED: Final = "%Y-%m-%dT%H:%M:%S%.f%#z"
_ZULU: Final = "%Y-%m-%dT%H:%M:%S%.fZ"
_PLAIN: Final = "%Y-%m-%dT%H:%M:%S%.f"


def parse_zoned(texts: pl.Series) -> pl.Series:
    """Return UTC times from ISO 8601 texts that carry their zone; null where they do not.

    Parameters
    ----------
    texts : Series of String
        ``2026-05-03T17:04:05.2Z``, ``2026-05-03 19:04:05+02:00``; a blank may stand for the ``T``.
    """
    tidy = _tidy(texts)
    zulu = tidy.str.to_datetime(_ZULU, time_unit="us", strict=False).dt.replace_time_zone("UTC")
    if zulu.null_count() == texts.null_count():
        return zulu
    zoned = tidy.str.to_datetime(_ZONED, time_unit="us", strict=False).dt.convert_time_zone("UTC")
    return zulu.zip_with(zulu.is_not_null(), zoned)


def parse_plain(texts: pl.Series, zone: str) -> pl.Series:
    """Return UTC times from ISO 8601 texts without a zone, taken in `zone`; texts with one keep their own.

    A local time that a clock change makes impossible or double gives null.
    """
    plain = _tidy(texts).str.to_datetime(_PLAIN, time_unit="us", strict=False)
    local = plain.dt.replace_time_zone(zone, ambiguous="null", non_existent="null").dt.convert_time_zone(
        "UTC"
    )
    zoned = parse_zoned(texts)
    return zoned.zip_with(zoned.is_not_null(), local)


def parse_count(numbers: pl.Series, per_second: float, origin_us: int) -> pl.Series:
    """Return UTC times from counts since an origin: seconds or milliseconds since 1970, or since a start."""
    most = 253_402_300_800.0
    seconds = numbers / per_second
    sane = seconds.is_finite() & (seconds.abs() < most)
    micros = pl.select(pl.when(sane).then((seconds * 1e6).round())).to_series().cast(pl.Int64, strict=False)
    return (micros + origin_us).cast(TIME)


def _tidy(texts: pl.Series) -> pl.Series:
    return texts.str.strip_chars().str.replace(r"^(\d{4}-\d{2}-\d{2})[ t]", "${1}T").str.replace(r"z$", "Z")
