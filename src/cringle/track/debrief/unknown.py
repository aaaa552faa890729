"""What the data of a log cannot tell, in sentences, so that nobody reads more out of it than is in it."""

from __future__ import annotations

from typing import Final

import numpy as np

from cringle.track.circle import difference_deg
from cringle.track.debrief.summary import WindSummary
from cringle.track.distance import position_metres
from cringle.track.heel.spotted import HeelSpotted
from cringle.track.reading.complete import Complete
from cringle.track.reading.report import ReadReport
from cringle.track.sailing.heel import HeelSummary
from cringle.units import radians_to_degrees

STAYED_M: Final = 60.0
"""A boat that was never further than this from the middle of her fixes did not sail [m] (our own limit)."""

FASTER_KN: Final = 2.0
AGAINST_DEG: Final = 120.0
AGAINST_S: Final = 5
"""Over 2 kn the way from fix to fix and the course logged agree within some degrees; where most are more than
120 apart the clock runs backwards (our own limits)."""


def what_is_unknown(
    log: Complete, *, wind: WindSummary | None, heel: HeelSummary | HeelSpotted | None, gap_count: int
) -> tuple[str, ...]:
    """Return sentences on what is missing, most important first.

    Parameters
    ----------
    log : Complete
        With its wind.
    wind : WindSummary or None
        What is known of the wind.
    heel : HeelSummary or HeelSpotted or None
        What is known of the heel, from a record or from few readings.
    gap_count : int
        Pauses without fixes.
    """
    said = (
        _on_place(log),
        _on_clock(log),
        _on_wind(log, wind),
        _on_direction(log),
        _on_heel(log, heel),
        _on_water(log),
        _on_gaps(gap_count),
    )
    return tuple(sentence for sentence in said if sentence)


def reader_sentences(report: ReadReport) -> tuple[str, ...]:
    """Return what the reader of a log noticed and a person should know, in sentences."""
    notes = [f"{one[:1].upper()}{one[1:]}." for one in report.notes]
    shift = report.shifted_weeks
    if shift is not None:
        notes.append(
            f"The log's dates, {shift.found:%Y-%m-%d}, are most likely {shift.weeks} weeks early (it would be"
            f" {shift.guess:%Y-%m-%d}): say --shift-weeks {shift.weeks} if so."
        )
    return tuple(notes)


def stayed_within_m(log: Complete) -> float | None:
    """Return how far from their middle the fixes of a boat that never left her place lie; None if she did."""
    lat, lon, sog = log.series.lat, log.series.lon, log.series.sog
    if (
        not (np.isfinite(lat) & np.isfinite(lon)).any()
        or np.nanpercentile(np.append(sog, 0.0), 90) > FASTER_KN
    ):
        return None
    north, east = position_metres(lat, lon)
    away = np.hypot(north - np.nanmedian(north), east - np.nanmedian(east))
    furthest = float(np.nanmax(away))
    return furthest if furthest <= STAYED_M else None


def _on_place(log: Complete) -> str | None:
    if np.isfinite(log.series.lat).sum() == 1:
        return "The log holds one fix: a place, and no way sailed."
    furthest = stayed_within_m(log)
    if furthest is None:
        return None
    return f"All fixes lie within {np.ceil(furthest):.0f} m: the boat did not leave her place, nobody sailed."


def _on_clock(log: Complete) -> str | None:
    """Return that the positions go against the courses logged, if they do."""
    series = log.series
    if log.origins.motion != "log" or series.rows <= AGAINST_S:
        return None
    north, east = position_metres(series.lat, series.lon)
    ways = (one[AGAINST_S:] - one[:-AGAINST_S] for one in (east, north))
    way = radians_to_degrees(np.arctan2(*ways))
    middle = slice(AGAINST_S // 2, AGAINST_S // 2 + way.size)
    off = np.abs(difference_deg(way, series.cog[middle]))
    fast = np.isfinite(off) & (series.sog[middle] > FASTER_KN)
    if fast.sum() < AGAINST_S or np.median(off[fast]) < AGAINST_DEG:
        return None
    return (
        "The positions go against the courses in the log: its clock runs backwards, and nothing here can be"
        " trusted. Look at the recorder's clock."
    )


def _on_wind(log: Complete, wind: WindSummary | None) -> str | None:
    if wind is None and not log.series.has("awa"):
        return "The log carries no wind: tacks and gybes cannot be told apart, so turns are counted."
    if log.origins.true_wind == "apparent wind and boat speed":
        return (
            "True wind is worked out from apparent wind and boat speed, at the height of the sensor, "
            "without correction for heel and leeway."
        )
    if log.series.has("awa") and not log.series.has("twa"):
        return "The log has the angle of the apparent wind, but true wind cannot be worked out from it."
    return None


def _on_direction(log: Complete) -> str | None:
    if log.origins.wind_direction == "course over ground and wind angle":
        return (
            "There is no compass in the log: course over ground stands in for heading, "
            "so the wind's direction is off by leeway and stream."
        )
    if log.origins.bow == "magnetic heading":
        return "The compass in the log is magnetic and no variation is logged: headings are magnetic."
    if log.origins.bow is None:
        return "There is neither compass nor course in the log: turns cannot be measured."
    return None


def _on_heel(log: Complete, heel: HeelSummary | HeelSpotted | None) -> str | None:
    if isinstance(heel, HeelSpotted):
        return None
    if not log.series.has("roll"):
        return "Heel was not recorded, so nothing is said about it."
    if heel is None:
        return (
            "Heel was recorded, but without wind its leeward side is not known, so nothing is said about it."
        )
    if heel.in_band_share is None and not heel.sign_turned:
        return "No heel target is set for this log, so the share of time at the right heel is not known."
    if heel.sign_turned:
        return "The heel sensor counts the wrong way round; it was turned back here. Check how it is mounted."
    return None


def _on_water(log: Complete) -> str | None:
    if not log.series.has("stw"):
        return "Speed through the water was not recorded: speeds are over ground and hold any stream in them."
    return None


def _on_gaps(gap_count: int) -> str | None:
    if not gap_count:
        return None
    pauses = "a pause" if gap_count == 1 else f"{gap_count} pauses"
    return f"The log has {pauses} without fixes; what happened there is not known and not counted as sailed."
