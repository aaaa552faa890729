"""Wires and rods: stiffness, mass, hanging shape, sag under a side load, and the tension-only element.

All lengths in m, forces in N, loads along a wire in N/m.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cringle.errors import InputError

Array = NDArray[np.float64]

METALLIC_FRACTION_1X19 = 19.0 / 25.0
"""Metal area over circle area of nineteen equal wires in five wire diameters (geometry)."""

GROSS_MODULUS_1X19 = 107.5e9
"""Modulus of 1x19 stainless strand on the area of its circle [Pa]. Trade handbook figure, from memory."""

STEEL_DENSITY = 8000.0
"""Austenitic stainless steel [kg/m3]. Handbook value, from memory."""

LAY_FACTOR = 1.025
"""Wire length over strand length of a 1x19 lay. From memory."""


def strand_stiffness(diameter: ArrayLike, modulus: float = GROSS_MODULUS_1X19) -> Array:
    """Return E A of a strand or rod on the area of its circle.

    Parameters
    ----------
    diameter : float or array
        Outside diameter. [m]
    modulus : float
        Modulus on that gross area. [Pa]

    Returns
    -------
    array
        E A. [N]

    Notes
    -----
    A used wire differs by about ten percent; a first loading adds constructional stretch (from memory).
    """
    return np.asarray(modulus * 0.25 * np.pi * np.asarray(diameter, dtype=np.float64) ** 2)


def strand_mass(diameter: ArrayLike) -> Array:
    """Return the mass of 1x19 stainless strand a metre.

    Parameters
    ----------
    diameter : float or array
        Outside diameter. [m]

    Returns
    -------
    array
        [kg/m]
    """
    area = METALLIC_FRACTION_1X19 * 0.25 * np.pi * np.asarray(diameter, dtype=np.float64) ** 2
    return np.asarray(area * STEEL_DENSITY * LAY_FACTOR)


def take_up_tension(take_up: float, length: float, stiffness: float, rest_stiffness: float = np.inf) -> float:
    """Return the tension gained when a wire is shortened against the rest of the rig.

    Parameters
    ----------
    take_up, length : float
        Shortening and wire length. [m]
    stiffness : float
        E A of the wire. [N]
    rest_stiffness : float
        Stiffness of everything else the wire feels; infinite for rigid ends. [N/m]

    Returns
    -------
    float
        [N]
    """
    return take_up / (length / stiffness + 1.0 / rest_stiffness)


def parabola_sag(load: ArrayLike, length: ArrayLike, tension: ArrayLike) -> Array:
    """Return the mid-span sag of a wire under an even side load: w L^2 / (8 T).

    Parameters
    ----------
    load : float or array
        Side load. [N/m]
    length : float or array
        Chord length. [m]
    tension : float or array
        Tension along the chord, above zero. [N]

    Returns
    -------
    array
        [m]
    """
    return np.asarray(
        np.asarray(load) * np.asarray(length) ** 2 / (8.0 * np.asarray(tension)), dtype=np.float64
    )


def tension_for_sag(load: float, length: float, sag: float) -> float:
    """Return the tension that gives a mid-span sag under an even side load.

    Parameters
    ----------
    load, length, sag : float
        [N/m], [m], [m]; the sag above zero.

    Returns
    -------
    float
        [N]
    """
    if sag <= 0.0:
        raise InputError("a sag of zero needs an infinite tension", next_step="give a sag above zero")
    return load * length**2 / (8.0 * sag)


def arc_excess(sag: float, length: float) -> float:
    """Return how much longer a shallow parabola is than its chord: 8 s^2 / (3 L). [m]."""
    return 8.0 * sag**2 / (3.0 * length)


def catenary(load: float, length: float, horizontal: float) -> tuple[float, float, float]:
    """Return sag, end tension and arc length of a catenary between level ends.

    Parameters
    ----------
    load, length, horizontal : float
        Weight a metre [N/m], span [m] and horizontal tension [N].

    Returns
    -------
    sag, end_tension, arc : float
        [m], [N], [m]
    """
    parameter = horizontal / load
    half = length / (2.0 * parameter)
    return (
        float(parameter * (np.cosh(half) - 1.0)),
        float(horizontal * np.cosh(half)),
        float(2.0 * parameter * np.sinh(half)),
    )


def catenary_horizontal(load: float, length: float, end_tension: float) -> float:
    """Return the horizontal tension of the taut catenary with a given end tension.

    Parameters
    ----------
    load, length, end_tension : float
        [N/m], [m], [N]

    Returns
    -------
    float
        [N]

    Raises
    ------
    InputError
        The end tension cannot carry the wire at all.
    """
    from scipy.optimize import brentq, minimize_scalar

    def end(horizontal: float) -> float:
        return catenary(load, length, horizontal)[1]

    lowest = minimize_scalar(end, bounds=(load * length / 20.0, load * length), method="bounded")
    if end_tension < lowest.fun:
        raise InputError(
            f"no catenary: the ends must pull with at least {lowest.fun:.0f} N, found {end_tension:.0f} N",
            next_step="raise the tension or check the load a metre",
        )
    return float(brentq(lambda h: end(h) - end_tension, float(lowest.x), end_tension, xtol=1e-9))


def triangular_sag(top_load: float, length: float, tension: float) -> tuple[float, float, float]:
    """Return the sag of a wire whose side load falls linearly from its foot to zero at its head.

    Parameters
    ----------
    top_load : float
        Load at the foot. [N/m]
    length, tension : float
        [m], [N]

    Returns
    -------
    largest, place, middle : float
        Largest sag [m], its distance from the foot [m], and the sag at mid-span [m].

    Notes
    -----
    y(z) = w0 z (L - z)(2L - z) / (6 L T), from T y'' = -w0 (1 - z/L).
    """
    place = length * (1.0 - 1.0 / np.sqrt(3.0))
    largest = top_load * length**2 / (9.0 * np.sqrt(3.0) * tension)
    return float(largest), float(place), float(top_load * length**2 / (16.0 * tension))


def elastic_sag(
    start_tension: float, load: float, length: float, *, stiffness: float, rest_stiffness: float = np.inf
) -> tuple[float, float]:
    """Return tension and sag of a wire set up to a tension and then loaded sideways.

    Parameters
    ----------
    start_tension, load, length : float
        Tension without side load [N], side load [N/m], length [m].
    stiffness, rest_stiffness : float
        E A [N] and stiffness of what holds the ends [N/m].

    Returns
    -------
    tension, sag : float
        [N], [m]

    Notes
    -----
    (T - T0)(L/EA + 1/k) = w^2 L^3 / (24 T^2): the sag's extra arc comes out of stretch and of the ends.
    """
    compliance = length / stiffness + 1.0 / rest_stiffness
    roots = np.roots([compliance, -start_tension * compliance, 0.0, -(load**2) * length**3 / 24.0])
    tension = float(np.max(roots[np.abs(roots.imag) < 1e-6 * np.abs(roots).max()].real))
    return tension, float(parabola_sag(load, length, tension))
