"""What the book knows of the day a log was recorded: crew, sails' hours, settings in force."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from pathlib import Path
from typing import Any

from cringle.book.outings import Outing
from cringle.workflows.outings.outing import list_outings


def joined_to_book(rows: Sequence[dict[str, Any]], book: Path) -> list[dict[str, Any]]:
    """Return the rows with ``outing``, ``crew``, ``sail_hours`` and ``settings`` of their day.

    Parameters
    ----------
    rows : sequence of dict
        One for each leg.
    book : Path
        The book's folder.

    Notes
    -----
    A log belongs to the outing that holds it, else to that of its local day. Hours are those of the
    most used sail of the day, from its first outing to the end of this one.
    """
    outings = sorted(list_outings(book), key=lambda one: one.started)
    hours = _hours_so_far(outings)
    return [{**row, **_known(_outing_of(row, outings), hours)} for row in rows]


def _known(outing: Outing | None, hours: dict[str, float | None]) -> dict[str, Any]:
    if outing is None:
        return {"outing": None, "crew": None, "sail_hours": None, "settings": None}
    crew = ", ".join(sorted(outing.crews[-1].people)) if outing.crews else None
    return {
        "outing": outing.id,
        "crew": crew,
        "sail_hours": hours[outing.id],
        "settings": {one.role: one.value for one in outing.settings} or None,
    }


def _outing_of(row: dict[str, Any], outings: Sequence[Outing]) -> Outing | None:
    holding = [one for one in outings if any(log.sha256 == row["sha256"] for log in one.logs)]
    if holding:
        return holding[0]
    at = datetime.fromisoformat(row["start"] or row["log_start"])
    return next((one for one in outings if one.day == at.astimezone(one.zone).date()), None)


def _hours_so_far(outings: Sequence[Outing]) -> dict[str, float | None]:
    """Return for each outing the hours of the most used sail that was up on it."""
    total: dict[str, float] = {}
    found: dict[str, float | None] = {}
    for one in outings:
        today = one.hours_by_sail
        for sail, hours in today.items():
            total[sail] = total.get(sail, 0.0) + hours
        found[one.id] = max((total[sail] for sail in today), default=None)
    return found
