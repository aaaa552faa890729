"""Goals of an outing held against its log: met or not where the data can tell, else for the crew to say."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

from cringle.book.entries import Entry
from cringle.book.outing_notes import Goal
from cringle.track.debrief.advice import GOOD_HEEL_SHARE
from cringle.track.debrief.race import Race
from cringle.track.heel.discipline import BAND_DEG, HeelShare

WORDS: Final = {"one": 1.0, "two": 2.0, "three": 3.0, "four": 4.0, "five": 5.0}
NUMBER: Final = r"(\d+(?:[.,]\d+)?|one|two|three|four|five)"
HEEL: Final = re.compile(rf"heel.*within {NUMBER}\s*(?:°|deg)", re.IGNORECASE)
LOSS: Final = re.compile(rf"(tack|gybe)s?\b.*(?:under|below|less than) {NUMBER}\s*m\b", re.IGNORECASE)


@dataclass(frozen=True)
class GoalSeen:
    """A goal: outing, number, words, how it stands, what the data says of it, and whether that means met."""

    outing: str
    number: int
    text: str
    state: str
    data: str
    met: bool | None


def goals_seen(goals: Sequence[Goal], race: Race | None) -> tuple[GoalSeen, ...]:
    """Return each goal with what the log says of it.

    Parameters
    ----------
    goals : sequence of Goal
        Of the outing.
    race : Race or None
        The race inside its log.
    """
    found = []
    for goal in goals:
        data, met = _told(goal.text, race)
        outing, number = goal.id.rsplit("/", 1)
        found.append(GoalSeen(outing, int(number), goal.text, goal.state, data, met))
    return tuple(found)


def goals_kept(seen: Sequence[GoalSeen]) -> dict[str, dict[str, Any]]:
    """Return what a log told of goals, by goal, as an entry keeps it; what it could not tell is left out."""
    told = [one for one in seen if one.met is not None]
    return {f"{one.outing}/{one.number}": {"data": one.data, "met": one.met} for one in told}


def goals_told(reveals: Sequence[Entry]) -> dict[str, tuple[str, bool]]:
    """Return what the logs of a season told, by goal: words, and whether it was met; the latest counts."""
    found = {}
    for one in sorted(reveals, key=lambda entry: str(entry.value)):
        for goal, told in one.payload.get("goals", {}).items():
            found[goal] = (str(told["data"]), bool(told["met"]))
    return found


def _told(text: str, race: Race | None) -> tuple[str, bool | None]:
    if race is not None and (heel := HEEL.search(text)):
        return _heel(text, _number(heel[1]), race)
    if race is not None and (loss := LOSS.search(text)):
        return _loss(loss[1].lower(), _number(loss[2]), race)
    return "the data cannot tell: say it yourself", None


def _number(text: str) -> float:
    return WORDS[text.lower()] if text.lower() in WORDS else float(text.replace(",", "."))


def _heel(text: str, band_deg: float, race: Race) -> tuple[str, bool | None]:
    share = _share(text, race)
    if share is None:
        return "heel was not measured: say it yourself", None
    if band_deg != BAND_DEG:
        return f"measured is the time within {BAND_DEG:g}°, not {band_deg:g}°: say it yourself", None
    percent = round(100.0 * share.in_band_share)
    met = share.in_band_share >= GOOD_HEEL_SHARE
    return (
        f"within {BAND_DEG:g}° of the target {percent} % of the time; "
        f"{round(100 * GOOD_HEEL_SHARE)} % counts as met",
        met,
    )


def _share(text: str, race: Race) -> HeelShare | None:
    if race.heel is None:
        return None
    words = text.lower()
    if "upwind" in words or "beat" in words:
        return race.heel.upwind
    if "run" in words or "downwind" in words:
        return race.heel.run
    return race.heel.whole


def _loss(kind: str, metres: float, race: Race) -> tuple[str, bool | None]:
    summary = next((one for one in race.kinds if one.kind == kind), None)
    if summary is None or summary.median_m is None:
        return f"no {kind} could be measured: say it yourself", None
    return f"the middle {kind} of {summary.count} lost {summary.median_m:.0f} m", summary.median_m < metres
