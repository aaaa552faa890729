"""Two logs of one race side by side."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from cringle.errors import InputError
from cringle.output import report_pair
from cringle.track.debrief.race import Race
from cringle.track.pair.pair import Pair, pair_of
from cringle.track.reading.chunks import Progress, no_progress
from cringle.workflows.afloat.logs import DebriefWishes, debrief_log


def compare_logs(
    logs: tuple[Path, Path],
    *,
    book: Path | None = None,
    wishes: DebriefWishes | None = None,
    progress: Progress = no_progress,
) -> Pair:
    """Return two boats compared; gains are those of the first.

    Parameters
    ----------
    logs : tuple of Path
        Files, or names of logs kept in the book.
    book : Path or None
        Gives polar and plays.
    wishes : DebriefWishes, optional
        Wind, stream and what else a person says; used for both.
    progress : callable
        Called with bytes done and bytes in all.

    Raises
    ------
    LogError, InputError
        A log cannot be read, its courses do not tell the wind, or the boats never sailed side by side.
    """
    wanted = wishes or DebriefWishes()
    race = replace(wanted.race, baseline="model", against=None)
    found = [
        _race(log, debrief_log(log, book=book, wishes=replace(wanted, race=race), progress=progress).race)
        for log in logs
    ]
    names = (logs[0].stem, logs[1].stem)
    if names[0] == names[1]:
        names = (f"{names[0]} (first)", f"{names[1]} (second)")
    return pair_of(found[0], found[1], names)


def _race(log: Path, race: Race | None) -> Race:
    if race is None:
        raise InputError(
            f"{log.name}: neither instruments nor courses tell the wind",
            next_step="compare logs with at least a few tacks or gybes",
        )
    return race


def write_pair_report(found: Pair, path: Path) -> None:
    """Write the comparison as one HTML page that needs nothing else, whole or not at all."""
    report_pair.write_pair(found, path)
