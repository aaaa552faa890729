"""What the page Tonight receives: every value named, none computed in the template."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Final

from cringle.boat.crew_file import Person
from cringle.errors import CringleError
from cringle.output.card_rows import control_row
from cringle.output.person_block import PersonBlock
from cringle.settings.moves import Move
from cringle.settings.table import SEAS
from cringle.settings.tonight import Tonight
from cringle.web.asked import asked_of, fields_of
from cringle.workflows.outings.departure import Departure, departure_check
from cringle.workflows.outings.evening import Evening, differences
from cringle.workflows.serving.served import Served

MOST_DIFFERENCES: Final = 6
"""Lines of the page between races: more is not read in fifteen seconds."""


@dataclass(frozen=True)
class MovesTo:
    """What changes when the wind goes to another strength, by person."""

    to_wind_kn: float
    builds: bool
    by_person: tuple[tuple[str, tuple[Move, ...]], ...]


@dataclass(frozen=True)
class TonightView:
    """Everything on the page.

    Parameters
    ----------
    answer : Tonight
        The numbers.
    evening : Evening
        The conditions everybody shares, and whether they are racing.
    blocks : tuple of PersonBlock
        Who sets what.
    moves : tuple of MovesTo
        What changes with the wind.
    differences : tuple of Move
        From the shared conditions to these: at most six, screws first.
    more_differences : int
        How many did not fit.
    fields, errors : dict
        Values of the form, and what is wrong with them.
    query_given : bool
        Whether the page was asked for its own conditions.
    people : tuple of Person
        The crew, for the choice of who is aboard.
    aboard : tuple of str
        Names and guests chosen.
    guests : str
        Guests as typed.
    sail_sets : tuple of (str, str)
        Id and name.
    check : Departure
        The check before leaving the dock.
    """

    answer: Tonight
    evening: Evening
    blocks: tuple[PersonBlock, ...]
    moves: tuple[MovesTo, ...]
    differences: tuple[Move, ...]
    more_differences: int
    fields: dict[str, str]
    errors: dict[str, str]
    query_given: bool
    people: tuple[Person, ...]
    aboard: tuple[str, ...]
    guests: str
    sail_sets: tuple[tuple[str, str], ...]
    check: Departure
    seas: tuple[str, ...] = SEAS


def tonight_view(served: Served, query: Sequence[tuple[str, str]]) -> TonightView:
    """Return the page for what a form gave; a wrong field leaves the last good conditions standing."""
    evening = served.evening()
    request, answer = evening.request, None
    errors: dict[str, str] = {}
    if query and not evening.is_racing:
        asked, errors = asked_of(query)
        try:
            answer = served.tonight(asked) if asked is not None else None
        except CringleError as error:
            errors = {"": f"{error.message}. {error.next_step or ''}".strip()}
        request = asked if answer is not None and asked is not None else request
    if answer is None:
        answer = served.tonight(request, fixed_at=evening.fixed_at)
    files = served.files()
    chosen = request.aboard or tuple(one.name for one in files.crew_file.people)
    before = served.tonight(evening.request, fixed_at=evening.fixed_at)
    changes = differences(before, answer, files.crew_file.people)
    return TonightView(
        answer=answer,
        evening=evening,
        blocks=blocks_of(answer),
        moves=moves_by_wind(answer),
        differences=changes[:MOST_DIFFERENCES],
        more_differences=max(0, len(changes) - MOST_DIFFERENCES),
        fields=fields_of(request, dict(query) if errors else {}),
        errors=errors,
        query_given=bool(query) and not evening.is_racing,
        people=files.crew_file.people,
        aboard=chosen,
        guests=" ".join(one for one in chosen if "=" in one),
        sail_sets=tuple((one.id, one.name) for one in files.class_file.sail_sets),
        check=_check(served),
    )


def blocks_of(answer: Tonight) -> tuple[PersonBlock, ...]:
    """Return everything by person, in the order of setting; what is screwed stands in the rig row instead."""
    gears = answer.numbers.gears
    rows = {
        person: tuple(
            control_row(answer, role, gears)
            for role in answer.roles_of(person)
            if role not in answer.rig.turns
        )
        for person in answer.people
    }
    return tuple(PersonBlock(person, _duty(answer, person), found) for person, found in rows.items() if found)


def _duty(answer: Tonight, person: str) -> str:
    return ", ".join(dict.fromkeys(answer.scales[role].worked_by for role in answer.roles_of(person)))


def moves_by_wind(answer: Tonight) -> tuple[MovesTo, ...]:
    """Return the moves, the nearest wind first."""
    here = answer.wind.wind_kn
    winds = sorted({one.to_wind_kn for one in answer.moves}, key=lambda one: (abs(one - here), one))
    return tuple(
        MovesTo(wind, wind > here, _by_person(one for one in answer.moves if one.to_wind_kn == wind))
        for wind in winds
    )


def _by_person(moves: Iterable[Move]) -> tuple[tuple[str, tuple[Move, ...]], ...]:
    found: dict[str, list[Move]] = {}
    for one in moves:
        found.setdefault(one.who, []).append(one)
    return tuple((who, tuple(own)) for who, own in found.items())


def _check(served: Served) -> Departure:
    """Return the check before leaving the dock, read again when the book or the hour changes."""
    key = ("check", served.stamp(), datetime.now(UTC).replace(minute=0, second=0, microsecond=0))
    return served.kept(key, lambda: departure_check(served.folder))
