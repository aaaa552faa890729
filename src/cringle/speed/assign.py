"""Who sits where and does what: the exact best assignment of people to places, postures and roles.

A mixed-integer linear programme (SciPy's solver, HiGHS): one yes-or-no variable for every person, role, place
and posture that the rules leave open. The answer is the best there is, not a good one.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from cringle.boat.base import Posture
from cringle.boat.class_file import ClassFile
from cringle.boat.crew_file import Person
from cringle.errors import NotConvergedError, RuleError
from cringle.speed.ensemble import Array
from cringle.speed.seats import Seat, seats_of

ROLES = ("helm", "main", "jib", "forward")
"""Every one of these is done by somebody as long as there are people for it, in this order."""


@dataclass(frozen=True)
class Prices:
    """What the assignment minimises, in seconds a mile.

    Parameters
    ----------
    side : float
        A kilogram metre too little or too much to windward.
    trim : float
        A kilogram metre too far forward or aft.
    move : float
        Somebody in another place or posture than usual.
    swap : float
        Somebody in another role than tonight's.
    hike : float
        Somebody hiking: nobody does without need; 0 where all the moment there is is wanted.
    """

    side: float = 0.1
    trim: float = 0.02
    move: float = 0.2
    swap: float = 0.5
    hike: float = 3.0


@dataclass(frozen=True)
class Wanted:
    """What the places are to give.

    Parameters
    ----------
    side_kg_m : float
        Sum of mass times distance to windward; more than anybody can give asks for full hike.
    forward_kg_m : float
        Sum of mass times distance forward of the after end of the waterline.
    skills : mapping
        Role to skills that whoever does it must have.
    """

    side_kg_m: float
    forward_kg_m: float
    skills: Mapping[str, Sequence[str]] = field(default_factory=dict, hash=False)


@dataclass(frozen=True)
class Seated:
    """One person's place and role."""

    person: Person
    role: str
    seat: Seat


@dataclass(frozen=True)
class Assignment:
    """The best arrangement.

    Parameters
    ----------
    seated : tuple of Seated
        In the order of the people asked for.
    side_kg_m, forward_kg_m : float
        What it gives.
    cost_s_per_mile : float
        What the arrangement costs against the wanted one.
    """

    seated: tuple[Seated, ...]
    side_kg_m: float
    forward_kg_m: float
    cost_s_per_mile: float

    @property
    def hiking_kg(self) -> float:
        """Mass that hikes [kg]."""
        return sum(one.person.mass_kg for one in self.seated if one.seat.posture == Posture.HIKE)

    @property
    def legs_in_kg(self) -> float:
        """Mass on the rail with the legs in [kg]."""
        return sum(one.person.mass_kg for one in self.seated if one.seat.posture == Posture.LEGS_IN)

    @property
    def hiking_share(self) -> float:
        """Share of the mass that hikes."""
        return self.hiking_kg / sum(one.person.mass_kg for one in self.seated)


@dataclass(frozen=True)
class Choice:
    """One yes-or-no variable: this person, this role, this seat."""

    person: int
    role: str
    seat: Seat


def roles_to_fill(people: Sequence[Person]) -> tuple[str, ...]:
    """Return the roles that somebody must do: as many as there are people, the helm always."""
    tonight = {one.role for one in people}
    wanted = sorted(ROLES, key=lambda role: (role not in tonight, ROLES.index(role)))
    return tuple(sorted(wanted[: len(people)], key=ROLES.index))


def choices(class_file: ClassFile, people: Sequence[Person], wanted: Wanted) -> list[Choice]:
    """Return every person, role and seat that rules, roles and skills leave open.

    Parameters
    ----------
    class_file : ClassFile
        Stations, postures, limits.
    people : sequence of Person
        Who is aboard.
    wanted : Wanted
        Skills a role needs.

    Notes
    -----
    Whoever is `fixed` keeps role and station. Who may not leave the rail sits on it. The helm sits where the
    tiller is in reach. Nobody hikes ahead of the shrouds unless the class allows it.
    """
    found = []
    fill = roles_to_fill(people)
    for place, person in enumerate(people):
        for role in _roles_of(person, fill, wanted):
            for seat in seats_of(class_file, person, role):
                found.append(Choice(place, role, seat))
    return found


