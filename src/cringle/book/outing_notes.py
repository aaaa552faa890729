"""What is noted on one day, each kind as a frozen record and as an entry of the history.

Every note carries the instant it is about (`at`, UTC), which may be earlier than the entry that keeps it.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any, Final, Literal

from cringle.book.entries import Base, Entry, NewEntry
from cringle.book.rows import time_of, time_text
from cringle.errors import InputError, OutOfRangeError

Sea = Literal["flat", "chop", "waves"]
SEAS: Final = ("flat", "chop", "waves")
GoalState = Literal["open", "met", "not met"]
GOAL_STATES: Final = ("open", "met", "not met")
ROUTES: Final = ("drill", "trial", "work list", "table", "other")
"""Where an action goes after the outing."""

MOST_GOALS: Final = 3
HIGHEST_WIND_KN: Final = 80.0
LOWEST_HEIGHT_M, HIGHEST_HEIGHT_M = 0.5, 40.0
LONGEST_TEXT: Final = 4000
"""Letters of one observation; longer ones are another file."""


@dataclass(frozen=True)
class WindNote:
    """The wind as somebody measured, felt or read it.

    Parameters
    ----------
    at : datetime
        When, UTC.
    wind_kn : float
        Mean speed at `height_m` [kn].
    height_m : float
        Where it was measured, above the water [m]: masthead, 2 for hand-held, 10 for a forecast.
    low_kn, high_kn, gust_kn : float or None
        Lull and top of the range, and the gusts above it [kn].
    direction_deg : float or None
        Where it blows from, true, 0 to 360 [deg].
    reference : str
        What it was read from: ``masthead``, ``hand-held``, ``forecast``, ``felt`` ...
    """

    at: datetime
    wind_kn: float
    height_m: float
    low_kn: float | None = None
    high_kn: float | None = None
    gust_kn: float | None = None
    direction_deg: float | None = None
    reference: str = "felt"

    def __post_init__(self) -> None:
        for name in ("wind_kn", "low_kn", "high_kn", "gust_kn"):
            _in_range(name, getattr(self, name), 0.0, HIGHEST_WIND_KN, "kn")
        _in_range("height_m", self.height_m, LOWEST_HEIGHT_M, HIGHEST_HEIGHT_M, "m")
        _in_range("direction_deg", self.direction_deg, 0.0, 360.0, "deg")
        order = [self.low_kn, self.wind_kn, self.high_kn, self.gust_kn]
        given = [one for one in order if one is not None]
        if given != sorted(given):
            raise InputError(
                f"wind {self.wind_kn:g} kn with low {self.low_kn}, high {self.high_kn}, gust {self.gust_kn}",
                next_step="give low <= mean <= high <= gust",
            )


@dataclass(frozen=True)
class SeaNote:
    """The sea: ``flat``, ``chop`` or ``waves``."""

    at: datetime
    sea: str

    def __post_init__(self) -> None:
        one_of("sea", self.sea, SEAS)


@dataclass(frozen=True)
class CrewNote:
    """Who is aboard from this instant: ids of the crew file, and their mass together [kg]."""

    at: datetime
    people: tuple[str, ...]
    mass_kg: float | None = None


@dataclass(frozen=True)
class SailNote:
    """A sail used: id of the boat file, and for how many hours."""

    at: datetime
    sail: str
    hours: float

    def __post_init__(self) -> None:
        _in_range("hours", self.hours, 0.0, 48.0, "h")


@dataclass(frozen=True)
class RigNote:
    """The rig as set from this instant: turns from the base tune by screw, and the row they are of [kn]."""

    at: datetime
    turns: Mapping[str, float] = field(default_factory=dict, hash=False)
    row_kn: float | None = None
    text: str = ""


@dataclass(frozen=True)
class SettingNote:
    """A setting in force from this instant: the number of a role in its unit."""

    at: datetime
    role: str
    value: float
    unit: str

    def __post_init__(self) -> None:
        _in_range(self.role, self.value, -1000.0, 1000.0, self.unit)


@dataclass(frozen=True)
class Observation:
    """What somebody saw, felt or heard; a photo is kept in the book."""

    at: datetime
    text: str
    by: str
    boat: str | None = None
    tag: str | None = None
    file: str | None = None
    sha256: str | None = None

    def __post_init__(self) -> None:
        require_text("observation", self.text)


@dataclass(frozen=True)
class Goal:
    """One of at most three goals of an outing."""

    id: str
    text: str
    state: str
    entry_id: int


@dataclass(frozen=True)
class Action:
    """Something to do that stays open until closed, over as many outings as it takes."""

    id: str
    text: str
    route: str
    state: str
    opened_in: str
    closed_in: str | None
    entry_id: int


Note = WindNote | SeaNote | CrewNote | SailNote | RigNote | SettingNote | Observation

KIND_OF: Final[dict[type[Note], str]] = {
    WindNote: "outing_wind",
    SeaNote: "outing_sea",
    CrewNote: "outing_crew",
    SailNote: "outing_sail",
    RigNote: "outing_rig",
    SettingNote: "outing_setting",
    Observation: "observation",
}


def note_entry(outing: str, note: Note) -> NewEntry:
    """Return the entry that keeps a note of an outing."""
    fields = {name: getattr(note, name) for name in note.__dataclass_fields__ if name != "at"}
    plain = {name: _plain(value) for name, value in fields.items() if value is not None}
    return NewEntry(KIND_OF[type(note)], outing, {"at": time_text(note.at), **plain})


def _plain(value: Any) -> Any:
    if isinstance(value, tuple):
        return list(value)
    return dict(value) if isinstance(value, Mapping) else value


def note_of(entry: Entry) -> Note:
    """Return the note that an entry keeps."""
    made = next(one for one, kind in KIND_OF.items() if kind == entry.key.kind)
    kept = {name: value for name, value in entry.payload.items() if name in made.__dataclass_fields__}
    if "people" in kept:
        kept["people"] = tuple(kept["people"])
    note: Note = made(**{**kept, "at": time_of(entry.payload["at"])})
    return note


def goal_entry(goal: str, text: str, state: str, base_id: int | Base | None) -> NewEntry:
    """Return the entry that states a goal; its id is ``<outing>/<number>``."""
    require_text("goal", text)
    one_of("state of a goal", state, GOAL_STATES)
    met = {"open": None, "met": True, "not met": False}[state]
    return NewEntry("goal", goal, {"text": text, "state": state, "met": met}, base_id=base_id)


def goal_of(entry: Entry) -> Goal:
    """Return the goal that an entry states."""
    return Goal(entry.key.subject, str(entry.payload["text"]), str(entry.payload["state"]), entry.id)


def action_entry(action: Action, base_id: int | Base | None) -> NewEntry:
    """Return the entry that states an action."""
    require_text("action", action.text)
    one_of("route of an action", action.route, ROUTES)
    one_of("state of an action", action.state, ("open", "closed"))
    payload = {name: getattr(action, name) for name in ("text", "route", "state", "opened_in", "closed_in")}
    return NewEntry("action", action.id, payload, base_id=base_id)


def action_of(entry: Entry) -> Action:
    """Return the action that an entry states."""
    kept = entry.payload
    return Action(
        id=entry.key.subject,
        text=str(kept["text"]),
        route=str(kept["route"]),
        state=str(kept["state"]),
        opened_in=str(kept["opened_in"]),
        closed_in=kept.get("closed_in"),
        entry_id=entry.id,
    )


def one_of(what: str, found: str, accepted: tuple[str, ...]) -> None:
    """Refuse a word that is not among the accepted ones.

    Raises
    ------
    InputError
        The message lists them.
    """
    if found not in accepted:
        raise InputError(
            f"{what} {found!r}; accepted: {', '.join(accepted)}", next_step="use one of these words"
        )


def require_text(what: str, text: str) -> None:
    """Refuse an empty or an overlong text.

    Raises
    ------
    InputError
        With the length accepted.
    """
    if not text.strip() or len(text) > LONGEST_TEXT:
        raise InputError(
            f"{what}: found {len(text)} letters, accepted 1 to {LONGEST_TEXT}",
            next_step="say it in a few words",
        )


def _in_range(name: str, value: float | None, low: float, high: float, unit: str) -> None:
    if value is not None and not (math.isfinite(value) and low <= value <= high):
        raise OutOfRangeError(name, value, low, high, unit=unit)
