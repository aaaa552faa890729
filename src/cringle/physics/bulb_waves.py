"""How much of a deep bulb still makes waves."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from cringle.physics.arrays import Array, as_array, not_negative
from cringle.physics.foils import Appendages
from cringle.physics.hull_form import HullForm

LEAST_FROUDE = 0.01
"""Below this Froude number waves are as long as a hand; only there to keep a division finite."""


def wave_making_share(
    hull: HullForm, appendages: Appendages, froude: ArrayLike, *, bulb_decay: float
) -> Array:
    """Return the share of the volume of keel and bulb that counts for their wave drag, 1 without a bulb.

    Parameters
    ----------
    hull : HullForm
        Waterline length.
    appendages : Appendages
        Volumes and depths; the keel's volume and centroid hold the bulb's.
    froude : float or array
        On Lwl, not negative.
    bulb_decay : float
        Wave numbers in the exponent: 0 keeps the whole bulb, as the regression does; 1 is the meeting of the
        bulb's waves with the hull's; 2 are the bulb's own.

    Notes
    -----
    ``1 - Vb/Vk [1 - exp(-n g dz / V^2)]``, dz from the centroid of the fin down to the bulb's centre. The
    series behind the wave drag had fins and no bulbs, and its formula goes with the volume wherever that
    lies. Waves die out downward with the wave number ``g / V^2`` of the longest wave that runs with the
    boat; shorter ones die out faster.

    References
    ----------
    .. [1] T.H. Havelock, "Wave resistance: some cases of three-dimensional fluid motion", Proceedings of the
       Royal Society A 95, 1919: the waves of a submerged body fall with its depth as ``exp(-g z / V^2)``.
       From memory.
    """
    fn, bulb, keel = not_negative("froude", froude), appendages.bulb, appendages.keel
    if bulb is None or not 0.0 < bulb.volume < keel.volume:
        return np.ones_like(fn)
    deeper = bulb.depth - keel.root_depth - keel.centroid_depth
    drop = max(deeper, 0.0) * keel.volume / (keel.volume - bulb.volume)
    wave_number = 1.0 / (hull.length_waterline * np.maximum(fn, LEAST_FROUDE) ** 2)
    kept = np.exp(-bulb_decay * drop * wave_number)
    return as_array(1.0 - bulb.volume / keel.volume * (1.0 - kept))
