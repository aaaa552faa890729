"""Righting moment of hull, ballast and people about the boat's own heel axis.

Heights z are above the static waterline, places y positive to windward, both in the boat's own frame. The
moment of the buoyancy alone, plus every mass at its height and place, is the whole moment: each person is
counted once, height included.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from cringle.constants import STANDARD_GRAVITY_M_PER_S2
from cringle.errors import InputError
from cringle.physics.arrays import Array, as_array, require_between, require_positive
from cringle.physics.hull_form import HullForm
from cringle.units import degrees_to_radians

WALL_SIDED_LIMIT = float(degrees_to_radians(15.0))
"""Up to here the sides of a beamy hull are taken as vertical; the form term is held beyond (judgement)."""


@dataclass(frozen=True)
class Mass:
    """A mass and where it is.

    Parameters
    ----------
    mass : float
        [kg]
    height : float
        Above the static waterline. [m]
    off_centre : float
        Positive to windward. [m]
    """

    mass: float
    height: float
    off_centre: float = 0.0

    def __post_init__(self) -> None:
        require_positive(mass=self.mass)


@dataclass(frozen=True)
class Buoyancy:
    """The hull's share of stability.

    Parameters
    ----------
    centre_height : float
        Centre of buoyancy above the waterline, negative. [m]
    metacentric_radius : float
        BM. [m]
    """

    centre_height: float
    metacentric_radius: float

    @property
    def metacentre_height(self) -> float:
        """Metacentre above the static waterline, in m."""
        return self.centre_height + self.metacentric_radius


def waterplane_inertia(length: float, beam: float, waterplane_coefficient: float) -> float:
    """Return the transverse second moment of the waterplane, ``(0.1216 Cwp - 0.0410) L B^3``, in m4.

    Parameters
    ----------
    length, beam : float
        On the waterline. [m]
    waterplane_coefficient : float
        Aw over L B, 0.45 to 1.

    Raises
    ------
    OutOfRangeError
        The coefficient is outside what the fit was made for.

    References
    ----------
    .. [1] D'Arcangelo's parametric form as given in texts on ship design. From memory, grade B; within 3 % of
       the exact integral for a sine waterline.
    """
    require_positive(length=length, beam=beam)
    require_between("waterplane_coefficient", waterplane_coefficient, 0.45, 1.0)
    return (0.1216 * waterplane_coefficient - 0.0410) * length * beam**3


def centre_of_buoyancy_height(draft: float, block_coefficient: float, waterplane_coefficient: float) -> float:
    """Return KB above the lowest point of the canoe body, ``Tc (5/6 - Cb / (3 Cwp))``, in m.

    Parameters
    ----------
    draft : float
        Canoe-body draft. [m]
    block_coefficient, waterplane_coefficient : float
        Cb and Cwp.

    References
    ----------
    .. [1] Morrish's formula, in texts on naval architecture. From memory; gives Tc/2 for a box.
    """
    require_positive(
        draft=draft, block_coefficient=block_coefficient, waterplane_coefficient=waterplane_coefficient
    )
    return draft * (5.0 / 6.0 - block_coefficient / (3.0 * waterplane_coefficient))


def metacentric_radius(inertia: float, volume: float) -> float:
    """Return ``BM = I_T / V``, in m.

    Parameters
    ----------
    inertia : float
        Transverse second moment of the waterplane. [m4]
    volume : float
        Displaced volume. [m3]
    """
    require_positive(inertia=inertia, volume=volume)
    return inertia / volume


def buoyancy_of(hull: HullForm, *, appendage_volume: float = 0.0, appendage_depth: float = 0.0) -> Buoyancy:
    """Return a hull's buoyancy from its main numbers.

    Parameters
    ----------
    hull : HullForm
        The canoe body.
    appendage_volume, appendage_depth : float
        Volume of keel, bulb and rudder [m3], and its centroid's depth below the waterline [m].
    """
    waterplane = hull.waterplane_coefficient
    inertia = waterplane_inertia(hull.length_waterline, hull.beam_waterline, waterplane)
    own_height = centre_of_buoyancy_height(hull.draft_canoe, hull.block_coefficient, waterplane)
    volume = hull.volume_canoe + appendage_volume
    moment = hull.volume_canoe * (own_height - hull.draft_canoe) - appendage_volume * appendage_depth
    return Buoyancy(moment / volume, metacentric_radius(inertia, volume))


def combined(masses: tuple[Mass, ...]) -> Mass:
    """Return all masses as one at their common centre.

    Raises
    ------
    InputError
        There are none.
    """
    if not masses:
        raise InputError("no masses to combine", next_step="give at least the boat itself")
    total = sum(one.mass for one in masses)
    height = sum(one.mass * one.height for one in masses) / total
    return Mass(total, height, sum(one.mass * one.off_centre for one in masses) / total)


def metacentric_height(buoyancy: Buoyancy, centre_of_gravity: float) -> float:
    """Return GM, in m.

    Parameters
    ----------
    buoyancy : Buoyancy
        The hull's share.
    centre_of_gravity : float
        Above the static waterline. [m]
    """
    return buoyancy.metacentre_height - centre_of_gravity


def righting_arm(metacentric_height: float, radius: float, heel: ArrayLike) -> Array:
    """Return GZ of a wall-sided hull, ``(GM + 0.5 BM tan^2 heel) sin heel``, odd in heel, in m.

    Parameters
    ----------
    metacentric_height, radius : float
        GM and BM. [m]
    heel : float or array
        [rad] Beyond 15 degrees the form term is held: deck edge and bilge are no longer vertical sides.
    """
    angle = as_array(heel)
    return as_array((metacentric_height + _form_gain(radius, angle)) * np.sin(angle))


def _form_gain(radius: float, heel: Array) -> Array:
    return as_array(0.5 * radius * np.tan(np.clip(heel, -WALL_SIDED_LIMIT, WALL_SIDED_LIMIT)) ** 2)


def buoyancy_moment(buoyancy: Buoyancy, displacement: float, heel: ArrayLike) -> Array:
    """Return the righting moment of the buoyancy about the waterline's middle, in N m.

    Parameters
    ----------
    buoyancy : Buoyancy
        The hull's share.
    displacement : float
        Mass of boat and crew. [kg]
    heel : float or array
        Positive to leeward. [rad]
    """
    arm = righting_arm(buoyancy.metacentre_height, buoyancy.metacentric_radius, heel)
    return displacement * STANDARD_GRAVITY_M_PER_S2 * arm


def mass_moment(mass: ArrayLike, *, height: ArrayLike, off_centre: ArrayLike, heel: ArrayLike) -> Array:
    """Return the righting moment of a mass about the waterline's middle, ``m g (y cos - z sin)``, in N m.

    Parameters
    ----------
    mass : float or array
        [kg]
    height, off_centre : float or array
        z above the static waterline and y to windward. [m]
    heel : float or array
        Positive to leeward. [rad]
    """
    angle = as_array(heel)
    arm = as_array(off_centre) * np.cos(angle) - as_array(height) * np.sin(angle)
    return as_array(as_array(mass) * STANDARD_GRAVITY_M_PER_S2 * arm)


def righting_moment(buoyancy: Buoyancy, masses: tuple[Mass, ...], heel: ArrayLike) -> Array:
    """Return the whole righting moment of boat and crew, in N m.

    Parameters
    ----------
    buoyancy : Buoyancy
        For the displacement of all the masses together.
    masses : tuple of Mass
        Boat, ballast and every person, each once.
    heel : float or array
        Positive to leeward. [rad]
    """
    whole = combined(masses)
    gravity = mass_moment(whole.mass, height=whole.height, off_centre=whole.off_centre, heel=heel)
    return buoyancy_moment(buoyancy, whole.mass, heel) + gravity


def person_moment(
    mass: ArrayLike, *, off_centre: ArrayLike, height: ArrayLike = 0.0, heel: ArrayLike = 0.0
) -> Array:
    """Return what one person at a place adds to the righting moment, in N m; 0 m high by default.

    Parameters
    ----------
    mass : float or array
        [kg]
    off_centre, height : float or array
        Of the mass centre, to windward and above the point the moment of the rest is taken about. [m]
    heel : float or array
        Positive to leeward. [rad]
    """
    return mass_moment(mass, height=height, off_centre=off_centre, heel=heel)


def moment_per_degree(buoyancy: Buoyancy, masses: tuple[Mass, ...]) -> float:
    """Return the slope of the righting moment upright, people's places left out, in N m per degree."""
    whole = combined(masses)
    height = metacentric_height(buoyancy, whole.height)
    return whole.mass * STANDARD_GRAVITY_M_PER_S2 * height * math.sin(math.radians(1.0))
