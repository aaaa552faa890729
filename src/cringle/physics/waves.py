"""Waves that a wind raises, and the resistance they add: an order of magnitude."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike

from cringle.constants import STANDARD_GRAVITY_M_PER_S2
from cringle.physics.arrays import Array, as_array, not_negative, require_positive
from cringle.physics.hull_form import HullForm
from cringle.physics.water import Water

FETCH_GROWTH = 0.0016
"""Significant height over ``U sqrt(F / g)`` of waves that the fetch limits: four times the root of the
variance ``1.6e-7 g F / U^2`` of Hasselmann et al. 1973."""


def fetch_limited_height(wind: ArrayLike, fetch: float) -> Array:
    """Return the significant height of the waves that a wind raises over a fetch, in m.

    Parameters
    ----------
    wind : float or array
        True wind at 10 m, not negative. [m/s]
    fetch : float
        Open water to windward. [m]

    Notes
    -----
    ``Hs = 0.0016 U sqrt(F / g)``: deep water, a wind that has blown long enough, waves still growing along
    the fetch; so it holds for some tens of kilometres and no swell.

    References
    ----------
    .. [1] K. Hasselmann et al., "Measurements of wind-wave growth and swell decay during the Joint North Sea
       Wave Project", Deutsche Hydrographische Zeitschrift, Supplement A8(12), 1973. From memory.
    """
    require_positive(fetch=fetch)
    grown = FETCH_GROWTH * math.sqrt(fetch / STANDARD_GRAVITY_M_PER_S2)
    return grown * not_negative("wind", wind)


def head_sea_resistance(hull: HullForm, water: Water, significant_height: ArrayLike) -> Array:
    """Return the added resistance in head seas, in N.

    ``rho g Hs^2 B sqrt(B / L_BWL) / 16``: the part of the waves that the bow reflects, whatever the speed.

    Parameters
    ----------
    hull : HullForm
        Waterline beam and length of the bow.
    water : Water
        Density.
    significant_height : float or array
        [m]

    Notes
    -----
    Made for ships with little heave and pitch. A 7 m boat pitches in a chop: an order of magnitude only.

    References
    ----------
    .. [1] ISO 15016 and ITTC 7.5-04-01-01.1, method STAwave-1. Formula from memory, grade B.
    """
    height, beam = as_array(significant_height), hull.beam_waterline
    bow = math.sqrt(beam / hull.bow_length_95)
    return water.density * STANDARD_GRAVITY_M_PER_S2 * height**2 * (beam * bow / 16.0)


def share_from_ahead(wave_angle: ArrayLike) -> Array:
    """Return the share of the head-sea resistance in waves from an angle [rad] off the bow, either side.

    The cosine, and none from abeam and aft (judgement).
    """
    return np.maximum(np.cos(as_array(wave_angle)), 0.0)


def highest_sea(length: float) -> float:
    """Return the significant height up to which the method holds, ``2.25 sqrt(Lpp / 100)``, in m.

    Parameters
    ----------
    length : float
        Waterline length. [m]
    """
    require_positive(length=length)
    return 2.25 * math.sqrt(length / 100.0)
