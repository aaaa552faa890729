"""Tension of a wire from how fast it swings.

A wire with hinged ends swings at f1 = sqrt(T/m) / (2 L). Its bending stiffness stretches the overtones:
f_n = n f1 sqrt(1 + B n^2), B = pi^2 EI / (T L^2) [1]_. Frequencies in Hz, lengths in m, masses in kg/m.

References
----------
.. [1] H. Fletcher, "Normal vibration frequencies of a stiff piano string", J. Acoust. Soc. Am. 36 (1964)
   203-209.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cringle.errors import InputError

Array = NDArray[np.float64]


def string_frequency(tension: ArrayLike, length: float, mass_per_metre: float) -> Array:
    """Return the fundamental of a flexible wire with hinged ends.

    Parameters
    ----------
    tension : float or array
        [N]
    length, mass_per_metre : float
        [m], [kg/m]

    Returns
    -------
    array
        [Hz]
    """
    return np.asarray(np.sqrt(np.asarray(tension, dtype=np.float64) / mass_per_metre) / (2.0 * length))


def tension_from_frequency(frequency: ArrayLike, length: float, mass_per_metre: float) -> Array:
    """Return the tension of a flexible wire with hinged ends from its fundamental: 4 m L^2 f^2.

    Parameters
    ----------
    frequency : float or array
        [Hz]
    length, mass_per_metre : float
        [m], [kg/m]

    Returns
    -------
    array
        [N]
    """
    value = np.asarray(frequency, dtype=np.float64)
    if np.any(value <= 0.0):
        raise InputError("a frequency must be above zero", next_step="count the swings again")
    return np.asarray(4.0 * mass_per_metre * length**2 * value**2)


def overtones(fundamental: float, inharmonicity: float, numbers: ArrayLike) -> Array:
    """Return the overtones of a stiff wire with hinged ends.

    Parameters
    ----------
    fundamental : float
        f1 of the flexible wire. [Hz]
    inharmonicity : float
        B, 0 for a flexible wire.
    numbers : int array
        Which overtones, counted from 1.

    Returns
    -------
    array
        [Hz]
    """
    number = np.asarray(numbers, dtype=np.float64)
    return np.asarray(number * fundamental * np.sqrt(1.0 + inharmonicity * number**2))


def stiffness_number(rigidity: float, tension: float, length: float) -> float:
    """Return B = pi^2 EI / (T L^2) of a wire.

    Parameters
    ----------
    rigidity, tension, length : float
        E I [N m2], [N], [m]

    Returns
    -------
    float
        Without unit.
    """
    return float(np.pi**2 * rigidity / (tension * length**2))


def clamped_frequency_factor(rigidity: float, tension: float, length: float) -> float:
    """Return by how much clamped ends raise the frequency: 1 + 2/x, x = L sqrt(T/EI).

    Parameters
    ----------
    rigidity, tension, length : float
        E I [N m2], [N], [m]

    Returns
    -------
    float
        Above 1.
    """
    return float(1.0 + 2.0 / (length * np.sqrt(tension / rigidity)))
