"""Windage of hull, mast, rigging and people, each in the wind of its own height.

The sails' own coefficient tables do not contain it. The older model of `cringle.physics.reference_sails`
does.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from cringle.constants import AIR_DENSITY_KG_PER_M3, REFERENCE_WIND_HEIGHT_M
from cringle.errors import InputError
from cringle.physics.air import dynamic_pressure
from cringle.physics.assumptions import AirAssumptions, default_air_assumptions
from cringle.physics.wind import Quantity, Wind, apparent_wind, log_law_ratio


class WindageForces(NamedTuple):
    """Force forward [N] (negative: drag), force to leeward [N], its moment about the waterline [N m]."""

    drive: Quantity
    side: Quantity
    heeling_moment: Quantity


@dataclass(frozen=True)
class WindageElement:
    """One thing that stands in the wind.

    Parameters
    ----------
    name : str
        What it is.
    front_drag_area, side_drag_area : float
        Drag coefficient times projected area, seen from ahead and from abeam. [m2]
    height : float
        Its middle above the waterline, where its wind is taken. [m]
    arm : float or None
        Where its force acts above the waterline, when that is elsewhere. [m]
    """

    name: str
    front_drag_area: float
    side_drag_area: float
    height: float
    arm: float | None = None

    def __post_init__(self) -> None:
        if not (self.front_drag_area >= 0.0 and self.side_drag_area >= 0.0 and self.height > 0.0):
            raise InputError(
                f"windage of {self.name}: found {self.front_drag_area}, {self.side_drag_area} m2 at "
                f"{self.height} m, accepted areas of 0 or more and a height above 0",
                next_step="measure it above the waterline, in metres",
            )


@dataclass(frozen=True)
class AboveWater:
    """What of a boat stands in the wind besides the sails.

    Parameters
    ----------
    length, beam, freeboard : float
        Length overall, largest beam, mean freeboard. [m]
    mast_height, mast_diameter : float
        Masthead above the sheer; mean width of the section. [m]
    boom_above_deck : float
        Below it the mast is bare. [m]
    wire_length, wire_diameter : float
        All standing rigging together. [m]
    people : int
        Number aboard.
    """

    length: float
    beam: float
    freeboard: float
    mast_height: float
    mast_diameter: float
    boom_above_deck: float
    wire_length: float
    wire_diameter: float
    people: int

    def __post_init__(self) -> None:
        for name in self.__dataclass_fields__:
            if not getattr(self, name) >= 0.0:
                raise InputError(
                    f"{name}: found {getattr(self, name)}, accepted 0 or more",
                    next_step="measure it and enter it in metres",
                )


def windage_elements(
    boat: AboveWater, assumptions: AirAssumptions | None = None
) -> tuple[WindageElement, ...]:
    """Return hull, mast below and above the boom, rigging and people as windage elements.

    Parameters
    ----------
    boat : AboveWater
        Its dimensions.
    assumptions : AirAssumptions, optional
        Values to use instead of the table's.

    Notes
    -----
    Drag coefficients and the drag area of a person: table of assumptions (rating practice, Hoerner; from
    memory). People sit in a row half behind the hull; `crew_shelter` is the share left of what they would
    drag in the open.
    """
    known = assumptions or default_air_assumptions()
    sheer = boat.freeboard
    above = max(boat.mast_height - boat.boom_above_deck, 0.0)
    bare = known.mast_drag_coefficient * boat.mast_diameter * boat.boom_above_deck
    mast = known.mast_with_sail_drag_coefficient * boat.mast_diameter * above
    wire = known.wire_drag_coefficient * boat.wire_diameter * boat.wire_length
    crew = known.crew_drag_area * known.crew_shelter * boat.people
    hull = known.hull_drag_coefficient * sheer
    floor = 1e-3
    return (
        WindageElement("hull", hull * boat.beam, hull * boat.length, max(0.5 * sheer, floor)),
        WindageElement("mast below the boom", bare, bare, max(sheer + 0.5 * boat.boom_above_deck, floor)),
        WindageElement(
            "mast behind the sail", mast, mast, max(sheer + boat.boom_above_deck + 0.5 * above, floor)
        ),
        WindageElement("rigging", wire, wire, max(sheer + 0.5 * boat.mast_height, floor)),
        WindageElement("people", crew, crew, max(sheer + PEOPLE_ABOVE_SHEER, floor)),
    )


PEOPLE_ABOVE_SHEER = 0.35
"""Middle of a seated or hiking person above the sheer [m]. Estimate."""


def windage_in_wind(
    element: WindageElement, wind: Wind, density: Quantity = AIR_DENSITY_KG_PER_M3
) -> WindageForces:
    """Return the forces on one element in the apparent wind at its own height.

    Notes
    -----
    Drag along the apparent wind, q (S_front |cos beta| + S_side |sin beta|). Rating practice; from memory.
    """
    cosine, sine = np.cos(wind.angle), np.abs(np.sin(wind.angle))
    area = element.front_drag_area * np.abs(cosine) + element.side_drag_area * sine
    drag = dynamic_pressure(wind.speed, density) * area
    arm = element.height if element.arm is None else element.arm
    return WindageForces(-drag * cosine, drag * sine, drag * sine * arm)


def wind_at(
    height: float,
    true_wind_speed: Quantity,
    *,
    true_wind_angle: Quantity,
    boat_speed: Quantity,
    roughness: float | None = None,
) -> Wind:
    """Return the apparent wind at a height from the true wind at 10 m.

    Parameters
    ----------
    height : float
        Above the water. [m]
    true_wind_speed, true_wind_angle : float or array
        True wind at 10 m [m/s] and from the bow [rad].
    boat_speed : float or array
        Through the water. [m/s]
    roughness : float, optional
        Roughness length instead of the table's. [m]
    """
    length = default_air_assumptions().roughness_length if roughness is None else roughness
    ratio = log_law_ratio(max(height, MIN_HEIGHT), REFERENCE_WIND_HEIGHT_M, roughness=length)
    return apparent_wind(true_wind_speed * ratio, true_wind_angle, boat_speed=boat_speed)


MIN_HEIGHT = 0.1
"""The log law is not read closer to the water than this [m]."""


def windage_forces(
    elements: Sequence[WindageElement],
    true_wind_speed: Quantity,
    *,
    true_wind_angle: Quantity,
    boat_speed: Quantity,
    assumptions: AirAssumptions | None = None,
    density: Quantity = AIR_DENSITY_KG_PER_M3,
) -> WindageForces:
    """Return the sum of the windage, each element in the apparent wind of its own height.

    Parameters
    ----------
    elements : sequence of WindageElement
        From `windage_elements`, or one from `lumped_windage`.
    true_wind_speed, true_wind_angle : float or array
        True wind at 10 m [m/s] and from the bow [rad], either side.
    boat_speed : float or array
        Through the water. [m/s]
    assumptions : AirAssumptions, optional
        For the roughness of the water.
    density : float or array
        Air density. [kg/m3]

    Returns
    -------
    WindageForces
        Sums over the elements.
    """
    if not elements:
        raise InputError("windage: found no elements", next_step="use windage_elements to make them")
    known = assumptions or default_air_assumptions()
    each = [
        windage_in_wind(
            one,
            wind_at(
                one.height,
                true_wind_speed,
                true_wind_angle=true_wind_angle,
                boat_speed=boat_speed,
                roughness=known.roughness_length,
            ),
            density,
        )
        for one in elements
    ]
    return WindageForces(*(sum(part) for part in zip(*each, strict=True)))


def lumped_windage(elements: Sequence[WindageElement]) -> WindageElement:
    """Return one element that stands for all: the fast path for large grids.

    Notes
    -----
    Drag areas add. The wind is taken at the mean of the logarithms of the heights, as the wind goes with the
    logarithm; the force acts at the mean height weighted with the pressure there as well. Weights are the
    drag areas from ahead and abeam. With the wind forward of the beam the force agrees with the sum over the
    elements to 3 per cent and the moment to 15 (tested); windage itself is known to some 30 per cent.
    """
    if not elements:
        raise InputError("windage: found no elements", next_step="use windage_elements to make them")
    front = sum(one.front_drag_area for one in elements)
    side = sum(one.side_drag_area for one in elements)
    weights = np.array([one.front_drag_area + one.side_drag_area for one in elements])
    heights = np.array([one.height for one in elements])
    if front + side <= 0.0:
        return WindageElement("all", 0.0, 0.0, float(heights.mean()))
    middle = float(np.exp(np.average(np.log(heights), weights=weights)))
    pressure = np.square(log_law_ratio(np.maximum(heights, MIN_HEIGHT), REFERENCE_WIND_HEIGHT_M))
    arm = np.average(heights, weights=weights * pressure)
    return WindageElement("all", front, side, middle, float(arm))
