"""The season on one page: goals, drills by what costs most and who can do what, sails, actions, evidence."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from cringle.boat.crew_file import CrewFile
from cringle.book.entries import Entry
from cringle.book.outing_notes import Action, Goal
from cringle.book.outings import Outing
from cringle.errors import InputError
from cringle.findings import Source
from cringle.output.sheet import Section, Sheet
from cringle.settings.answer import sail_set_asked
from cringle.settings.table import Table
from cringle.workflows.book_open import open_records
from cringle.workflows.numbers.settings import whole_table
from cringle.workflows.outings.outing import all_outings, sail_hours
from cringle.workflows.round.feel import FeelOver, feel_over_outings
from cringle.workflows.round.goals import goals_told
from cringle.workflows.round.home import CAUSES, REVEAL
from cringle.workflows.round.route import actions_by_route
from cringle.workflows.trials.records import past_noise

MATTERS_M_PER_MIN: Final = 3.0
"""The smallest difference between two settings that a crew would act on [m/min] (our own choice)."""

MOST_ROWS: Final = 8
"""Rows of one table of the page, so that it stays one page."""

DRILLS: Final = {
    "heel": "one calls the number aloud, one holds it with the mainsheet, ten minutes a tack; then change",
    "angle": "steer to the heel number with the eyes on the telltales; somebody else reads the angle",
    "trim": "set the table's settled numbers, sail five minutes, change one control, come back to the number",
    "tack": "ten tacks by the play, a stop-watch on the build gear",
    "gybe": "ten gybes by the play, the word through before anybody crosses",
    "set": "hoist ashore by the play, then five afloat",
    "drop": "drop ashore by the play, then five afloat, each one called earlier",
    "extra_distance": "call the layline aloud before each of five marks, then measure",
    "stopped": "from a stand to full speed by the build numbers, ten times",
}
"""Cause to the drill for it (common practice, no source)."""


DRILLS_TITLE: Final = "Drills, by what costs the most"
LEFT_TITLE: Final = "Still to do"
NEED_TITLE: Final = "What the evidence needs"

ADVICE_TITLES: Final = (DRILLS_TITLE, NEED_TITLE)
"""Sections that say what to do about the sailing: not while racing (RRS 41)."""


@dataclass(frozen=True)
class Cost:
    """One cause over the season: seconds lost, seconds an hour sailed, on how many outings, and its drill."""

    cause: str
    lost_s: float
    lost_s_per_h: float
    outings: int
    drill: str


@dataclass(frozen=True)
class Pairing:
    """What one wind still needs: its numbers, how many stand on a trial, and minutes of sailing in pairs."""

    wind_kn: float
    numbers: int
    from_trials: int
    minutes: float | None


@dataclass(frozen=True)
class Plan:
    """The season so far and what comes next.

    Parameters
    ----------
    boat : str
        Name of the boat.
    outings : tuple of Outing
        Oldest first.
    costs : tuple of Cost
        What cost the most, over the outings that were talked through at home.
    gaps : tuple of (str, int)
        Crew role and how many people can do it, the fewest first.
    sails_h : mapping
        Hours on each sail.
    actions : mapping
        Route to its open actions.
    pairing : tuple of Pairing
        What the evidence needs, wind by wind.
    feel : tuple of FeelOver
        Felt heel against the measured, over outings.
    goals : mapping
        Goal to what a log told of it and whether it was met; those no log could tell are left out.
    """

    boat: str
    outings: tuple[Outing, ...]
    costs: tuple[Cost, ...]
    gaps: tuple[tuple[str, int], ...]
    sails_h: dict[str, float]
    actions: dict[str, tuple[Action, ...]]
    pairing: tuple[Pairing, ...]
    feel: tuple[FeelOver, ...]
    goals: Mapping[str, tuple[str, bool]]


def season_plan(
    folder: Path,
    *,
    past_pairs: Sequence[tuple[float, float]] | None = None,
    matters_m_per_min: float = MATTERS_M_PER_MIN,
) -> Plan:
    """Return the season of a book.

    Parameters
    ----------
    folder : Path
        The book.
    past_pairs : sequence of (float, float), optional
        Noise [m/min] and forgetting time [s] of pairs; None takes those that the book's own trials met. The
        usual noise counts beside them, and alone where there are none.
    matters_m_per_min : float
        The smallest difference worth knowing.

    Raises
    ------
    InputError, BookError
        The book cannot be read.
    """
    with open_records(folder) as records:
        outings = tuple(all_outings(records))
        reveals = records.book.current(REVEAL)
        table = whole_table(records.book)
        files = records.files
        past = past_noise(records) if past_pairs is None else past_pairs
    upwind = sail_set_asked(files.class_file, None).id
    return Plan(
        boat=files.boat_file.boat.name,
        outings=outings,
        costs=tuple(season_costs(reveals)),
        gaps=tuple(skill_gaps(files.crew_file)),
        sails_h=sail_hours(folder),
        actions=actions_by_route(folder),
        pairing=tuple(_pairing(table, upwind, _minutes(past, matters_m_per_min))),
        feel=feel_over_outings(folder),
        goals=goals_told(reveals),
    )


def season_costs(reveals: Sequence[Entry]) -> list[Cost]:
    """Return what each cause cost over the reveals of a season, the most seconds an hour first."""
    told = [one.payload for one in reveals if one.payload.get("lost_s") is not None]
    hours = sum(float(one["sailed_s"]) for one in told) / 3600.0
    causes = {cause for one in told for cause, seconds in one["lost_s"].items() if seconds > 0.0}
    found = []
    for cause in causes & DRILLS.keys():
        seconds = [float(one["lost_s"][cause]) for one in told if cause in one["lost_s"]]
        per_hour = sum(seconds) / hours if hours else 0.0
        found.append(Cost(cause, sum(seconds), per_hour, len(seconds), DRILLS[cause]))
    return sorted(found, key=lambda one: (-one.lost_s, one.cause))


def skill_gaps(crew: CrewFile) -> Iterator[tuple[str, int]]:
    """Yield each role with how many people can do it, the fewest first; no names."""
    roles = dict.fromkeys(role for person in crew.people for role in person.roles)
    counted = [(role, sum(role in person.roles for person in crew.people)) for role in roles]
    yield from sorted(counted, key=lambda one: one[1])


def _minutes(past: Sequence[tuple[float, float]], matters_m_per_min: float) -> float | None:
    """Return how long a pair has to be sailed for a difference that matters; None where no day is enough."""
    from cringle.trials.power import plan_minutes, pooled_noise

    try:
        return plan_minutes(matters_m_per_min, pooled_noise(past)).minutes
    except InputError:
        return None


def _pairing(table: Table, sail_set: str, minutes: float | None) -> Iterator[Pairing]:
    for wind_kn in table.winds(sail_set, "settled"):
        cells = [
            one
            for one in table.cells
            if (one.sail_set, one.wind_kn, one.gear) == (sail_set, wind_kn, "settled")
        ]
        roles = {one.role for one in cells}
        tested = {one.role for one in cells if one.number.source is Source.TRIAL}
        yield Pairing(wind_kn, len(roles), len(tested), minutes)


def plan_sheet(found: Plan) -> Sheet:
    """Return the season as one page."""
    days = found.outings
    under = f"{len(days)} outing{'' if len(days) == 1 else 's'}" + (
        f", {days[0].id} to {days[-1].id}" if days else ""
    )
    need = _need(found)
    sections = (
        Section(DRILLS_TITLE, _no_costs(found), *_costs(found)),
        Section("Who can do what", tuple(_gaps(found))),
        Section("Feel for heel", tuple(_feel(found))),
        Section("Goals", (), ("outing", "state", "the log says", "goal"), tuple(_goals(found))),
        Section(LEFT_TITLE, tuple(_actions(found)[:MOST_ROWS])),
        Section("Sails", tuple(_sails(found))),
        Section(NEED_TITLE, need),
    )
    return Sheet(f"Season plan, {found.boat}", under, sections, ("The class rules have the last word.",))


def _no_costs(found: Plan) -> tuple[str, ...]:
    none = "No outing has been talked through yet: cringle home after the next one."
    return () if found.costs else (none,)


def _costs(found: Plan) -> tuple[tuple[str, ...], tuple[tuple[str, ...], ...]]:
    rows = tuple(
        (CAUSES[one.cause], f"{one.lost_s_per_h:.0f}", str(one.outings), one.drill)
        for one in found.costs[:MOST_ROWS]
    )
    return ("cause", "s an hour", "outings", "drill"), rows


def _gaps(found: Plan) -> Iterator[str]:
    alone = [role for role, count in found.gaps if count == 1]
    said = ", ".join(f"{role} {count}" for role, count in found.gaps)
    yield f"People who can do it: {said}."
    if alone:
        yield f"Drill a second person for: {', '.join(alone)}."


def _feel(found: Plan) -> Iterator[str]:
    for one in found.feel:
        yield (
            f"{one.who}: said {abs(one.bias_deg):.0f}° {_more(one.bias_deg)} than there was, "
            f"{one.count} calls on {one.outings} outings."
        )


def _more(bias_deg: float) -> str:
    return "more" if bias_deg > 0.0 else "less"


def _goals(found: Plan) -> Iterator[tuple[str, str, str, str]]:
    goals = [
        (day.id, goal.state, _log_says(found.goals.get(goal.id)), goal.text)
        for day in found.outings
        for goal in day.goals
    ]
    yield from goals[-MOST_ROWS:]


def _log_says(told: tuple[str, bool] | None) -> str:
    if told is None:
        return "–"
    return "met" if told[1] else "not met"


def _actions(found: Plan) -> list[str]:
    return [
        f"{route}: {one.text} ({one.id}, since {one.opened_in})"
        for route, actions in found.actions.items()
        for one in actions
    ]


def _sails(found: Plan) -> Iterator[str]:
    if found.sails_h:
        yield "; ".join(f"{sail} {hours:.0f} h" for sail, hours in found.sails_h.items()) + "."


def _need(found: Plan) -> tuple[str, ...]:
    if not found.pairing:
        return ("The table has no settled numbers yet.",)
    winds = ", ".join(
        f"{one.wind_kn:.0f} kn ({one.numbers - one.from_trials} of {one.numbers})"
        for one in found.pairing
        if one.from_trials < one.numbers
    )
    minutes = found.pairing[0].minutes
    long = (
        "more minutes than a day has"
        if minutes is None
        else f"about {minutes:.0f} minutes beside another boat for each wind and control, to see "
        f"{MATTERS_M_PER_MIN:.0f} m a minute"
    )
    return (f"Numbers that no trial stands behind: {winds or 'none'}.", f"A pair test needs {long}.")


def plan_json(found: Plan) -> dict[str, Any]:
    """Return the season as plain values."""
    return {
        "schema": 1,
        "boat": found.boat,
        "outings": [one.id for one in found.outings],
        "goals": [
            _goal_json(day.id, goal, found.goals.get(goal.id)) for day in found.outings for goal in day.goals
        ],
        "costs": [
            {
                "cause": one.cause,
                "lost_s": one.lost_s,
                "lost_s_per_h": one.lost_s_per_h,
                "outings": one.outings,
                "drill": one.drill,
            }
            for one in found.costs
        ],
        "people_by_role": dict(found.gaps),
        "sails_h": found.sails_h,
        "actions": {route: [one.text for one in actions] for route, actions in found.actions.items()},
        "pairing": [
            {
                "wind_kn": one.wind_kn,
                "numbers": one.numbers,
                "from_trials": one.from_trials,
                "pairing_min": one.minutes,
            }
            for one in found.pairing
        ],
    }


def _goal_json(outing: str, goal: Goal, told: tuple[str, bool] | None) -> dict[str, Any]:
    data, met = told or (None, None)
    return {"outing": outing, "state": goal.state, "text": goal.text, "data": data, "met": met}
