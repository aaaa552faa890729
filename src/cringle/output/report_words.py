"""A debrief in sentences: what a coach would say first, in the words the screen and the page share."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

from cringle.track.debrief.correct import correction_words
from cringle.track.debrief.debrief import Debrief
from cringle.track.sailing.heel import POINTS_OF_SAIL, HeelPart
from cringle.track.turns.tacks import REFUSALS

DASH = "–"
MINUS = "−"
UNKNOWN = DASH
SKIPPED_WORDS = {
    "not_framed": "no whole sentence",
    "bad_checksum": "wrong checksum",
    "no_checksum": "no checksum",
    "bad_field": "a field that is no number",
    "void_fix": "marked void by the instrument",
    "unknown": "of a kind not used here",
    "proprietary": "a maker's own sentence",
    "ais": "other ships (AIS)",
    "other_text": "comment or other text",
}
"""Reason of a skipped line to words."""


def number(value: float | None, digits: int = 1) -> str:
    """Return a number with a proper minus sign, no minus before nothing; a dash when it is not known."""
    return UNKNOWN if value is None else f"{value:z.{digits}f}".replace("-", MINUS)


def thousands(count: int) -> str:
    """Return a count with its thousands set apart by a narrow space."""
    return f"{count:,}".replace(",", "\N{NARROW NO-BREAK SPACE}")


def bearing(value: float | None) -> str:
    """Return a direction as three figures with the degree sign."""
    return UNKNOWN if value is None else f"{round(value) % 360:03d}°"


def headings(bow: str | None) -> str:
    """Return what the directions of the bow are, in a sentence."""
    known = {
        "heading": "Headings are true.",
        "magnetic heading": "Headings are magnetic.",
        "course over ground": "Headings are courses over ground.",
    }
    return known.get(bow or "", "Headings are not known.")


def wind_angle(value: float) -> str:
    """Return a wind angle with its side in words: ``42° starboard``."""
    return f"{abs(round(value))}° {'starboard' if value >= 0.0 else 'port'}"


def clock(at: datetime, time_zone: str, *, seconds: bool = True) -> str:
    """Return the time of day in a zone."""
    return at.astimezone(ZoneInfo(time_zone)).strftime("%H:%M:%S" if seconds else "%H:%M")


def day(at: datetime, time_zone: str) -> str:
    """Return the date in a zone, the month in words."""
    local = at.astimezone(ZoneInfo(time_zone))
    return f"{local.day} {local:%B %Y}"


def duration(seconds: float) -> str:
    """Return a length of time: ``37 min``, ``4 h 07 min``, ``40 s``."""
    if seconds < 90.0:
        return f"{round(seconds)} s"
    hours, minutes = divmod(round(seconds / 60.0), 60)
    return f"{hours} h {minutes:02d} min" if hours else f"{minutes} min"


def counted(count: int, word: str) -> str:
    """Return a count with its word: ``1 tack``, ``no gybes``, ``6 turns``."""
    more = "es" if word.endswith("ch") else "s"
    return f"{count or 'no'} {word}{'' if count == 1 else more}"


def what_happened(found: Debrief) -> list[str]:
    """Return what the log says, in short sentences, most important first."""
    said = [
        _outing(found),
        _wind(found),
        _manoeuvres(found),
        _typical(found, "tack"),
        _typical(found, "gybe"),
        *_heel(found),
        _refused(found),
        _corrected(found),
    ]
    return [sentence for sentence in said if sentence]


def _outing(found: Debrief) -> str:
    start, end = (clock(at, found.time_zone, seconds=False) for at in (found.start, found.end))
    speed = found.speed.sog or found.speed.stw
    under_way = f", at {number(speed.mean_kn)} kn on average under way" if speed else ""
    return (
        f"From {start} to {end} ({duration(found.duration_s)}) you covered "
        f"{number(found.distance_nm)} nautical miles over ground{under_way}."
    )


def _wind(found: Debrief) -> str | None:
    wind = found.wind
    if wind is None or wind.tws_mean_kn is None:
        return None
    swing = (
        f", its direction swinging by {number(wind.twd_sd_deg, 0)}° (standard deviation)"
        if wind.twd_sd_deg
        else ""
    )
    origin = f" from {bearing(wind.twd_mean_deg)}" if wind.twd_mean_deg is not None else ""
    return (
        f"The true wind was {number(wind.tws_mean_kn)} kn{origin}, mostly between "
        f"{number(wind.tws_p10_kn)} and {number(wind.tws_p90_kn)} kn{swing}."
    )


def _manoeuvres(found: Debrief) -> str:
    if found.tacks is None or found.gybes is None:
        return f"You made {counted(len(found.turns), 'turn')} of 60° or more."
    return f"You made {counted(found.tacks, 'tack')} and {counted(found.gybes, 'gybe')}."


def _typical(found: Debrief, kind: str) -> str | None:
    middle = found.typical(kind)
    if middle.before_kn is None or middle.lowest_kn is None or middle.lowest_kn >= middle.before_kn:
        return None
    return (
        f"In the middle one of your {kind}s, speed went from {number(middle.before_kn)} kn "
        f"to {number(middle.lowest_kn)} kn at its lowest."
    )


def _heel(found: Debrief) -> list[str]:
    if found.heel is None:
        return []
    parts = ((name, found.heel.by_point_of_sail.get(name)) for name in POINTS_OF_SAIL)
    return [heel_sentence(name, part) for name, part in parts if part is not None]


def heel_sentence(name: str, part: HeelPart) -> str:
    """Return the heel on one point of sail in a sentence."""
    said = (
        f"{name.capitalize()} you heeled {number(part.mean_deg)}° on average, "
        f"standard deviation {number(part.sd_deg)}°"
    )
    if part.band is None or part.in_band_share is None:
        return f"{said}."
    low, high = number(part.band.low_deg, 0), number(part.band.high_deg, 0)
    return f"{said}; {number(100 * part.in_band_share, 0)} % of the time was between {low}° and {high}°."


def _refused(found: Debrief) -> str | None:
    if not found.refused:
        return None
    reasons = "; ".join(f"{REFUSALS[reason]} ({count})" for reason, count in found.refused.items())
    total = sum(found.refused.values())
    return f"The wind changed side {counted(total, 'more time')} without a tack or gybe: {reasons}."


def _corrected(found: Debrief) -> str | None:
    """Return what a person corrected, so that nobody takes it for found."""
    if not found.corrections:
        return None
    said = "; ".join(correction_words(one, found.time_zone) for one in found.corrections)
    return f"Corrected by hand, and followed here: {said}."


def lines_read(found: Debrief) -> str:
    """Return how many lines were read and skipped, and why, in a sentence."""
    skipped = found.log.lines_skipped
    head = f"{thousands(found.log.lines_read)} lines read, {thousands(found.log.rows)} fixes kept"
    if not skipped:
        return f"{head}; none skipped."
    reasons = "; ".join(f"{thousands(count)} {SKIPPED_WORDS[one]}" for one, count in skipped.items())
    return f"{head}. Skipped: {reasons}."
