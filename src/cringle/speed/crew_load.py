"""The crew as the force balance sees it: one mass that moves between leeward and full hike."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cringle.boat.base import Posture
from cringle.boat.class_file import ClassFile, PostureGeometry, Station
from cringle.boat.crew_file import CrewFile, Person
from cringle.constants import STANDARD_GRAVITY_M_PER_S2
from cringle.errors import InputError, RuleError
from cringle.physics.crew_weight import posture_named, seated_offset
from cringle.units import degrees_to_radians


@dataclass(frozen=True)
class BodyPlace:
    """Mass centre of one person [m]: ahead of the waterline's after end, to windward, above the water."""

    mass_kg: float
    forward_m: float
    off_centre_m: float
    height_m: float


@dataclass(frozen=True)
class CrewLoad:
    """All people together.

    Parameters
    ----------
    mass_kg : float
        Sum of the people.
    hike_m, hike_height_m : float
        Mean mass centre to windward and above the water with everyone as far out as the rules allow.
    centre_height_m : float
        Mean height with everyone on the centreline.
    leeward_m, leeward_height_m : float
        How far to leeward the mean mass centre can go in light air (a positive number), and its height.
    forward_m : float
        How far ahead of the usual place everyone sits; moves the trim.
    people : int
        Number aboard, for the windage.

    Raises
    ------
    InputError
        A mass or an arm is not positive.
    """

    mass_kg: float
    hike_m: float
    hike_height_m: float
    centre_height_m: float
    leeward_m: float
    leeward_height_m: float
    forward_m: float = 0.0
    people: int = 4

    def __post_init__(self) -> None:
        for name in ("mass_kg", "hike_m", "leeward_m"):
            if not getattr(self, name) > 0.0:
                raise InputError(
                    f"crew {name}: found {getattr(self, name)}, accepted more than 0",
                    next_step="give the people aboard and their places in crew.toml",
                )

    def __repr__(self) -> str:
        return f"CrewLoad({self.mass_kg:g} kg, {self.hike_m:.2f} m out, {self.people} people)"

    def height(self, off_centre: ArrayLike) -> NDArray[np.float64]:
        """Return the mean height [m] when the mean mass centre is so far to windward [m]."""
        y = np.asarray(off_centre, dtype=np.float64)
        up = (self.hike_height_m - self.centre_height_m) / self.hike_m
        down = (self.leeward_height_m - self.centre_height_m) / self.leeward_m
        return np.asarray(self.centre_height_m + np.where(y > 0.0, up * y, -down * y))

    def moment(self, off_centre: ArrayLike, heel: ArrayLike) -> NDArray[np.float64]:
        """Return the righting moment of the crew [N m] at a place to windward [m] and a heel [rad]."""
        angle = np.asarray(heel, dtype=np.float64)
        y = np.asarray(off_centre, dtype=np.float64)
        arm = y * np.cos(angle) - self.height(y) * np.sin(angle)
        return np.asarray(self.mass_kg * STANDARD_GRAVITY_M_PER_S2 * arm)

    def place_for(self, moment: ArrayLike, heel: ArrayLike) -> NDArray[np.float64]:
        """Return the place to windward [m] that gives a moment [N m] at a heel [rad]; not limited."""
        angle = np.asarray(heel, dtype=np.float64)
        sine, cosine = np.sin(angle), np.cos(angle)
        above = np.asarray(moment) / (self.mass_kg * STANDARD_GRAVITY_M_PER_S2) + self.centre_height_m * sine
        up = (self.hike_height_m - self.centre_height_m) / self.hike_m
        down = (self.leeward_height_m - self.centre_height_m) / self.leeward_m
        slope = np.where(above > 0.0, cosine - up * sine, cosine + down * sine)
        return np.asarray(above / slope)


def body_place(class_file: ClassFile, person: Person, *, station: str, posture: Posture) -> BodyPlace:
    """Return where a person's mass is at a station in a posture.

    Parameters
    ----------
    class_file : ClassFile
        Stations and postures.
    person : Person
        Mass and stature.
    station : str
        Id of the station.
    posture : Posture
        One that the station allows.

    Raises
    ------
    InputError
        There is no such station, or the class file does not describe the posture.
    RuleError
        The station does not allow the posture.
    """
    place, geometry = _station(class_file, station), _posture(class_file, posture)
    if posture not in place.postures:
        raise RuleError(
            f"{person.name}: station {station} does not allow posture {posture}",
            next_step=f"use one of: {', '.join(place.postures)}",
        )
    legs = 1.0 if geometry.legs == "outboard" else posture_named(str(posture)).legs
    offset = float(
        seated_offset(person.height_m, lean=float(degrees_to_radians(geometry.trunk_lean_deg)), legs=legs)
    )
    outboard = geometry.hip_outboard + offset if place.y != 0.0 else 0.0
    side = 1.0 if place.y >= 0.0 else -1.0
    return BodyPlace(
        person.mass_kg,
        place.x,
        place.y + side * outboard,
        place.z + geometry.mass_centre_above_station,
    )


