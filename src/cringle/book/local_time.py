"""Times as people say them on a boat, turned into UTC, and back."""

from __future__ import annotations

from datetime import UTC, date, datetime, time
from zoneinfo import ZoneInfo

from cringle.errors import InputError

FIRST_YEAR, LAST_YEAR = 1970, 2200
NEXT_STEP = "give HH:MM (the boat's own time), or a date and time such as 2026-05-01T18:20"


def instant_of(text: str, day: date, zone: ZoneInfo) -> datetime:
    """Return the instant that a person means, UTC.

    Parameters
    ----------
    text : str
        ``18:20`` or ``18:20:05`` on `day`; or a whole date and time, with or without an offset.
    day : date
        The local date that a bare time belongs to.
    zone : ZoneInfo
        The boat's time zone. Of an hour that comes twice in autumn the first one is meant.

    Raises
    ------
    InputError
        It is no time, or one that the clocks leave out in spring.
    """
    try:
        local = datetime.fromisoformat(text) if len(text) > len("HH:MM:SS") else _on(day, text)
    except ValueError as error:
        raise InputError(f"{text!r} is no time", next_step=NEXT_STEP) from error
    if not FIRST_YEAR <= local.year <= LAST_YEAR:
        raise InputError(f"{text}: accepted are the years {FIRST_YEAR} to {LAST_YEAR}", next_step=NEXT_STEP)
    if local.tzinfo is not None:
        return local.astimezone(UTC)
    instant = local.replace(tzinfo=zone).astimezone(UTC)
    if instant.astimezone(zone).replace(tzinfo=None) != local:
        raise InputError(f"{text}: the clocks leave this time out on {local.date()}", next_step=NEXT_STEP)
    return instant


def _on(day: date, text: str) -> datetime:
    found = time.fromisoformat(text)
    if ":" not in text or found.tzinfo is not None:
        raise ValueError(text)
    return datetime.combine(day, found)


def clock_text(at: datetime, zone: ZoneInfo) -> str:
    """Return an instant as the boat's clock shows it: ``18:20``."""
    return at.astimezone(zone).strftime("%H:%M")


def day_and_clock_text(at: datetime, zone: ZoneInfo) -> str:
    """Return an instant as the boat's calendar and clock show it: ``2026-05-01 18:20``."""
    return at.astimezone(zone).strftime("%Y-%m-%d %H:%M")
