"""Moves: what changes from one wind to another, in whole steps, by the person who does it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from cringle.boat.base import RuleState
from cringle.boat.crew_file import Person
from cringle.settings.roles import RoleScale, steps_between, who_works
from cringle.settings.start_numbers import StartNumbers

PREFERRED_GEAR = "settled"
"""The gear whose numbers the moves are between, where a table has it."""

NOBODY = "nobody aboard"


@dataclass(frozen=True)
class Move:
    """One change of one role.

    Parameters
    ----------
    to_wind_kn : float
        Wind it is for [kn].
    who : str
        Name of the person, or ``nobody aboard``.
    role, name, unit : str
        Which line, as in the file and as read aloud, and the unit of its numbers.
    start, end : float
        Number now and then.
    steps : int
        Whole steps, positive when the number grows.
    word : str
        Which way that goes: ease, trim, harder ...
    rule_state : RuleState
        When it may be done.
    """

    to_wind_kn: float
    who: str
    role: str
    name: str
    unit: str
    start: float
    end: float
    steps: int
    word: str
    rule_state: RuleState

    @property
    def while_racing(self) -> bool:
        """Whether the class lets it be done at any time, as far as the book knows."""
        return self.rule_state in (RuleState.ANY_TIME, RuleState.UNKNOWN)


def moves_gear(numbers: StartNumbers) -> str | None:
    """Return the gear whose numbers the moves are between."""
    if PREFERRED_GEAR in numbers.gears:
        return PREFERRED_GEAR
    return next(iter(numbers.gears), None)


def moves_between(
    now: StartNumbers,
    then: StartNumbers,
    scales: Mapping[str, RoleScale],
    *,
    aboard: Iterable[Person],
    gear: str | None = None,
    to_wind_kn: float | None = None,
) -> tuple[Move, ...]:
    """Return the changes from one set of start numbers to another, grouped by person.

    Parameters
    ----------
    now, then : StartNumbers
        Numbers of the two winds.
    scales : mapping
        Role to its scale.
    aboard : iterable of Person
        Who is aboard; the first of them who has or can do the crew role gets the job.
    gear : str, optional
        Between the numbers of this gear; ``settled`` by default.
    to_wind_kn : float, optional
        The wind to name, when the table was read at another one for the weight aboard.
    """
    people = tuple(aboard)
    which = gear or moves_gear(now)
    if which is None:
        return ()
    target = then.wind_kn if to_wind_kn is None else to_wind_kn
    found = []
    for one in (number for number in now.numbers if number.gear == which):
        other, scale = then.find(which, one.role), scales[one.role]
        steps = 0 if other is None else steps_between(one.value, other.value, scale.step)
        if other is not None and steps:
            who = who_works(scale.worked_by, people) or NOBODY
            found.append(_move(scale, one.value, other.value, who=who, to_wind_kn=target))
    order = {name: place for place, name in enumerate(dict.fromkeys(move.who for move in found))}
    return tuple(sorted(found, key=lambda move: order[move.who]))


def _move(scale: RoleScale, start: float, end: float, *, who: str, to_wind_kn: float) -> Move:
    steps = steps_between(start, end, scale.step)
    return Move(
        to_wind_kn=to_wind_kn,
        who=who,
        role=scale.role,
        name=scale.name,
        unit=scale.unit,
        start=start,
        end=end,
        steps=steps,
        word=scale.motion(steps),
        rule_state=scale.rule_state,
    )


def neighbour_winds(winds: Iterable[float], wind_kn: float) -> tuple[float, ...]:
    """Return the nearest row below and the nearest row above a wind, those that exist [kn]."""
    rows = sorted(winds)
    below = [one for one in rows if one < wind_kn]
    above = [one for one in rows if one > wind_kn]
    return (*below[-1:], *above[:1])
