"""What the pages Afloat and Home receive: the logs, one debrief, the crew's guess before it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any, Final
from zoneinfo import ZoneInfo

from cringle.book.outing_notes import ROUTES, Action, Goal
from cringle.book.outings import Outing
from cringle.errors import InputError
from cringle.web.beside import kept_work
from cringle.web.site import Site
from cringle.workflows.afloat.corrections_kept import KeptCorrection, kept_corrections
from cringle.workflows.afloat.logs import KeptLog, list_logs
from cringle.workflows.outings.outing import list_outings, show_outing
from cringle.workflows.round.home import CAUSES, GuessSeen, guess_seen
from cringle.workflows.round.route import OWNERS, actions_by_route

BASELINES: Final = {
    "model": "the speed model",
    "fitted": "the model fitted to your logs",
    "own": "your best tenth",
}
HOME_LIVE: Final = ("Goals of the day", "Settings in force", "Still to do", "Your own guess")
"""Sections of home that the page makes itself, because something can be done there."""


@dataclass(frozen=True)
class LogRow:
    """A log as listed: the log, and its times by the boat's clock."""

    log: KeptLog
    start: datetime | None
    end: datetime | None

    @property
    def zone(self) -> str:
        """Name of the boat's time zone."""
        return "UTC" if self.start is None else str(self.start.tzinfo)

    @property
    def words(self) -> str:
        """Day and times in words."""
        if self.start is None or self.end is None:
            return "no time in it"
        return f"{self.start:%-d %B %Y, %H:%M} to {self.end:%H:%M}"


@dataclass(frozen=True)
class AfloatView:
    """The page Afloat: boat, logs newest first, outings that have no log."""

    boat: str
    logs: tuple[LogRow, ...]
    without_log: tuple[Outing, ...]
    racing: bool


def afloat_view(site: Site) -> AfloatView:
    """Return the page Afloat."""
    folder, boat = site.settings.folder, site.served.files().boat_file.boat
    zone = ZoneInfo(boat.time_zone)
    logs = tuple(log_row(one, zone) for one in reversed(list_logs(folder)))
    have = {one.log.outing for one in logs}
    bare = [one for one in reversed(list_outings(folder)) if one.id not in have]
    return AfloatView(boat.name, logs, tuple(bare[:5]), site.served.evening().is_racing)


def log_row(log: KeptLog, zone: ZoneInfo) -> LogRow:
    """Return a log with its times by the boat's clock."""
    times = [None if one is None else one.astimezone(zone) for one in (log.start, log.end)]
    return LogRow(log, *times)


def log_named(site: Site, key: str) -> LogRow:
    """Return the kept log of that hash.

    Raises
    ------
    InputError
        There is none.
    """
    zone = ZoneInfo(site.served.files().boat_file.boat.time_zone)
    found = next((one for one in list_logs(site.settings.folder) if one.sha256 == key), None)
    if found is None:
        raise InputError("there is no such log in the book", next_step="choose one on Afloat")
    return log_row(found, zone)


@dataclass(frozen=True)
class LogView:
    """The page of one log.

    Parameters
    ----------
    row : LogRow
        The log.
    guess : GuessSeen or None
        How the crew's guess stands; None for a log without an outing.
    found : dict or None
        What the debrief says, None while it is not worked out.
    baseline : str
        Against what time is lost.
    corrections : tuple of KeptCorrection
        What people corrected in it.
    racing : bool
        Whether nothing is shown.
    """

    row: LogRow
    guess: GuessSeen | None
    found: dict[str, Any] | None
    baseline: str
    corrections: tuple[KeptCorrection, ...]
    racing: bool
    causes: Mapping[str, str]
    baselines: Mapping[str, str]

    @property
    def is_gated(self) -> bool:
        """Whether the crew shall guess first."""
        return self.guess is not None and self.guess.guess is None and not self.guess.revealed

    @property
    def manoeuvres(self) -> list[dict[str, Any]]:
        """What can be corrected: tacks and gybes with their number and clock time."""
        found = [] if self.found is None else self.found["debrief"].get("manoeuvres") or []
        zone = None if self.row.start is None else self.row.start.tzinfo
        return [
            {
                "number": number,
                "kind": one["kind"],
                "clock": datetime.fromisoformat(one["time"]).astimezone(zone).strftime("%H:%M:%S"),
            }
            for number, one in enumerate(found, start=1)
        ]


