"""Heel, people, places and the order of depowering, for the boat in a book."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from cringle.speed.assign import Assignment, Prices, Wanted, assign
from cringle.speed.crew import STEP_M, Worth, changes, crew_worth
from cringle.speed.crew_load import body_place
from cringle.speed.depower_order import Step, depower_order, legs_in_share
from cringle.speed.depower_puff import Puff, puff
from cringle.speed.heel import HeelCost, heel_cost
from cringle.speed.targets import Targets, targets
from cringle.workflows.speed.open import SpeedAsked, SpeedBook, open_speed
from cringle.workflows.speed.speed import winds_asked

Array = NDArray[np.float64]
Tell = Callable[[str], None]

WINDS_KN = (5.0, 8.0, 10.0, 12.0, 14.0, 16.0, 20.0)
"""Winds told when none are asked for."""

PUFF_WINDS_KN = (8.0, 10.0, 12.0, 14.0, 16.0, 18.0)
"""Mean winds in which a puff is looked at."""

FULL_HIKE = 0.99
"""From this share of full hike on the boat wants all the righting moment there is."""

MORE_THAN_ANYBODY_M = 3.0
"""Asking for so much to windward a kilogram asks for all there is."""

LEAST_SIDE_PRICE, LEAST_TRIM_PRICE = 0.05, 0.01
"""Seconds a mile for a kilogram metre at least, so that places stay near the wanted ones."""


@dataclass(frozen=True)
class CrewAnswer:
    """What `cringle speed crew` tells.

    Parameters
    ----------
    book : SpeedBook
        The boat.
    wind_kn : array
        Winds.
    costs : tuple of HeelCost
        Upwind and for every technique: heel target and the price of missing it.
    worth : tuple of Worth
        What changes of the people are worth.
    places : tuple of Assignment
        Best places upwind, one for each wind.
    """

    book: SpeedBook
    wind_kn: Array
    costs: tuple[HeelCost, ...]
    worth: tuple[Worth, ...]
    places: tuple[Assignment, ...]


@dataclass(frozen=True)
class DepowerAnswer:
    """The order of depowering and what to do in a puff."""

    book: SpeedBook
    steps: tuple[Step, ...]
    puffs: tuple[Puff, ...]


def silent(_words: str) -> None:
    """Tell nobody."""


def speed_crew(
    folder: Path,
    winds_kn: Sequence[float] = (),
    *,
    asked: SpeedAsked | None = None,
    skills: Mapping[str, Sequence[str]] | None = None,
    tell: Tell = silent,
) -> CrewAnswer:
    """Return heel targets with the price of missing them, what people are worth, and the best places.

    Parameters
    ----------
    folder : Path
        The book.
    winds_kn : sequence of float
        True winds at 10 m.
    asked : SpeedAsked, optional
        Sea and people.
    skills : mapping, optional
        Role to the skills whoever does it must have.
    tell : callable
        Told each part before it starts.

    Raises
    ------
    InputError, RuleError
        A wind, sea or person that is none; a crew the class does not allow.
    """
    winds, book = winds_asked(winds_kn or WINDS_KN), open_speed(folder, asked)
    model = book.model
    cases = (model.upwind, *model.run)
    known = {one.name: targets(model, winds, case=one) for one in cases}
    costs = []
    for one in cases:
        tell(f"price of heel: {one.name}")
        costs.append(heel_cost(model, known[one.name], book.boats))
    tell("what people are worth")
    wanted = changes(book.files.class_file, book.crew, model.crew)
    worth = crew_worth(model, book.boats, winds, wanted=wanted)
    tell("best places")
    seats = places_for(book, known["up"], worth, skills=skills or {})
    return CrewAnswer(book, winds, tuple(costs), worth, seats)


def places_for(
    book: SpeedBook, up: Targets, worth: Sequence[Worth], *, skills: Mapping[str, Sequence[str]]
) -> tuple[Assignment, ...]:
    """Return the best places upwind in every wind of the targets.

    Parameters
    ----------
    book : SpeedBook
        The boat.
    up : Targets
        Upwind.
    worth : sequence of Worth
        Prices of side and trim; the least ones where they are not among it.
    skills : mapping
        Role to needed skills.
    """
    class_file, people, load = book.files.class_file, book.crew.people, book.model.crew
    seats = [body_place(class_file, one, station=one.station, posture=one.posture) for one in people]
    usual_m = sum(one.mass_kg * one.forward_m for one in seats)
    found = []
    for place in range(up.wind_kn.size):
        share = float(np.nan_to_num(up.cells.crew_place[place], nan=1.0))
        side = MORE_THAN_ANYBODY_M if share > FULL_HIKE else share * load.hike_m
        shift = load.mass_kg * STEP_M * better_trim(worth, place)
        wanted = Wanted(side * load.mass_kg, usual_m + shift, skills)
        found.append(
            assign(
                class_file,
                people,
                wanted,
                prices=replace(prices_of(book, worth, place), hike=hike_price(share)),
            )
        )
    return tuple(found)


def prices_of(book: SpeedBook, worth: Sequence[Worth], place: int) -> Prices:
    """Return the prices of an assignment in one wind from what changes are worth upwind."""
    found = {one.change.key: one for one in worth if one.point == "up"}
    load = book.model.crew
    side, trim = LEAST_SIDE_PRICE, LEAST_TRIM_PRICE
    if "one_posture" in found:
        lost = load.mass_kg * (load.hike_m - found["one_posture"].change.load.hike_m)
        side = max(side, float(np.nan_to_num(found["one_posture"].s_per_mile[place])) / lost)
    if "aft" in found:
        trim = max(trim, float(np.nan_to_num(found["aft"].s_per_mile[place])) / (STEP_M * load.mass_kg))
    return Prices(side=side, trim=trim)


def hike_price(share: float) -> float:
    """Return the price of hiking: none where the boat wants everybody out, else the usual one."""
    return 0.0 if share > FULL_HIKE else Prices().hike


def better_trim(worth: Sequence[Worth], place: int) -> int:
    """Return 1 where sitting farther forward upwind is clearly faster, -1 farther aft, else 0."""
    for key, way in (("forward", 1), ("aft", -1)):
        for one in worth:
            if one.change.key == key and one.point == "up" and one.s_per_mile_90.high[place] < 0.0:
                return way
    return 0


def speed_depower(folder: Path, *, asked: SpeedAsked | None = None, tell: Tell = silent) -> DepowerAnswer:
    """Return the order of depowering as the wind builds, and feathering against easing in puffs.

    Parameters
    ----------
    folder : Path
        The book.
    asked : SpeedAsked, optional
        Sea and people.
    tell : callable
        Told each part before it starts.

    Raises
    ------
    InputError, RuleError
        A sea or person that is none; a crew the class does not allow.
    """
    book = open_speed(folder, asked)
    tell("order of depowering")
    legs_in = legs_in_share(book.files.class_file, book.crew, book.model)
    roles = [role for one in book.files.boat_file.controls for role in one.roles]
    steps = depower_order(book.model, book.boats, legs_in=legs_in, controls=roles)
    tell("puffs")
    return DepowerAnswer(book, steps, tuple(puff(book.model, wind) for wind in PUFF_WINDS_KN))
