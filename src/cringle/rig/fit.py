"""Stiffness factors fitted to the boat's own measurements, with priors: little data moves little."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cringle.boat.boat_file import BoatFile
from cringle.boat.class_file import ClassFile
from cringle.errors import InputError, NotConvergedError
from cringle.rig.assumptions import ASSUMPTIONS
from cringle.rig.base import BaseTarget, base_tune
from cringle.rig.model import RigFactors
from cringle.rig.spread import NINETY_PERCENT
from cringle.rig.state import quantities, quantity_names
from cringle.rig.turns import Setting, solve_setting

Array = NDArray[np.float64]

FACTORS = ("wire", "mast", "sag")
PRIOR_SPREAD = {
    "wire": ASSUMPTIONS["wire_stiffness"].spread,
    "mast": ASSUMPTIONS["mast_stiffness"].spread,
    "sag": ASSUMPTIONS["luff_share"].spread,
}
"""Standard deviation of each factor before any measurement, on its logarithm."""


@dataclass(frozen=True)
class Observation:
    """One measurement to fit to.

    Parameters
    ----------
    quantity : str
        As in `quantity_names`: ``cap_port_n``, ``prebend_mm``, ``sag_mm`` ...
    value, spread : float
        Measured, and its standard deviation.
    setting : Setting
        Turns, backstay and wind when it was measured.
    """

    quantity: str
    value: float
    spread: float
    setting: Setting


@dataclass(frozen=True)
class RigFit:
    """Fitted factors.

    Parameters
    ----------
    factors : RigFactors
        Best values.
    half_width : dict
        Half the 90 % interval of each.
    before, after : tuple of float
        Misses in standard deviations, before and after.
    count : int
        Observations used.
    """

    factors: RigFactors
    half_width: dict[str, float]
    before: tuple[float, ...]
    after: tuple[float, ...]
    count: int


def fit_factors(
    class_file: ClassFile,
    boat_file: BoatFile,
    observations: Sequence[Observation],
    *,
    target: BaseTarget | None = None,
) -> RigFit:
    """Return stiffness factors that fit the measurements, held by their priors.

    Parameters
    ----------
    class_file, boat_file : ClassFile, BoatFile
        What the boat is.
    observations : sequence of Observation
        Measurements away from the base (at the base itself the model is set to the measurement).
    target : BaseTarget, optional
        The base as measured.

    Raises
    ------
    InputError
        Nothing to fit to, or an unknown quantity.

    Notes
    -----
    Least squares on the factors' logarithms with a soft loss, so that one wild reading does not carry
    the fit.
    """
    if not observations:
        raise InputError(
            "no measurements away from the base to fit to", next_step="measure at one more setting of turns"
        )
    problem = _Problem(class_file, boat_file, tuple(observations), target)
    start = np.zeros(len(FACTORS))
    before = problem.misses(start)
    from scipy.optimize import least_squares

    answer = least_squares(
        problem.residuals,
        start,
        loss="soft_l1",
        f_scale=2.0,
        diff_step=[0.02],
        max_nfev=20,
        bounds=(-0.7, 0.7),
    )
    slope = np.asarray(answer.jac, dtype=np.float64)
    covariance = np.linalg.inv(slope.T @ slope)
    values = np.exp(answer.x)
    half = NINETY_PERCENT * values * np.sqrt(np.diag(covariance))
    return RigFit(
        RigFactors(*(float(one) for one in values)),
        dict(zip(FACTORS, half.tolist(), strict=True)),
        tuple(before.tolist()),
        tuple(problem.misses(answer.x).tolist()),
        len(observations),
    )


@dataclass(frozen=True)
class _Problem:
    class_file: ClassFile
    boat_file: BoatFile
    observations: tuple[Observation, ...]
    target: BaseTarget | None

    def misses(self, logarithms: Array) -> Array:
        """Return model minus measurement in standard deviations."""
        factors = RigFactors(*(float(one) for one in np.exp(logarithms)))
        base = base_tune(self.class_file, self.boat_file, target=self.target, factors=factors)
        names = quantity_names(base.model)
        found = []
        for one in self.observations:
            if one.quantity not in names:
                raise InputError(f"no quantity {one.quantity!r}", next_step=f"use one of: {', '.join(names)}")
            state = solve_setting(base, one.setting)
            values = quantities(state.model, state.equilibrium.position, state.equilibrium.tension)
            found.append((float(values[names.index(one.quantity)]) - one.value) / one.spread)
        return np.array(found)

    def residuals(self, logarithms: Array) -> Array:
        """Return misses and the priors' pull."""
        prior = logarithms / np.array([PRIOR_SPREAD[name] for name in FACTORS])
        try:
            return np.concatenate([self.misses(logarithms), prior])
        except NotConvergedError:
            return np.concatenate([np.full(len(self.observations), 1e3), prior])
