"""How sure a rig number is: the same answer with wires, mast and sag load a little off."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from cringle.boat.boat_file import BoatFile
from cringle.boat.class_file import ClassFile
from cringle.rig.assumptions import ASSUMPTIONS
from cringle.rig.base import BaseTarget, BaseTune, base_tune
from cringle.rig.model import RigFactors

Array = NDArray[np.float64]

NINETY_PERCENT = 1.6449
"""Standard deviations either side that hold 90 % of a normal spread."""

_PARTS = {"wire": "wire_stiffness", "mast": "mast_stiffness", "sag": "luff_share"}


@dataclass(frozen=True)
class Ensemble:
    """The base tune as assumed, and once more with each assumption one standard deviation up.

    Every member is set to the same measured base, so only what the model extrapolates differs.

    Parameters
    ----------
    middle : BaseTune
        As assumed or fitted.
    others : tuple of BaseTune
        One for wire stiffness, mast stiffness and sag load each.
    """

    middle: BaseTune
    others: tuple[BaseTune, ...]


def ensemble(
    class_file: ClassFile,
    boat_file: BoatFile,
    *,
    target: BaseTarget | None = None,
    factors: RigFactors | None = None,
) -> Ensemble:
    """Return the base tune with its neighbours.

    Parameters
    ----------
    class_file, boat_file : ClassFile, BoatFile
        What the boat is.
    target : BaseTarget, optional
        The base as measured.
    factors : RigFactors, optional
        Fitted factors.
    """
    known = factors or RigFactors()
    middle = base_tune(class_file, boat_file, target=target, factors=known)
    others = []
    for part, assumption in _PARTS.items():
        moved = replace(known, **{part: getattr(known, part) * (1.0 + ASSUMPTIONS[assumption].spread)})
        same = part == "sag"
        model = replace(middle.model, factors=moved)
        others.append(
            replace(middle, model=model)
            if same
            else base_tune(class_file, boat_file, target=target, factors=moved)
        )
    return Ensemble(middle, tuple(others))


def half_widths(found: Ensemble, answer: Callable[[BaseTune], Array]) -> tuple[Array, Array]:
    """Return an answer and half its 90 % interval.

    Parameters
    ----------
    found : Ensemble
        Base tune with neighbours.
    answer : callable
        From a base tune to a vector of numbers.

    Returns
    -------
    value, half : array
        The answer of the middle, and half the width of its 90 % interval.
    """
    value = answer(found.middle)
    moved = [answer(one) - value for one in found.others]
    return value, NINETY_PERCENT * np.sqrt(np.sum(np.square(moved), axis=0))
