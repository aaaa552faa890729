"""The tension-only wire element: slack when too long, sagging under a side load, stretched otherwise."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Index = NDArray[np.int64]


@dataclass(frozen=True)
class Wires:
    """Tension-only wires, one row a wire.

    Parameters
    ----------
    start, end : int array, shape (m,)
        Node numbers.
    stiffness : array, shape (m,)
        E A. [N]
    side_load : array, shape (m, 3)
        Even load along the wire, global axes, across the wire; zero for a bare one. [N/m]
    """

    start: Index
    end: Index
    stiffness: Array
    side_load: Array


def chord_tension(chord: Array, unstressed: Array, stiffness: Array, load: Array) -> Array:
    """Return tension along the chord of wires that may be slack or carry a side load.

    Parameters
    ----------
    chord, unstressed : array
        Present chord and unstressed length. [m]
    stiffness : array
        E A. [N]
    load : array
        Side load. [N/m]

    Returns
    -------
    array
        Never negative; zero where a bare wire is slack. [N]

    Notes
    -----
    The one positive root of (L0/EA) T^3 - (l - L0) T^2 - w^2 l^3 / 24 = 0: chord plus parabola's extra
    arc equals the stretched length. Newton from above converges monotonically.
    """
    stretch = chord - unstressed
    bare = np.maximum(stretch, 0.0) * stiffness / unstressed
    bulk = load * load * chord**3 / 24.0
    if not np.any(bulk):
        return bare
    loaded = bulk > 0.0
    tension = bare + np.cbrt(bulk * stiffness / unstressed)
    compliance = unstressed / stiffness
    for _ in range(60):
        value = (compliance * tension - stretch) * tension**2 - bulk
        slope = (3.0 * compliance * tension - 2.0 * stretch) * tension
        step = np.where(loaded, value / np.where(loaded, slope, 1.0), 0.0)
        tension = tension - step
        if np.all(np.abs(step) <= 1e-13 * tension + 1e-300):
            break
    return np.where(loaded, tension, bare)


def chord_tension_slopes(
    chord: Array, unstressed: Array, *, stiffness: Array, load: Array, tension: Array
) -> tuple[Array, Array]:
    """Return the derivatives of `chord_tension` by chord length and by unstressed length.

    Parameters
    ----------
    chord, unstressed, stiffness, load, tension : array
        As in `chord_tension`, and its result.

    Returns
    -------
    by_chord, by_unstressed : array
        [N/m]; zero where slack.
    """
    stretch = chord - unstressed
    loaded = load > 0.0
    taut = (tension > 0.0) | (stretch >= 0.0)
    slope = np.where(loaded, (3.0 * unstressed / stiffness * tension - 2.0 * stretch) * tension, 1.0)
    by_chord = np.where(loaded, (tension**2 + load**2 * chord**2 / 8.0) / slope, stiffness / unstressed)
    by_unstressed = np.where(
        loaded, -(tension**3 / stiffness + tension**2) / slope, -stiffness * chord / unstressed**2
    )
    return np.where(taut, by_chord, 0.0), np.where(taut, by_unstressed, 0.0)
