"""What may be true of a control before any trial: how curved its response is, and how alike the winds are.

The gain of a number d steps from the anchor at wind w is a Gaussian process f(w, d) with f(w, 0) as its
zero: a slope, a curvature and a rest, each smooth in the wind over 4 kn. How curved a control is nobody knows
beforehand, nor whether a number that is off is off in all winds or in each on its own: so several beliefs,
a flat one among them, are weighed by how well they explain the trials.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from cringle.trials.process import squared_exponential

Floats = NDArray[np.float64]

WIND_LENGTH_KN: Final = 4.0
STEP_LENGTH: Final = 2.0
"""Length scales of the response: wind [kn] and steps (our own priors)."""

NEAR_LENGTH_KN: Final = 1.5
EACH_WIND: Final = (0.0, 0.3, 0.7)
ALL_WINDS: Final = (0.7, 0.2, 0.1)
"""How the variance of the slope is shared out: the same in all winds, in winds within the length above, in
winds this near only [kn]. The first is a control that is off in each wind on its own, the second one whose
scale or sail is off in all of them (our own priors)."""

CURVATURES: Final = (0.25, 0.5, 1.0, 2.0, 4.0)
FLAT_PRIOR: Final = 0.3
"""Loss in m a minute for one step from the optimum, each alike; and the chance of a control that does not
matter (our own priors)."""

OPTIMUM_SD_STEPS: Final = 1.6
"""How far the optimum lies from a table made with care, as an s.d. in steps (our own prior)."""

CURVATURE_SPREAD: Final = 0.3
REST_SHARE: Final = 0.1
FLAT_SLOPE: Final = 0.1
"""S.d. of the curvature from wind to wind and of the rest, as shares of the curvature; the slope of a flat
response."""


@dataclass(frozen=True)
class Belief:
    """One thing that may be true of a control.

    Parameters
    ----------
    curvature : float
        Loss for one step from the optimum, 0 for a flat response. [m/min]
    alike : bool
        Whether it is off in all winds rather than in each on its own.
    prior : float
        Chance of it before any trial.
    """

    curvature: float
    alike: bool
    prior: float


BELIEFS: Final = (
    Belief(0.0, alike=False, prior=FLAT_PRIOR),
    *(
        Belief(one, alike=alike, prior=(1.0 - FLAT_PRIOR) / len(CURVATURES) / 2.0)
        for one in CURVATURES
        for alike in (False, True)
    ),
)
"""All that are weighed; the flat one is the first."""


@dataclass(frozen=True)
class Places:
    """Pairs of numbers compared at winds: gain of `tried` over `reference`, each shape (n,)."""

    wind_kn: Floats
    tried: Floats
    reference: Floats


class Pieces(NamedTuple):
    """The parts of the kernel that no curvature changes: slope and rest either way of the winds, and bow."""

    slopes: tuple[Floats, Floats]
    rests: tuple[Floats, Floats]
    bow: Floats


def prior_mean(at: Places, belief: Belief) -> Floats:
    """Return the expected gain before any trial: a parabola with its top at the anchor."""
    found: Floats = -belief.curvature * (at.tried**2 - at.reference**2)
    return found


def kernel(first: Places, second: Places, belief: Belief) -> Floats:
    """Return the prior covariance between gains.

    Notes
    -----
    A gain is f(w, tried) - f(w, reference). The covariance of f is that in the wind times: slope variance d
    d', curvature variance d^2 d'^2, and a squared exponential of the steps for the rest.
    """
    return scaled(pieces_of(first, second), belief)


def pieces_of(first: Places, second: Places) -> Pieces:
    """Return what the kernel between places is made of, for every belief."""
    far = squared_exponential(first.wind_kn, second.wind_kn, WIND_LENGTH_KN)
    near = squared_exponential(first.wind_kn, second.wind_kn, NEAR_LENGTH_KN)
    each, alike = (all_ + some * far + own * near for all_, some, own in (EACH_WIND, ALL_WINDS))
    line = np.outer(first.tried - first.reference, second.tried - second.reference)
    bow = np.outer(first.tried**2 - first.reference**2, second.tried**2 - second.reference**2)
    rest = _differences(first, second)
    return Pieces((each * line, alike * line), (each * rest, alike * rest), far * bow)


def scaled(pieces: Pieces, belief: Belief) -> Floats:
    """Return the kernel of a belief."""
    curvature = belief.curvature
    slope = max(2.0 * curvature * OPTIMUM_SD_STEPS, FLAT_SLOPE)
    bow, rest = CURVATURE_SPREAD * curvature, REST_SHARE * max(curvature, FLAT_SLOPE)
    found: Floats = slope**2 * pieces.slopes[belief.alike] + bow**2 * pieces.bow
    return found + rest**2 * pieces.rests[belief.alike]


def _differences(first: Places, second: Places) -> Floats:
    def between(one: Floats, other: Floats) -> Floats:
        return squared_exponential(one, other, STEP_LENGTH)

    return (
        between(first.tried, second.tried)
        - between(first.tried, second.reference)
        - between(first.reference, second.tried)
        + between(first.reference, second.reference)
    )