def _roles_of(person: Person, fill: Sequence[str], wanted: Wanted) -> list[str]:
    able: Sequence[str] = (person.role,) if person.fixed else person.roles
    skilled = [role for role in able if set(wanted.skills.get(role, ())) <= set(person.skills)]
    return [role for role in skilled if role in fill]


def assign(
    class_file: ClassFile, people: Sequence[Person], wanted: Wanted, *, prices: Prices | None = None
) -> Assignment:
    """Return the best arrangement of the people aboard.

    Parameters
    ----------
    class_file : ClassFile
        Stations, postures, limits and their rules.
    people : sequence of Person
        Who is aboard.
    wanted : Wanted
        Moment to windward and forward, skills.
    prices : Prices, optional
        What a miss costs.

    Raises
    ------
    RuleError
        The class does not allow these people.
    NotConvergedError
        No arrangement keeps all rules; the message says what is most likely in the way.

    Notes
    -----
    Least sum of what misses cost: side and trim moment on either side of what is wanted, moves from usual
    places, swaps of roles. One seat and one role a person, every role once, no seat beyond its room, no more
    people hiking than the class allows, the forward hand not behind anybody and nobody behind the helm among
    those on the same side.
    """
    _check_people(class_file, people)
    prices = prices or Prices()
    open_choices = choices(class_file, people, wanted)
    problem = _Problem(class_file, people, open_choices)
    picked = problem.solve(wanted, prices)
    if picked is None:
        raise NotConvergedError(
            "no arrangement of these people keeps the rules",
            next_step=_likely(people, open_choices, wanted),
        )
    return arrangement(people, [open_choices[place] for place in picked], wanted, prices=prices)


def _check_people(class_file: ClassFile, people: Sequence[Person]) -> None:
    limits, mass = class_file.limits, sum(one.mass_kg for one in people)
    if mass > limits.crew_mass_max:
        raise RuleError(
            f"crew of {mass:g} kg, the class allows {limits.crew_mass_max:g} kg ({limits.crew_rule})",
            next_step="leave somebody ashore, or correct the masses in crew.toml",
        )
    if not limits.crew_min <= len(people) <= limits.crew_max:
        raise RuleError(
            f"{len(people)} people, the class allows {limits.crew_min} to {limits.crew_max}"
            f" ({limits.crew_rule})"
        )


def _likely(people: Sequence[Person], found: Sequence[Choice], wanted: Wanted) -> str:
    for place, person in enumerate(people):
        if not any(one.person == place for one in found):
            return f"nothing is left for {person.name}: check roles, skills, fixed and may_leave_rail"
    for role in roles_to_fill(people):
        if not any(one.role == role for one in found):
            needs = ", ".join(wanted.skills.get(role, ())) or "the role in roles"
            return f"nobody can do {role}: somebody needs {needs} in crew.toml"
    return "there are too few places: check capacities, fixed people and roles in class.toml and crew.toml"


def arrangement(
    people: Sequence[Person], picked: Sequence[Choice], wanted: Wanted, *, prices: Prices
) -> Assignment:
    """Return chosen seats as an assignment with what it gives and costs."""
    seated = tuple(
        Seated(people[one.person], one.role, one.seat) for one in sorted(picked, key=lambda x: x.person)
    )
    side = sum(one.person.mass_kg * one.seat.off_centre_m for one in seated)
    forward = sum(one.person.mass_kg * one.seat.forward_m for one in seated)
    fixed = sum(own_price(one.person, one.role, one.seat, prices) for one in seated)
    cost = (
        prices.side * abs(side - wanted.side_kg_m) + prices.trim * abs(forward - wanted.forward_kg_m) + fixed
    )
    return Assignment(seated, side, forward, cost)


def own_price(person: Person, role: str, seat: Seat, prices: Prices) -> float:
    """Return what one person's seat and role cost whatever the others do."""
    usual = (seat.station, seat.posture) == (person.station, person.posture)
    out = prices.hike if seat.posture == Posture.HIKE else 0.0
    return out + (0.0 if usual else prices.move) + (0.0 if role == person.role else prices.swap)


