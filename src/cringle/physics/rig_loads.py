"""Rig and line loads: the righting-moment approach, spreader force, sheets and blocks.

Forces in N, lengths in m, areas in m2, speeds in m/s, angles in rad.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cringle.constants import AIR_DENSITY_KG_PER_M3

Array = NDArray[np.float64]

SHEET_LOAD_KG_PER_M2_KN2 = 0.02104
"""Headsail sheet load a square metre and squared knot of apparent wind [kg/(m2 kn2)]. Loading formulae
reprinted in B. Toss, "The Complete Rigger's Apprentice"."""


@dataclass(frozen=True)
class ShroudLoad:
    """Loads of the righting-moment approach.

    Parameters
    ----------
    side_force : float
        Transverse force at the shroud attachment. [N]
    shroud : float
        Tension of the windward shroud. [N]
    compression : float
        What that shroud adds to the mast's compression. [N]
    """

    side_force: float
    shroud: float
    compression: float


def righting_moment_shroud(moment: float, arm: float, angle: float) -> ShroudLoad:
    """Return the windward shroud's tension from the righting moment, all of the sail's force at the hounds.

    Parameters
    ----------
    moment : float
        Righting moment at the design heel. [N m]
    arm : float
        Height of the shroud attachment above the waterline. [m]
    angle : float
        Between shroud and mast. [rad]

    Returns
    -------
    ShroudLoad
        Side force, tension and compression.

    References
    ----------
    .. [1] L. Larsson and R. E. Eliasson, "Principles of Yacht Design", chapter on rig construction, after the
       Nordic Boat Standard: load case with the headsail only.
    """
    side = moment / arm
    return ShroudLoad(side, float(side / np.sin(angle)), float(side / np.tan(angle)))


def spreader_force(tip: ArrayLike, lower_end: ArrayLike, upper_end: ArrayLike, tension: float) -> Array:
    """Return the force a shroud of even tension puts on a spreader tip.

    Parameters
    ----------
    tip, lower_end, upper_end : array, shape (3,)
        Places. [m]
    tension : float
        [N]

    Returns
    -------
    array, shape (3,)
        T (u1 + u2). [N]
    """
    arms = np.asarray([lower_end, upper_end], dtype=np.float64) - np.asarray(tip, dtype=np.float64)
    units = arms / np.linalg.norm(arms, axis=1)[:, None]
    return np.asarray(tension * units.sum(axis=0), dtype=np.float64)


def kink(tip: ArrayLike, lower_end: ArrayLike, upper_end: ArrayLike) -> float:
    """Return by how much a shroud bends at the spreader tip. [rad]."""
    below = np.asarray(tip, dtype=np.float64) - np.asarray(lower_end, dtype=np.float64)
    above = np.asarray(upper_end, dtype=np.float64) - np.asarray(tip, dtype=np.float64)
    cosine = float(below @ above / np.linalg.norm(below) / np.linalg.norm(above))
    return float(np.arccos(np.clip(cosine, -1.0, 1.0)))


def wind_pressure(speed: ArrayLike, density: float = AIR_DENSITY_KG_PER_M3) -> Array:
    """Return the dynamic pressure of the wind. [Pa]."""
    return np.asarray(0.5 * density * np.asarray(speed, dtype=np.float64) ** 2)


def headsail_sheet_load(area: float, apparent_wind_kn: float) -> float:
    """Return a headsail sheet's load by the riggers' formula.

    Parameters
    ----------
    area : float
        Sail area. [m2]
    apparent_wind_kn : float
        The formula is printed in knots. [kn]

    Returns
    -------
    float
        [kg of force]

    References
    ----------
    .. [1] Loading formulae reprinted in B. Toss, "The Complete Rigger's Apprentice".
    """
    return SHEET_LOAD_KG_PER_M2_KN2 * area * apparent_wind_kn**2


def block_load(tension: float, deflection: float) -> float:
    """Return the load on a block from a line's tension and the angle it turns the line through: 2 T sin(a/2).

    Parameters
    ----------
    tension, deflection : float
        [N], [rad]

    Returns
    -------
    float
        [N]
    """
    return 2.0 * tension * float(np.sin(0.5 * deflection))


def luff_load(pressure: float, chord: float, depth: float) -> float:
    """Return the load a metre that a parabolic sail section puts on its luff, along the cloth.

    Parameters
    ----------
    pressure : float
        Even pressure across the cloth. [Pa]
    chord : float
        [m]
    depth : float
        Draft over chord, above zero.

    Returns
    -------
    float
        N = p c sqrt(1 + 16 f^2) / (8 f). [N/m]

    Notes
    -----
    Membrane equilibrium of a parabola; not half the sail's pressure. A flatter sail loads the stay more.
    Tension up and down the cloth carries part of the pressure, so this is an upper bound.
    """
    return float(pressure * chord / (8.0 * depth) * np.sqrt(1.0 + 16.0 * depth**2))


def deepened_draft(chord: float, depth: float, shortening: float) -> float:
    """Return the draft of a parabolic section of fixed cloth after its chord is shortened.

    Parameters
    ----------
    chord : float
        [m]
    depth : float
        Draft over chord before.
    shortening : float
        Chord lost to sag. [m]

    Returns
    -------
    float
        Draft over chord after; zero where the cloth is stretched flat.
    """
    from scipy.optimize import brentq

    cloth = chord * arc_over_chord(depth)
    left = chord - shortening
    if cloth <= left:
        return 0.0
    return float(brentq(lambda f: left * arc_over_chord(f) - cloth, 0.0, 1.0, xtol=1e-12))


def arc_over_chord(depth: float) -> float:
    """Return the arc length of a parabola over its chord for a depth over chord."""
    if depth < 1e-6:
        return 1.0
    return float(0.5 * np.sqrt(1.0 + 16.0 * depth**2) + np.arcsinh(4.0 * depth) / (8.0 * depth))
