"""The handful of factors that a fit to a boat's own logs may move; all 1 without a fit."""

from __future__ import annotations

from dataclasses import dataclass, fields

from cringle.errors import OutOfRangeError

LOWEST, HIGHEST = 0.2, 5.0
"""Beyond these a factor no longer describes the same boat."""


@dataclass(frozen=True)
class Factors:
    """Multipliers on parts of the model.

    Parameters
    ----------
    sail_power : float
        On all forces of the sails.
    hull_drag : float
        On friction and residuary resistance of the hull, at all speeds.
    planing_drag : float
        On the pre-planing and planing methods, on top of `hull_drag`.
    righting_moment : float
        On the righting moment of hull and ballast; people are weighed, not fitted.
    windage : float
        On the drag areas of hull, mast, rigging and people.

    Raises
    ------
    OutOfRangeError
        A factor is not between 0.2 and 5.
    """

    sail_power: float = 1.0
    hull_drag: float = 1.0
    planing_drag: float = 1.0
    righting_moment: float = 1.0
    windage: float = 1.0

    def __post_init__(self) -> None:
        for one in fields(self):
            value = getattr(self, one.name)
            if not LOWEST <= value <= HIGHEST:
                raise OutOfRangeError(
                    f"factor {one.name}",
                    value,
                    LOWEST,
                    HIGHEST,
                    next_step="fit again with more data, or use 1",
                )
