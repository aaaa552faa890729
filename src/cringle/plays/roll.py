"""How a boat rolls when a moment changes: a damped oscillator driven by moments that change linearly.

``I theta'' + c theta' + K theta = Q(t)`` with roll inertia I, stiffness K, ``c = 2 zeta sqrt(K I)``. Between
two samples Q is taken as a straight line, for which the solution is exact.

References
----------
.. [1] The damped linear oscillator, in any text on vibration; solved here by the exponential of its matrix.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cringle.errors import InputError

Array = NDArray[np.float64]

GYRATION_OVER_BEAM = 0.45
"""Roll radius of gyration over the beam of a small keelboat with mast, bulb and the water that moves along;
spread 0.07 (judgement)."""

DAMPING_UNDER_SAIL = 0.25
"""Damping ratio in roll with sails and keel working; spread 0.10 (judgement). Less in light wind."""


@dataclass(frozen=True)
class RollModel:
    """A boat in roll.

    Parameters
    ----------
    stiffness : float
        Righting moment per radian. [N m/rad]
    inertia : float
        About the roll axis, with the water that moves along. [kg m2]
    damping_ratio : float
        Of critical, 0 or more.
    """

    stiffness: float
    inertia: float
    damping_ratio: float = DAMPING_UNDER_SAIL

    def __post_init__(self) -> None:
        if not (self.stiffness > 0.0 and self.inertia > 0.0 and self.damping_ratio >= 0.0):
            raise InputError(
                f"roll: stiffness {self.stiffness:g}, inertia {self.inertia:g}, damping"
                f" {self.damping_ratio:g};"
                " accepted: stiffness and inertia more than 0, damping not negative"
            )

    @property
    def period_s(self) -> float:
        """Natural period without damping [s]."""
        return 2.0 * math.pi * math.sqrt(self.inertia / self.stiffness)


def roll_inertia(mass: float, beam: float) -> float:
    """Return the roll inertia of a boat of a mass [kg] and beam [m], in kg m2; see `GYRATION_OVER_BEAM`."""
    return mass * (GYRATION_OVER_BEAM * beam) ** 2


def roll_response(model: RollModel, time: Array, moment: Array) -> Array:
    """Return the heel in time of a boat that stands steady under the first moment.

    Parameters
    ----------
    model : RollModel
        The boat.
    time : array, shape (n,)
        Evenly spaced. [s]
    moment : array, shape (n,)
        Heeling moment less everything that does not change with heel. [N m]

    Returns
    -------
    array, shape (n,)
        Heel [rad], positive the way the moment pushes.

    Raises
    ------
    InputError
        Fewer than two times, or uneven ones.
    """
    steps = np.diff(time)
    if time.size < 2 or not np.allclose(steps, steps[0], rtol=1e-6, atol=0.0) or steps[0] <= 0.0:
        raise InputError("roll: times must be two or more, rising and evenly spaced")
    move, now, after = _step(model, float(steps[0]))
    heel = np.empty(time.size)
    state = np.array([moment[0] / model.stiffness, 0.0])
    heel[0] = state[0]
    for index in range(1, time.size):
        state = move @ state + now * moment[index - 1] + after * moment[index]
        heel[index] = state[0]
    return heel


def _step(model: RollModel, step: float) -> tuple[Array, Array, Array]:
    """Return how one step carries on the state, the moment at its start and the moment at its end."""
    from scipy.linalg import expm

    stiffness, inertia = model.stiffness, model.inertia
    damping = 2.0 * model.damping_ratio * math.sqrt(stiffness * inertia)
    system = np.zeros((4, 4))
    system[0, 1] = 1.0
    system[1, :3] = -stiffness / inertia, -damping / inertia, 1.0 / inertia
    system[2, 3] = 1.0 / step
    whole = np.asarray(expm(system * step), dtype=np.float64)
    later = whole[:2, 3]
    return whole[:2, :2], whole[:2, 2] - later, later
