"""Which earlier table a person means: a date, an instant or the number of an entry."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from cringle.errors import InputError

_ENTRY = re.compile(r"#?(\d{1,12})")


def earlier_table(text: str, time_zone: str) -> datetime | int:
    """Return the instant or the entry number that a text means.

    Parameters
    ----------
    text : str
        ``2026-05-14`` (the end of that day where the boat lives), ``2026-05-14T18:30`` (local time unless it
        says its zone), or ``#812`` (just after that entry).
    time_zone : str
        IANA name of the boat's time zone.

    Returns
    -------
    datetime or int
        UTC instant, or entry number.

    Raises
    ------
    InputError
        It is none of these.

    Examples
    --------
    >>> earlier_table("2026-05-14", "Europe/London").isoformat(), earlier_table("#812", "UTC")
    ('2026-05-14T23:00:00+00:00', 812)
    """
    words = text.strip()
    entry = _ENTRY.fullmatch(words)
    if entry:
        return int(entry[1])
    zone = ZoneInfo(time_zone)
    try:
        if len(words) == len("2026-05-14"):
            following = date.fromisoformat(words) + timedelta(days=1)
            return datetime.combine(following, time(), zone).astimezone(UTC)
        instant = datetime.fromisoformat(words)
    except (ValueError, OverflowError) as error:
        raise InputError(
            f"{text!r} is no date",
            next_step="write 2026-05-14, or 2026-05-14T18:30, or the number of an entry such as #812",
        ) from error
    return (instant if instant.tzinfo else instant.replace(tzinfo=zone)).astimezone(UTC)


def mark_of(text: str) -> float:
    """Return a number as people write it: ``4.5``, ``4½``, ``-½``, ``4 1/2``.

    Raises
    ------
    InputError
        It is no number.

    Examples
    --------
    >>> mark_of("4½"), mark_of("-½"), mark_of("4 1/2"), mark_of("−2.5")
    (4.5, -0.5, 4.5, -2.5)
    """
    words = text.strip().replace("−", "-").replace("½", " 1/2").replace("¼", " 1/4").replace("¾", " 3/4")
    found = re.fullmatch(r"([+-]?)\s*(\d+(?:\.\d+)?|\.\d+)?(?:\s+(\d)/(\d))?\s*", words)
    if found is None or (found[2] is None and found[3] is None) or found[4] == "0":
        raise InputError(f"{text!r} is no number of marks", next_step="write it as 4, 4.5 or 4½")
    size = float(found[2] or 0.0) + (float(found[3]) / float(found[4]) if found[3] else 0.0)
    return -size if found[1] == "-" else size