def _station(class_file: ClassFile, identifier: str) -> Station:
    found = class_file.station(identifier)
    if found is None:
        names = ", ".join(one.id for one in class_file.stations)
        raise InputError(f"no station {identifier!r} in the class file", next_step=f"use one of: {names}")
    return found


def _posture(class_file: ClassFile, posture: Posture) -> PostureGeometry:
    for one in class_file.postures:
        if one.posture == posture:
            return one
    raise InputError(
        f"posture {posture!r} is not described in the class file",
        next_step="add a [[postures]] entry for it",
    )


def check_crew(class_file: ClassFile, crew: CrewFile) -> None:
    """Refuse a crew that the class does not allow.

    Raises
    ------
    RuleError
        Too heavy, too many or too few people, too many hiking, or hiking ahead of the shrouds; the message
        names the rule.
    """
    limits, count = class_file.limits, len(crew.people)
    hiking = [one for one in crew.people if one.posture == Posture.HIKE]
    ahead = [one.name for one in hiking if _station(class_file, one.station).ahead_of_shrouds]
    if crew.mass_kg > limits.crew_mass_max:
        raise RuleError(
            f"crew of {crew.mass_kg:g} kg, the class allows {limits.crew_mass_max:g} kg ({limits.crew_rule})"
        )
    if not limits.crew_min <= count <= limits.crew_max:
        raise RuleError(
            f"{count} people, the class allows {limits.crew_min} to {limits.crew_max} ({limits.crew_rule})"
        )
    if len(hiking) > limits.hiking_max:
        raise RuleError(
            f"{len(hiking)} people hiking, the class allows {limits.hiking_max} ({limits.hiking_rule})"
        )
    if ahead and not limits.hiking_ahead_of_shrouds:
        raise RuleError(f"{', '.join(ahead)}: hiking ahead of the shrouds ({limits.hiking_rule})")


def crew_load(class_file: ClassFile, crew: CrewFile) -> CrewLoad:
    """Return the load of a crew whose stations and postures in the crew file are those of full hike.

    Parameters
    ----------
    class_file : ClassFile
        Stations, postures and limits.
    crew : CrewFile
        The people aboard.

    Raises
    ------
    RuleError
        The class does not allow this crew or these places.

    Notes
    -----
    In light air everyone but the helm may sit to leeward; the helm sits on the centreline there.
    """
    check_crew(class_file, crew)
    full = [body_place(class_file, one, station=one.station, posture=one.posture) for one in crew.people]
    mass = sum(one.mass_kg for one in full)
    centre = _mean_height(class_file, at_centre=True)
    low = _leeward(class_file)
    moving = sum(one.mass_kg for one in crew.people if one.role != "helm")
    return CrewLoad(
        mass_kg=mass,
        hike_m=sum(one.mass_kg * one.off_centre_m for one in full) / mass,
        hike_height_m=sum(one.mass_kg * one.height_m for one in full) / mass,
        centre_height_m=centre,
        leeward_m=low.off_centre_m * moving / mass,
        leeward_height_m=centre + (low.height_m - centre) * moving / mass,
        people=len(full),
    )


def _mean_height(class_file: ClassFile, *, at_centre: bool) -> float:
    places = [one for one in class_file.stations if (one.y == 0.0) == at_centre and not one.ahead_of_shrouds]
    above = {one.posture: one.mass_centre_above_station for one in class_file.postures}
    heights = [one.z + above.get(one.postures[0], 0.25) for one in places]
    return float(np.mean(heights)) if heights else 0.7


def _leeward(class_file: ClassFile) -> BodyPlace:
    """Return the place farthest to leeward for an average person, as a positive distance."""
    lee = [one for one in class_file.stations if one.y < 0.0]
    if not lee:
        rail = max(class_file.stations, key=lambda one: one.y)
        return BodyPlace(1.0, rail.x, 0.8 * rail.y, rail.z + 0.26)
    station = min(lee, key=lambda one: one.y)
    above = {one.posture: one.mass_centre_above_station for one in class_file.postures}
    return BodyPlace(1.0, station.x, -station.y, station.z + above.get(station.postures[0], 0.26))
