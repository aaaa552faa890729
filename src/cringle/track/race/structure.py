"""What a race was made of: legs, roundings, start, finish, stops; each with how sure the detection is."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

UP, RUN, REACH = "up", "run", "reach"
WINDWARD, OFFSET, LEEWARD = "windward", "offset", "leeward"


@dataclass(frozen=True)
class Leg:
    """One leg of a race.

    Parameters
    ----------
    kind : str
        ``up``, ``run`` or ``reach``.
    first, end : int
        First row on the even clock, and the one after the last.
    start_at, end_at : datetime
        The same as UTC.
    race : int
        Number of the race in the log, from 1.
    mark : str
        What it leads to: ``windward``, ``offset``, ``leeward`` or ``finish``.
    made_good_m : float
        Metres along the wind from its first row to its last, positive on every kind.
    confidence : float
        0 to 1.
    """

    kind: str
    first: int
    end: int
    start_at: datetime
    end_at: datetime
    race: int
    mark: str
    made_good_m: float
    confidence: float

    @property
    def seconds(self) -> int:
        """Duration."""
        return self.end - self.first


@dataclass(frozen=True)
class Rounding:
    """One rounding: the mark, row and time (UTC), where the boat was [deg], and how sure it is (0 to 1).

    The place is NaN where the receiver was silent.
    """

    mark: str
    row: int
    at: datetime
    lat_deg: float
    lon_deg: float
    race: int
    confidence: float


@dataclass(frozen=True)
class Event:
    """A start, a finish, or a start that was recalled: row, time (UTC), race, how sure (0 to 1)."""

    row: int
    at: datetime
    race: int
    confidence: float


@dataclass(frozen=True)
class Stretch:
    """Rows `first` to `end` (not included) in which nothing was raced, and why.

    `why` is ``still`` (no way on), ``slow`` (waiting, drifting), ``towed`` (closer to the wind than boats
    sail) or ``outside`` (sailing, but on no leg).
    """

    first: int
    end: int
    why: str


@dataclass(frozen=True)
class Mark:
    """A mark of the course, found from the roundings or given: name, position [deg], spread of it [m]."""

    name: str
    lat_deg: float
    lon_deg: float
    spread_m: float
    given: bool


@dataclass(frozen=True)
class Structure:
    """What the races in a log were made of, in order of time.

    Parameters
    ----------
    legs : tuple of Leg
        All races'.
    roundings : tuple of Rounding
        Between legs.
    starts, finishes : tuple of Event
        One for each race; a race without a finish was given up, abandoned, or cut off by the log's end.
    recalls : tuple of Event
        Starts that led back to the line.
    abandoned : tuple of int
        Numbers of races that end in the middle of a leg.
    stops : tuple of Stretch
        Slow or still for ten seconds or more in the middle of a race.
    excluded : tuple of Stretch
        Everything outside the races.
    marks : tuple of Mark
        Of the course.
    confidence : float
        Mean over the legs by their time, 0 to 1; 0 without a leg.
    """

    legs: tuple[Leg, ...]
    roundings: tuple[Rounding, ...]
    starts: tuple[Event, ...]
    finishes: tuple[Event, ...]
    recalls: tuple[Event, ...]
    abandoned: tuple[int, ...]
    stops: tuple[Stretch, ...]
    excluded: tuple[Stretch, ...]
    marks: tuple[Mark, ...]
    confidence: float

    @property
    def start(self) -> Event | None:
        """The first start."""
        return self.starts[0] if self.starts else None

    @property
    def finish(self) -> Event | None:
        """The last finish."""
        return self.finishes[-1] if self.finishes else None

    def leg_at(self, row: int) -> Leg | None:
        """Return the leg a row belongs to, or None."""
        return next((one for one in self.legs if one.first <= row < one.end), None)

    def to_json(self) -> dict[str, Any]:
        """Return it as plain values; every key carries its unit."""
        return {
            "legs": [_leg_json(one) for one in self.legs],
            "roundings": [
                {
                    "mark": one.mark,
                    "time": one.at.isoformat(),
                    "lat_deg": one.lat_deg,
                    "lon_deg": one.lon_deg,
                    "race": one.race,
                    "confidence": one.confidence,
                }
                for one in self.roundings
            ],
            "starts": [_event_json(one) for one in self.starts],
            "finishes": [_event_json(one) for one in self.finishes],
            "recalls": [_event_json(one) for one in self.recalls],
            "abandoned_races": list(self.abandoned),
            "stops": [{"duration_s": one.end - one.first, "why": one.why} for one in self.stops],
            "marks": [
                {
                    "name": one.name,
                    "lat_deg": one.lat_deg,
                    "lon_deg": one.lon_deg,
                    "spread_m": one.spread_m,
                    "given": one.given,
                }
                for one in self.marks
            ],
            "confidence": self.confidence,
        }


def _leg_json(one: Leg) -> dict[str, Any]:
    return {
        "kind": one.kind,
        "race": one.race,
        "start": one.start_at.isoformat(),
        "end": one.end_at.isoformat(),
        "duration_s": one.seconds,
        "mark": one.mark,
        "made_good_m": one.made_good_m,
        "confidence": one.confidence,
    }


def _event_json(one: Event) -> dict[str, Any]:
    return {"time": one.at.isoformat(), "race": one.race, "confidence": one.confidence}
