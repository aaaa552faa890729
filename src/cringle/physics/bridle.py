"""The split backstay: geometry, take-up, load and advantage of both kinds of bridle.

Plane of the bridle: masthead A, apex P, middle of the transom M, distance D between A and M; the upper
leg is a, the two legs (or the two halves of one line) end at plus and minus b. A ring, or block pair, on
the line P-M at height r above M draws the legs together; or one continuous line runs through a block at P
and is hauled at one quarter. Lengths in m, forces in N, angles in rad. Derived from plane statics; force
and travel agree by virtual work.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cringle.errors import InputError

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Bridle:
    """Lengths of a split backstay, untouched.

    Parameters
    ----------
    half_width : float
        b, from the middle of the transom to a leg's foot. [m]
    leg : float
        Length of a leg (half of one continuous line). [m]
    upper : float
        Length of the upper leg. [m]
    """

    half_width: float
    leg: float
    upper: float

    def __post_init__(self) -> None:
        if not (self.leg > self.half_width > 0.0 and self.upper > 0.0):
            raise InputError(
                f"bridle: a leg of {self.leg:g} m cannot span half a width of {self.half_width:g} m",
                next_step="measure the leg along the wire, and the half width along the transom",
            )

    @property
    def apex_height(self) -> float:
        """Height of the apex above the middle of the transom before any pull. [m]."""
        return float(np.sqrt(self.leg**2 - self.half_width**2))

    def longer_v(self, shorter_upper: float) -> Bridle:
        """Return the same boat's bridle with a shorter upper leg and legs longer to match."""
        apex = self.apex_height + shorter_upper
        return Bridle(self.half_width, float(np.hypot(apex, self.half_width)), self.upper - shorter_upper)


class BridleKind(Protocol):
    """How a kind of bridle answers a pull."""

    def largest_pull(self, bridle: Bridle) -> float:
        """Return the pull at which the puller meets the transom. [m]."""

    def take_up(self, bridle: Bridle, pull: ArrayLike) -> Array:
        """Return how much of the upper leg a pull takes up. [m]."""

    def advantage(self, bridle: Bridle, pull: ArrayLike) -> Array:
        """Return upper-leg tension over the force on the puller."""

    def leg_share(self, bridle: Bridle, pull: ArrayLike) -> Array:
        """Return tension in a leg over upper-leg tension."""


def _slant(height: ArrayLike, half_width: float) -> Array:
    """Return g(x) = sqrt(x^2 + b^2) - x."""
    value = np.asarray(height, dtype=np.float64)
    return np.asarray(np.hypot(value, half_width) - value)


class Ring:
    """Two legs drawn together by a ring or block pair hauled down from the apex."""

    def largest_pull(self, bridle: Bridle) -> float:
        """Return the pull at which the ring meets the transom. [m]."""
        return bridle.apex_height

    def take_up(self, bridle: Bridle, pull: ArrayLike) -> Array:
        """Return g(r) - g(h0), r = h0 - pull. [m]."""
        height = bridle.apex_height - np.asarray(pull, dtype=np.float64)
        return np.asarray(_slant(height, bridle.half_width) - _slant(bridle.apex_height, bridle.half_width))

    def half_angle(self, bridle: Bridle, pull: ArrayLike) -> Array:
        """Return the angle of a leg below the ring from the middle line. [rad]."""
        height = bridle.apex_height - np.asarray(pull, dtype=np.float64)
        return np.arctan2(bridle.half_width, height)

    def advantage(self, bridle: Bridle, pull: ArrayLike) -> Array:
        """Return T / F = 1 / (1 - cos b), no friction."""
        return np.asarray(1.0 / (1.0 - np.cos(self.half_angle(bridle, pull))))

    def leg_share(self, bridle: Bridle, pull: ArrayLike) -> Array:
        """Return one half: both legs run together above the ring."""
        return np.full_like(self.advantage(bridle, pull), 0.5)


class ContinuousLine:
    """One bridle line through a block at the apex, hauled at one quarter."""

    def _height(self, bridle: Bridle, pull: ArrayLike) -> Array:
        half = bridle.leg - 0.5 * np.asarray(pull, dtype=np.float64)
        return np.asarray(np.sqrt(np.maximum(half**2 - bridle.half_width**2, 1e-12)))

    def largest_pull(self, bridle: Bridle) -> float:
        """Return the line hauled when the apex block meets the transom. [m]."""
        return 2.0 * (bridle.leg - bridle.half_width)

    def take_up(self, bridle: Bridle, pull: ArrayLike) -> Array:
        """Return how far the apex comes down. [m]."""
        return np.asarray(bridle.apex_height - self._height(bridle, pull))

    def advantage(self, bridle: Bridle, pull: ArrayLike) -> Array:
        """Return T / t = 2 cos b, b the half angle at the apex."""
        height = self._height(bridle, pull)
        return np.asarray(2.0 * height / np.hypot(height, bridle.half_width))

    def leg_share(self, bridle: Bridle, pull: ArrayLike) -> Array:
        """Return 1 / (2 cos b): the line's own tension over the upper leg's."""
        return np.asarray(1.0 / self.advantage(bridle, pull))


KINDS: dict[str, BridleKind] = {"ring": Ring(), "line": ContinuousLine()}
"""Both kinds by the word in the boat file."""


def bridle_kind(name: str) -> BridleKind:
    """Return the kind of that name.

    Parameters
    ----------
    name : str
        ``ring`` or ``line``.

    Returns
    -------
    BridleKind
        Its statics.
    """
    if name not in KINDS:
        raise InputError(
            f"bridle kind: found {name!r}, accepted: {', '.join(KINDS)}", next_step="mend boat.toml"
        )
    return KINDS[name]


def ring_equilibrium(
    bridle: Bridle,
    ring_height: float,
    *,
    distance: float,
    upper_stiffness: float,
    leg_stiffness: float,
    tip_compliance: float,
) -> tuple[float, float, float]:
    """Return tension, ring force and apex height of a ring bridle whose wires and mast give.

    Parameters
    ----------
    bridle : Bridle
        Unstressed lengths.
    ring_height : float
        Ring above the middle of the transom. [m]
    distance : float
        Masthead to the middle of the transom, unloaded. [m]
    upper_stiffness, leg_stiffness : float
        E A of the upper leg and of one leg. [N]
    tip_compliance : float
        Movement of the masthead along the stay for each newton. [m/N]

    Returns
    -------
    tension, ring_force, apex_height : float
        [N], [N], [m]; tension 0 when slack.

    Notes
    -----
    A leg carries T/2 along all its length, so D - c T - h = a (1 + T/EA) and h = r + l (1 + T/(2 EA_l)) -
    sqrt(r^2 + b^2) are linear in T for a given ring height.
    """
    spread = float(np.hypot(ring_height, bridle.half_width))
    spare = distance - ring_height - bridle.leg + spread - bridle.upper
    give = tip_compliance + bridle.leg / (2.0 * leg_stiffness) + bridle.upper / upper_stiffness
    tension = max(spare / give, 0.0)
    apex = ring_height + bridle.leg * (1.0 + tension / (2.0 * leg_stiffness)) - spread
    return tension, tension * (1.0 - ring_height / spread), apex


def hand_load(force: ArrayLike, parts: int, efficiency: float) -> Array:
    """Return the load in the hand at the end of a purchase: F / (n eta). [N]."""
    return np.asarray(np.asarray(force, dtype=np.float64) / (parts * efficiency))
