"""A person's corrections in a debrief: what was followed, what fits nothing any more, and both in words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final
from zoneinfo import ZoneInfo

from cringle.track.race.correct import Missed, followed_manoeuvres
from cringle.track.race.correction import Correction
from cringle.track.reading.complete import Complete
from cringle.track.turns.tacks import Found

NO_WIND: Final = "the wind of this log is not known, so there is no race in it"
"""Why a correction fits nothing where there is neither tack nor leg."""


def corrected_found(
    found: Found | None, corrections: Sequence[Correction], log: Complete
) -> tuple[Found | None, tuple[Missed, ...]]:
    """Return tacks and gybes as a person corrected them, and the corrections that fit none of them.

    Parameters
    ----------
    found : Found or None
        None where the log has no wind: then no correction fits.
    corrections : sequence of Correction
        Those of the race are passed over.
    log : Complete
        The log with its wind.
    """
    turns = [one for one in corrections if one.is_turn]
    if found is None:
        return None, tuple(Missed(one, NO_WIND) for one in turns)
    manoeuvres, missed = followed_manoeuvres(found.manoeuvres, turns, log)
    return replace(found, manoeuvres=manoeuvres), missed


def missed_without_race(corrections: Sequence[Correction]) -> tuple[Missed, ...]:
    """Return the corrections of a race where none was made out."""
    return tuple(Missed(one, NO_WIND) for one in corrections if not one.is_turn)


def correction_words(one: Correction, time_zone: str) -> str:
    """Return a correction as a person would say it: ``start moved from 18:05:00 to 18:06:10``.

    Parameters
    ----------
    one : Correction
        Its times are UTC.
    time_zone : str
        IANA name of the zone they are said in.
    """
    zone = ZoneInfo(time_zone)
    at = one.at.astimezone(zone).strftime("%H:%M:%S")
    to = None if one.to is None else one.to.astimezone(zone).strftime("%H:%M:%S")
    if one.action == "move":
        return f"{one.what} moved from {at} to {to}"
    if one.what == "recall":
        if one.action == "remove":
            return f"start at {at} was not recalled"
        return f"start at {at} was recalled" + ("" if to is None else f", the one that counted was at {to}")
    if one.action == "rename":
        return f"rounding at {at} was the {one.kind} mark"
    if one.action == "remove":
        return f"no {one.what} at {at}"
    named = {"rounding": f"{one.kind} mark rounded", "leg": f"{one.kind} leg"}.get(one.what, one.what)
    return f"{named} added {f'at {at}' if to is None else f'from {at} to {to}'}"


def missed_sentences(missed: Sequence[Missed], time_zone: str) -> tuple[str, ...]:
    """Return what a person corrected that cannot be followed, in sentences."""
    return tuple(
        "A correction fits nothing in this log any more and was left out:"
        f" {correction_words(one.correction, time_zone)}."
        for one in missed
    )
