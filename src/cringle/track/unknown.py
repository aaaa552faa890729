"""What the data of a log cannot tell, in sentences, so that nobody reads more out of it than is in it."""

from __future__ import annotations

from cringle.track.complete import Complete
from cringle.track.heel import HeelSummary
from cringle.track.summary import WindSummary


def what_is_unknown(
    log: Complete, *, wind: WindSummary | None, heel: HeelSummary | None, gap_count: int
) -> tuple[str, ...]:
    """Return sentences on what is missing, most important first."""
    said = (
        _on_wind(log, wind),
        _on_direction(log),
        _on_heel(log, heel),
        _on_water(log),
        _on_gaps(gap_count),
    )
    return tuple(sentence for sentence in said if sentence)


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


def _on_heel(log: Complete, heel: HeelSummary | None) -> str | None:
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
