"""Seats: a station with a posture, and where somebody's mass is in it."""

from __future__ import annotations

from dataclasses import dataclass

from cringle.boat.base import Posture
from cringle.boat.class_file import ClassFile, Station
from cringle.boat.crew_file import Person
from cringle.speed.crew_load import body_place

TILLER_REACH_M = 1.35
"""From the rudder stock forward to the farthest station from which one steers: tiller and half of an
extension [m]. Estimate."""

ON_RAIL = (Posture.HIKE, Posture.LEGS_IN, Posture.AFT)
"""Postures on the windward side deck."""


@dataclass(frozen=True)
class Seat:
    """A place to sit in one posture, for one person.

    Parameters
    ----------
    station, station_name : str
        Where.
    posture : Posture
        How.
    forward_m, off_centre_m, height_m : float
        Mass centre of this person there: ahead of the waterline's after end, to windward, above the water.
    """

    station: str
    station_name: str
    posture: Posture
    forward_m: float
    off_centre_m: float
    height_m: float


def seats_of(class_file: ClassFile, person: Person, role: str) -> list[Seat]:
    """Return the seats a person may take in a role.

    Parameters
    ----------
    class_file : ClassFile
        Stations, postures, limits.
    person : Person
        Mass, stature, whether fixed and whether the rail may be left.
    role : str
        ``helm``, ``main``, ``jib`` or ``forward``.
    """
    return [
        _seat(class_file, person, station, posture)
        for station in class_file.stations
        if _may(class_file, person, role, station)
        for posture in station.postures
        if _allowed(class_file, station, posture)
    ]


def _may(class_file: ClassFile, person: Person, role: str, station: Station) -> bool:
    if station.ahead_of_shrouds:
        return False
    if person.fixed and station.id != person.station:
        return False
    if not person.may_leave_rail and not _on_rail(station):
        return False
    return role != "helm" or station.x <= class_file.rudder.x + TILLER_REACH_M


def _on_rail(station: Station) -> bool:
    return station.y > 0.0 and any(one in ON_RAIL[:2] for one in station.postures)


def _allowed(class_file: ClassFile, station: Station, posture: Posture) -> bool:
    described = any(one.posture == posture for one in class_file.postures)
    if posture == Posture.HIKE and station.ahead_of_shrouds:
        return described and class_file.limits.hiking_ahead_of_shrouds
    return described


def _seat(class_file: ClassFile, person: Person, station: Station, posture: Posture) -> Seat:
    body = body_place(class_file, person, station=station.id, posture=posture)
    return Seat(station.id, station.name, posture, body.forward_m, body.off_centre_m, body.height_m)