def log_view(site: Site, key: str, baseline: str) -> LogView:
    """Return the page of one log."""
    row, folder = log_named(site, key), site.settings.folder
    guess = None if row.log.outing is None else guess_seen(folder, row.log.outing)
    work = kept_work(site, "debrief", debrief_asked(row.log, baseline))
    return LogView(
        row,
        guess,
        None if work is None else work.result,
        baseline,
        tuple(kept_corrections(folder, key)),
        site.served.evening().is_racing,
        CAUSES,
        BASELINES,
    )


def debrief_asked(log: KeptLog, baseline: str) -> dict[str, Any]:
    """Return what the debrief of a log is asked for with."""
    return {"log": log.sha256, "outing": log.outing or "", "baseline": baseline}


@dataclass(frozen=True)
class HomeView:
    """The page Home: the day, the guess, what was found, and what can be done with it."""

    outing: Outing | None
    outings: tuple[Outing, ...]
    guess: GuessSeen | None
    found: dict[str, Any] | None
    baseline: str
    racing: bool
    actions: Mapping[str, tuple[Action, ...]]
    causes: Mapping[str, str]
    routes: tuple[str, ...] = ROUTES
    owners: tuple[str, ...] = OWNERS

    @property
    def is_gated(self) -> bool:
        """Whether the crew shall guess first."""
        return self.guess is not None and self.guess.guess is None and not self.guess.revealed

    @property
    def sections(self) -> list[dict[str, Any]]:
        """What the log says, without the parts that the page makes itself."""
        found = [] if self.found is None else self.found["sheet"]["sections"]
        return [one for one in found if one["title"] not in HOME_LIVE]

    @property
    def goals(self) -> list[tuple[int, Goal, str]]:
        """Goals of the day with their number and what the data says."""
        seen = [] if self.found is None else self.found["home"]["goals"]
        told = {one["number"]: one["data"] for one in reversed(seen)}
        goals = () if self.outing is None else self.outing.goals
        numbered = [(int(one.id.rsplit("/", 1)[1]), one) for one in goals]
        return [(number, one, told.get(number, "")) for number, one in numbered]


def home_view(site: Site, outing: str | None, baseline: str) -> HomeView:
    """Return the page Home of an outing; None is the one that goes on, else the newest."""
    folder = site.settings.folder
    outings = tuple(reversed(list_outings(folder)))
    day = show_outing(folder, outing) if outings else None
    work = None
    if day is not None:
        work = kept_work(site, "home", home_asked(day.id, baseline))
    return HomeView(
        day,
        outings,
        None if day is None else guess_seen(folder, day.id),
        None if work is None else work.result,
        baseline,
        site.served.evening().is_racing,
        actions_by_route(folder),
        CAUSES,
    )


def home_asked(outing: str, baseline: str) -> dict[str, Any]:
    """Return what home is asked for with; the page has seen to the guess."""
    return {"outing": outing, "baseline": baseline, "no_guess": True}


def pair_names(folder: Path, first: str, second: str) -> tuple[str, str]:
    """Return the names of two kept logs.

    Raises
    ------
    InputError
        One is not in the book, or they are the same.
    """
    names = {one.sha256: one.name for one in list_logs(folder)}
    if first == second or not {first, second} <= names.keys():
        raise InputError("two different logs of the book are needed", next_step="choose both on Afloat")
    return names[first], names[second]
