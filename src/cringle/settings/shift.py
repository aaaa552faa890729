"""How the row shifts with the people aboard: the wind in which the reference crew has the same task.

A boat is held up by a righting moment; the wind heels it with a moment that grows with the square of its
speed. With less righting moment at the same heel, the same wind is harder work: the crew reads the table
further down, where the reference crew would be as hard pressed.

The statics here are simple on purpose: a wall-sided hull from the class file and people as point masses. A
better righting moment can be passed to `equivalent_wind` instead.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from cringle.boat.class_file import ClassFile, Hull
from cringle.boat.crew_file import Person
from cringle.constants import SALT_WATER_DENSITY_KG_PER_M3, STANDARD_GRAVITY_M_PER_S2
from cringle.errors import InputError

SHIFT_HEEL_DEG = 15.0
"""Heel at which the crews are compared when the book has no heel target [deg]; common practice, no source."""

RAIL_POSTURES = ("hike", "legs in")
"""In these the whole weight is in use, so that it counts."""

WORTH_SAYING_KN = 0.05
"""A shift of the row smaller than this rounds to nothing and is left out [kn]."""


@dataclass(frozen=True)
class Shift:
    """The row to read instead of the wind's own.

    Parameters
    ----------
    wind_kn, reads_at_kn : float
        Wind, and the wind at which the table is read [kn].
    mass_kg, reference_mass_kg : float
        People aboard, and the crew the table was made with [kg].
    note : str or None
        What to tell the reader; None when nothing changed.
    """

    wind_kn: float
    reads_at_kn: float
    mass_kg: float
    reference_mass_kg: float
    note: str | None = None


def waterplane_inertia(hull: Hull) -> float:
    """Return the transverse second moment of the waterplane [m4].

    Notes
    -----
    ``L B^3 Cw^2 / 12`` with ``Cw`` the waterplane coefficient: exact for a rectangle (Cw = 1) and for a
    rhombus (Cw = 1/2), 5 % high for an ellipse. Integration, no source needed.
    """
    coefficient = hull.area_waterplane / (hull.length_waterline * hull.beam_waterline)
    return hull.length_waterline * hull.beam_waterline**3 * coefficient**2 / 12.0


def buoyancy_depth(hull: Hull, volume: float) -> float:
    """Return the depth of the centre of buoyancy below the waterline [m], by Morrish's formula [1]_.

    References
    ----------
    .. [1] Morrish's formula, ``(T / 2 + V / A_w) / 3``, as in textbooks of naval architecture; from memory.
    """
    return (hull.draft_canoe / 2.0 + volume / hull.area_waterplane) / 3.0


def crew_offsets(class_file: ClassFile, person: Person) -> tuple[float, float]:
    """Return how far out to windward and how high a person's mass is (y, z) [m].

    Raises
    ------
    InputError
        The class has no such station.
    """
    station = class_file.station(person.station)
    if station is None:
        raise InputError(
            f"no station {person.station!r} in the class file", next_step="run: cringle book check"
        )
    seat = next((one for one in class_file.postures if one.posture == person.posture), None)
    if seat is None:
        return station.y, station.z
    lean = math.radians(seat.trunk_lean_deg)
    height = seat.mass_centre_above_station
    return station.y + seat.hip_outboard + height * math.sin(lean), station.z + height * math.cos(lean)


def righting_moment(
    class_file: ClassFile, people: Sequence[Person], heel_deg: float = SHIFT_HEEL_DEG
) -> float:
    """Return the righting moment of hull and people at a heel [N m].

    Notes
    -----
    Wall-sided hull: GZ = (GM + BM tan^2(heel) / 2) sin(heel), with the people's own moment
    ``m (y cos(heel) - z sin(heel))``. Valid for small to moderate heel, below the deck edge.
    """
    heel, hull = math.radians(heel_deg), class_file.hull
    mass = hull.mass + sum(one.mass_kg for one in people)
    volume = mass / SALT_WATER_DENSITY_KG_PER_M3
    metacentric_radius = waterplane_inertia(hull) / volume
    wall = 0.5 * metacentric_radius * math.tan(heel) ** 2
    form = mass * (metacentric_radius + wall - buoyancy_depth(hull, hull.volume_canoe)) * math.sin(heel)
    weight = -hull.mass * hull.centre_of_gravity_z * math.sin(heel)
    live = 0.0
    for person in people:
        out, up = crew_offsets(class_file, person)
        live += person.mass_kg * (out * math.cos(heel) - up * math.sin(heel))
    return STANDARD_GRAVITY_M_PER_S2 * (form + weight + live)


def equivalent_wind(wind_kn: float, *, moment: float, reference_moment: float) -> float:
    """Return the wind in which the reference crew is as hard pressed [kn]: moment goes with wind squared.

    Parameters
    ----------
    wind_kn : float
        The wind there is [kn].
    moment, reference_moment : float
        Righting moments at the same heel [N m], or any two numbers in their ratio.

    Raises
    ------
    InputError
        A moment is not positive: that arrangement cannot hold the boat at that heel.

    Examples
    --------
    >>> round(equivalent_wind(10.0, moment=0.81, reference_moment=1.0), 3)
    11.111
    """
    if not (moment > 0.0 and reference_moment > 0.0):
        raise InputError(
            "no righting moment with these people at these places",
            next_step="check their stations and masses",
        )
    return wind_kn * math.sqrt(reference_moment / moment)


def shift_row(
    wind_kn: float,
    ratio: float,
    *,
    mass_kg: float,
    reference_mass_kg: float,
    posture: str | None = None,
    by: str = "simple statics",
) -> Shift:
    """Return at which wind to read the table.

    Parameters
    ----------
    wind_kn : float
        The wind there is [kn].
    ratio : float
        Righting moment of the people aboard over that of the reference crew, at the same heel.
    mass_kg, reference_mass_kg : float
        For the words.
    posture : str, optional
        Posture of the row; off the rail the weight is not in use and the row does not move.
    by : str
        What the ratio comes from.
    """
    difference = mass_kg - reference_mass_kg
    stays = Shift(wind_kn, wind_kn, mass_kg, reference_mass_kg)
    if posture is not None and posture not in RAIL_POSTURES:
        note = f"nobody is on the rail in this row ({posture}), so the weight aboard does not move it"
        return Shift(wind_kn, wind_kn, mass_kg, reference_mass_kg, note if difference else None)
    reads_at = equivalent_wind(wind_kn, moment=ratio, reference_moment=1.0)
    if abs(reads_at - wind_kn) < WORTH_SAYING_KN:
        return stays
    word, way = ("light", "further down") if reads_at > wind_kn else ("heavy", "further up")
    change = f"{abs(difference):.0f} kg {word}" if difference else "other places than the table's crew"
    note = f"{change}: read {way} the table, at {reads_at:.1f} kn (equal heeling moment, {by})"
    return Shift(wind_kn, round(reads_at, 1), mass_kg, reference_mass_kg, note)
