"""The array type of this room, and the checks every function makes on what it is given."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cringle.errors import InputError, OutOfRangeError

Array = NDArray[np.float64]


def as_array(value: ArrayLike) -> Array:
    """Return a value as a float64 array without a copy where it is one already."""
    return np.asarray(value, dtype=np.float64)


def not_negative(name: str, value: ArrayLike) -> Array:
    """Return a quantity as an array; NaN passes.

    Raises
    ------
    InputError
        An element is negative; the message gives the first one and its place.
    """
    array = as_array(value)
    bad = array < 0.0
    if np.any(bad):
        place = int(np.flatnonzero(bad)[0])
        found = float(array.reshape(-1)[place])
        raise InputError(
            f"{name}: found {found:g} (element {place}), accepted 0 or more",
            next_step="check the sign and the order of the arguments",
        )
    return array


def require_positive(**values: float) -> None:
    """Raise an `InputError` naming the first value that is not a finite number above zero."""
    for name, value in values.items():
        if not (np.isfinite(value) and value > 0.0):
            raise InputError(
                f"{name}: found {value:g}, accepted a number above 0",
                next_step=f"correct {name} where the boat is described",
            )


def require_between(name: str, value: float, low: float, high: float, *, unit: str = "") -> None:
    """Raise an `OutOfRangeError` when a value is not within two limits; NaN is not."""
    if not low <= value <= high:
        raise OutOfRangeError(
            name, value, low, high, unit=unit, next_step=f"correct {name} where the boat is described"
        )


def smooth_step(value: ArrayLike, low: float, high: float) -> Array:
    """Return 0 below `low`, 1 above `high` and ``3 t^2 - 2 t^3`` between them.

    Parameters
    ----------
    value : float or array
        Where on the ramp.
    low, high : float
        Ends of the ramp.
    """
    t = np.clip((as_array(value) - low) / (high - low), 0.0, 1.0)
    return t * t * (3.0 - 2.0 * t)
