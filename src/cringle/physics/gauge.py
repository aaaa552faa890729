"""Tension from a three-point deflection gauge of any make: its geometry is what counts."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi

import numpy as np

from cringle.errors import InputError


@dataclass(frozen=True)
class Gauge:
    """Geometry of a three-point gauge.

    Parameters
    ----------
    span : float
        Between the outer supports. [m]
    deflection : float
        Sideways movement of the wire at the middle. [m]
    """

    span: float
    deflection: float

    def __post_init__(self) -> None:
        if self.span <= 0.0 or not 0.0 < self.deflection < 0.25 * self.span:
            raise InputError(
                f"gauge: span {self.span:g} m with a deflection of {self.deflection:g} m cannot be",
                next_step="measure between the outer supports, and how far the middle pushes the wire",
            )


@dataclass(frozen=True)
class GaugeReading:
    """Tension from a gauge with what the gauge itself does.

    Parameters
    ----------
    tension : float
        Before the gauge was put on. [N]
    added : float
        What the gauge added while it was on. [N]
    bending : float
        Largest force that the wire's own bending may add to the reading (wires that do not slip). [N]
    """

    tension: float
    added: float
    bending: float


def gauge_force(gauge: Gauge, tension: float) -> float:
    """Return the middle force on a perfectly flexible wire: 2 T sin(atan(2 d / b)). [N]."""
    return float(2.0 * tension * np.sin(np.arctan2(2.0 * gauge.deflection, gauge.span)))


def gauge_added_tension(gauge: Gauge, stiffness: float, length: float) -> float:
    """Return the tension a gauge adds to a wire with rigid ends.

    Parameters
    ----------
    gauge : Gauge
        Geometry.
    stiffness, length : float
        E A [N] and length of the wire [m].

    Returns
    -------
    float
        EA (2 sqrt(b^2/4 + d^2) - b) / L. [N]
    """
    path = 2.0 * np.hypot(0.5 * gauge.span, gauge.deflection) - gauge.span
    return float(stiffness * path / length)


def solid_bending_force(gauge: Gauge, diameter: float, modulus: float) -> float:
    """Return the middle force that bends a solid rod of that diameter: 48 E I d / b^3. [N].

    Strand bends more easily than this because its wires slip; it is an upper bound.
    """
    inertia = pi * diameter**4 / 64.0
    return 48.0 * modulus * inertia * gauge.deflection / gauge.span**3


def tension_from_gauge(
    gauge: Gauge, force: float, *, stiffness: float, length: float, diameter: float
) -> GaugeReading:
    """Return a wire's tension from the middle force of a three-point gauge.

    Parameters
    ----------
    gauge : Gauge
        Geometry.
    force : float
        Middle force, above zero. [N]
    stiffness, length, diameter : float
        E A [N], length [m] and diameter [m] of the wire.

    Returns
    -------
    GaugeReading
        Tension with the gauge's own share taken off, and the bound on bending.

    Raises
    ------
    InputError
        The force is not above zero, or less than the gauge itself must cause.
    """
    loaded = force / gauge_force(gauge, 1.0)
    added = gauge_added_tension(gauge, stiffness, length)
    if force <= 0.0 or loaded <= added:
        raise InputError(
            f"a gauge force of {force:g} N means a slack wire or another gauge geometry",
            next_step="check span and deflection, and that the gauge sits square on the wire",
        )
    modulus = 4.0 * stiffness / (pi * diameter**2)
    return GaugeReading(loaded - added, added, solid_bending_force(gauge, diameter, modulus))
