"""What a debrief is told besides the log, by a person or the book: heel to keep, zone, the boat's name."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Final
from zoneinfo import ZoneInfo

from cringle.boat.read import read_book_files
from cringle.errors import CringleError, InputError
from cringle.settings.records import TonightRequest
from cringle.track.debrief.debrief import DebriefOptions
from cringle.track.sailing.heel import POINTS_OF_SAIL, HeelBand
from cringle.workflows.numbers.tonight import tonight

HEEL_TOLERANCE_DEG: Final = 2.0
"""Heel within this of the target counts as in the band [deg]."""


def debrief_options(
    book: Path | None, targets_deg: Mapping[str, float], *, time_zone: str | None, boat: str | None
) -> DebriefOptions:
    """Return what a debrief is told besides the log.

    Parameters
    ----------
    book : Path or None
        Gives heel targets, zone and name where a person gives none.
    targets_deg : mapping
        Point of sail to the heel to keep; goes before the book's.
    time_zone, boat : str or None
        Zone times are shown in, and the boat's name.

    Raises
    ------
    InputError
        There is no such point of sail, or no such zone.
    BookFileError
        The book's files cannot be read.
    """
    given = {_point(point): _band(target, "given") for point, target in targets_deg.items()}
    if book is None:
        return DebriefOptions(lambda _: given, _zone(time_zone or "UTC"), boat)
    own = read_book_files(book).boat_file.boat
    return DebriefOptions(_bands_of(book, given), _zone(time_zone or own.time_zone), boat or own.name)


def _point(name: str) -> str:
    if name not in POINTS_OF_SAIL:
        raise InputError(
            f"no point of sail {name!r}; accepted: {', '.join(POINTS_OF_SAIL)}", next_step="use one of these"
        )
    return name


def _zone(name: str) -> str:
    try:
        ZoneInfo(name)
    except (KeyError, ValueError, OSError) as error:
        raise InputError(
            f"no time zone {name!r}", next_step="use an IANA name such as Europe/London or UTC"
        ) from error
    return name


def _band(target_deg: float, source: str) -> HeelBand:
    return HeelBand(target_deg - HEEL_TOLERANCE_DEG, target_deg + HEEL_TOLERANCE_DEG, source)


def _bands_of(book: Path, given: Mapping[str, HeelBand]) -> Callable[[float | None], Mapping[str, HeelBand]]:
    """Return how the book's heel targets for a wind become bands; what was given goes before them."""

    def bands(wind_kn: float | None) -> Mapping[str, HeelBand]:
        if wind_kn is None:
            return given
        try:
            numbers = tonight(book, TonightRequest(wind_kn=round(wind_kn, 1)))
        except CringleError:
            return given
        targets = {"upwind": numbers.heel_up, "downwind": numbers.heel_down}
        found = {
            point: _band(target.value, str(target.source))
            for point, target in targets.items()
            if target is not None
        }
        return {**found, **given}

    return bands
