"""Added resistance in waves: an order of magnitude with a calibration factor."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from cringle.constants import STANDARD_GRAVITY_M_PER_S2
from cringle.physics.arrays import Array, as_array, require_between, require_positive
from cringle.physics.hull_form import HullForm
from cringle.physics.water import Water


@dataclass(frozen=True)
class SeaState:
    """The sea as the model sees it.

    Parameters
    ----------
    significant_height : float
        Mean height of the highest third of the waves. [m]
    factor : float
        Calibration, 0.5 to 2 (judgement); 1 takes the formula as it stands.
    """

    significant_height: float
    factor: float = 1.0

    def __post_init__(self) -> None:
        require_between("significant_height", self.significant_height, 0.0, 20.0, unit="m")
        require_between("factor", self.factor, 0.0, 5.0)


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


def wave_resistance(hull: HullForm, water: Water, sea: SeaState, *, wave_angle: ArrayLike) -> Array:
    """Return the added resistance for waves from an angle, in N; none from abeam and aft (judgement).

    Parameters
    ----------
    hull : HullForm
        Waterline beam and length of the bow.
    water : Water
        Density.
    sea : SeaState
        Height and calibration.
    wave_angle : float or array
        Between the bow and where the waves come from, either side. [rad]
    """
    toward = np.maximum(np.cos(as_array(wave_angle)), 0.0)
    return sea.factor * head_sea_resistance(hull, water, sea.significant_height) * toward


def highest_sea(length: float) -> float:
    """Return the significant height up to which the method holds, ``2.25 sqrt(Lpp / 100)``, in m.

    Parameters
    ----------
    length : float
        Waterline length. [m]
    """
    require_positive(length=length)
    return 2.25 * math.sqrt(length / 100.0)


def sea_in_range(hull: HullForm, sea: SeaState) -> bool:
    """Return whether a sea is within the method's limit for a hull."""
    return sea.significant_height <= highest_sea(hull.length_waterline)