class _Problem:
    """Rows and columns of the programme: the choices, then four misses (side and trim, under and over)."""

    def __init__(self, class_file: ClassFile, people: Sequence[Person], found: Sequence[Choice]) -> None:
        self.class_file, self.people, self.found = class_file, people, found
        self.rows: list[Array] = []
        self.low: list[float] = []
        self.high: list[float] = []

    def solve(self, wanted: Wanted, prices: Prices) -> list[int] | None:
        """Return the places of the chosen choices, or None where nothing keeps all rows."""
        from scipy.optimize import Bounds, LinearConstraint, milp

        if not self.found:
            return None
        self._one_each()
        self._room_and_hiking()
        self._order()
        self._misses(wanted)
        count = len(self.found)
        own = [own_price(self.people[one.person], one.role, one.seat, prices) for one in self.found]
        cost = np.array([*own, prices.side, prices.side, prices.trim, prices.trim])
        answer = milp(
            cost,
            constraints=LinearConstraint(np.array(self.rows), self.low, self.high),
            integrality=np.array([1] * count + [0] * 4),
            bounds=Bounds(0.0, np.array([1.0] * count + [np.inf] * 4)),
            options={"mip_rel_gap": 0.0},
        )
        return None if answer.x is None else np.flatnonzero(answer.x[:count] > 0.5).tolist()

    def _add(self, values: Sequence[float], *, low: float, high: float, misses: Sequence[float] = ()) -> None:
        self.rows.append(np.array([*values, *(misses or (0.0,) * 4)]))
        self.low.append(low)
        self.high.append(high)

    def _where(self, test: Sequence[bool], *, low: float, high: float) -> None:
        self._add([float(one) for one in test], low=low, high=high)

    def _one_each(self) -> None:
        for place in range(len(self.people)):
            self._where([one.person == place for one in self.found], low=1.0, high=1.0)
        for role in roles_to_fill(self.people):
            self._where([one.role == role for one in self.found], low=1.0, high=1.0)

    def _room_and_hiking(self) -> None:
        for station in self.class_file.stations:
            here = [one.seat.station == station.id for one in self.found]
            self._where(here, low=0.0, high=float(station.capacity))
        hiking = [one.seat.posture == Posture.HIKE for one in self.found]
        self._where(hiking, low=0.0, high=float(self.class_file.limits.hiking_max))

    def _order(self) -> None:
        """Keep the forward hand from sitting behind others, and anybody from sitting behind the helm."""
        places = sorted({one.seat.forward_m for one in self.found})
        for first, last in (("forward", None), (None, "helm")):
            for limit in places:
                before, after = _order_masks(self.found, limit, first=first, last=last)
                if any(before) and any(after):
                    self._pairwise(before, after)

    def _pairwise(self, before: Sequence[bool], after: Sequence[bool]) -> None:
        """Forbid one of `before` together with any of `after`: big-M with as many as there are people."""
        many = float(len(self.people))
        row = [many * b + a for b, a in zip(map(float, before), map(float, after), strict=True)]
        self._add(row, low=0.0, high=many)

    def _misses(self, wanted: Wanted) -> None:
        mass = [self.people[one.person].mass_kg for one in self.found]
        side = [m * one.seat.off_centre_m for m, one in zip(mass, self.found, strict=True)]
        trim = [m * one.seat.forward_m for m, one in zip(mass, self.found, strict=True)]
        self._add(side, low=wanted.side_kg_m, high=wanted.side_kg_m, misses=(1.0, -1.0, 0.0, 0.0))
        self._add(trim, low=wanted.forward_kg_m, high=wanted.forward_kg_m, misses=(0.0, 0.0, 1.0, -1.0))


def _order_masks(
    found: Sequence[Choice], limit: float, *, first: str | None, last: str | None
) -> tuple[list[bool], list[bool]]:
    """Return choices of the ordered role on the wrong side of a place, and of the others beyond it."""
    if first is not None:
        behind = [one.role == first and one.seat.forward_m < limit for one in found]
        return behind, [one.role != first and one.seat.forward_m >= limit for one in found]
    ahead = [one.role == last and one.seat.forward_m > limit for one in found]
    return ahead, [one.role != last and one.seat.forward_m <= limit for one in found]


def keeps_order(picked: Sequence[Choice]) -> bool:
    """Return whether the forward hand sits behind nobody and nobody sits behind the helm."""
    forward = [one.seat.forward_m for one in picked if one.role == "forward"]
    helm = [one.seat.forward_m for one in picked if one.role == "helm"]
    ahead = all(one.seat.forward_m <= f for one in picked for f in forward)
    return ahead and all(one.seat.forward_m >= h for one in picked for h in helm)
