"""Drag of the canoe body over the whole speed range: the smooth blend of three published methods."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cringle.errors import InputError
from cringle.physics.arrays import Array, as_array, not_negative, smooth_step
from cringle.physics.friction import hull_friction
from cringle.physics.hull_form import HullForm, RangeNote, froude_number, volume_froude_number
from cringle.physics.planing import planing_bottom_of, planing_short_form
from cringle.physics.preplaning import preplaning_range_notes, preplaning_resistance
from cringle.physics.residuary import residuary_2008, residuary_mean, series_range_notes
from cringle.physics.water import Water


@dataclass(frozen=True)
class Blend:
    """Where one method gives way to the next, as ends of smooth ramps.

    Parameters
    ----------
    froude_low, froude_high : float
        From the displacement sum to the pre-planing regression, in Froude number on Lwl.
    volume_froude_low, volume_froude_high : float
        From the pre-planing regression to the planing method, in volume Froude number.
    """

    froude_low: float = 0.45
    froude_high: float = 0.60
    volume_froude_low: float = 1.6
    volume_froude_high: float = 2.0

    def __post_init__(self) -> None:
        if not (
            0.0 < self.froude_low < self.froude_high
            and 0.0 < self.volume_froude_low < self.volume_froude_high
        ):
            raise InputError(
                f"blend: found {self.froude_low:g} to {self.froude_high:g} and {self.volume_froude_low:g} to "
                f"{self.volume_froude_high:g}, accepted two rising pairs above 0",
                next_step="give the lower end of each ramp first",
            )


RECOMMENDED_BLEND = Blend()
"""Judgement: each ramp lies where its two methods agree within 7 % for a light 7 m hull."""

RELATIVE_ERROR = ((0.0, 0.08), (0.45, 0.08), (0.50, 0.10), (0.60, 0.10), (0.70, 0.15), (2.0, 0.15))
"""Froude number, and one standard deviation of the blended drag over its value (judgement: 6 to 10 % in
displacement sailing, 10 % in the hump, 15 % above; a towing test itself delivers 4 %)."""


@dataclass(frozen=True)
class UprightDrag:
    """Bare-hull drag upright and what it is made of. Arrays of the shape of the speed, in N.

    Parameters
    ----------
    total : array
        The blend.
    friction, residuary : array
        The two parts of the displacement sum.
    preplaning, planing : array
        The other two methods, held at the ends of their range.
    planing_share : array
        Weight of the two fast methods together, 0 to 1.
    standard_deviation : array
        Of the total.
    in_range : bool array
        Whether every method that carries weight at this speed is inside its own range.
    """

    total: Array
    friction: Array
    residuary: Array
    preplaning: Array
    planing: Array
    planing_share: Array
    standard_deviation: Array
    in_range: NDArray[np.bool_]

    @property
    def displacement(self) -> Array:
        """Friction and residuary resistance together, in N."""
        return self.friction + self.residuary


def upright_drag(
    hull: HullForm,
    water: Water,
    speed: ArrayLike,
    *,
    blend: Blend = RECOMMENDED_BLEND,
    roughness: float = 0.0,
) -> UprightDrag:
    """Return the drag of the bare hull upright, smooth from rest to planing.

    Parameters
    ----------
    hull : HullForm
        The canoe body.
    water : Water
        Density and viscosity.
    speed : float or array
        Through the water, not negative. [m/s]
    blend : Blend
        The ramps.
    roughness : float
        Added to the friction coefficient of the displacement and pre-planing methods.

    Notes
    -----
    ``R = (1 - w1) (Rf + Rr) + w1 [(1 - w2) R_pre + w2 R_plan]``, w1 a smooth step in Froude number, w2 in
    volume Froude number. Rr is the mean of the two systematic-series regressions, R_pre the pre-planing
    regression of transom-stern hulls, R_plan the short form of the planing equations. Not monotone by
    construction; `is_monotone` tests it for a hull.

    References
    ----------
    .. [1] J.A. Keuning, U.B. Sonnenberg, HISWA, 1998; J.A. Keuning, M. Katgert, Innov'Sail, 2008.
    .. [2] J.A. Mercier, D. Savitsky, SIT-DL-73-1667, 1973; D. Savitsky, Marine Technology 1(1), 1964.
    """
    velocity = not_negative("speed", speed)
    fn = froude_number(velocity, hull.length_waterline)
    fnv = volume_froude_number(velocity, hull.volume_canoe)
    weight = water.weight(hull.volume_canoe)
    w1 = smooth_step(fn, blend.froude_low, blend.froude_high)
    w2 = smooth_step(fnv, blend.volume_froude_low, blend.volume_froude_high)
    friction = hull_friction(hull, water, velocity, roughness=roughness)
    series = residuary_mean(hull, fn)
    pre = preplaning_resistance(hull, water, velocity, roughness=roughness)
    plane = planing_short_form(planing_bottom_of(hull, water), water, velocity)
    slow = friction + weight * series.coefficient
    fast = (1.0 - w2) * weight * pre.coefficient + w2 * plane.resistance
    total = (1.0 - w1) * slow + w1 * fast
    disagreement = (1.0 - w1) * weight * series.half_difference
    return UprightDrag(
        total=total,
        friction=friction,
        residuary=weight * series.coefficient,
        preplaning=weight * pre.coefficient,
        planing=plane.resistance,
        planing_share=w1,
        standard_deviation=np.hypot(relative_error(fn) * total, disagreement),
        in_range=_all_in_range(w1, w2, series.in_range, pre.in_range, plane.in_range),
    )


def _all_in_range(
    w1: Array,
    w2: Array,
    series: NDArray[np.bool_],
    pre: NDArray[np.bool_],
    plane: NDArray[np.bool_],
) -> NDArray[np.bool_]:
    """Return whether each method with any weight is in its range."""
    slow_ok = series | (w1 >= 1.0)
    pre_ok = pre | (w1 <= 0.0) | (w2 >= 1.0)
    plane_ok = plane | (w1 * w2 <= 0.0)
    return np.asarray(slow_ok & pre_ok & plane_ok, dtype=np.bool_)


def drag_range_notes(hull: HullForm) -> tuple[RangeNote, ...]:
    """Return one note for every way in which a hull lies outside what the methods were made for."""
    return series_range_notes(hull) + preplaning_range_notes(hull)


def relative_error(froude: ArrayLike) -> Array:
    """Return one standard deviation of the blended drag over its value.

    Parameters
    ----------
    froude : float or array
        On Lwl.
    """
    knots, values = zip(*RELATIVE_ERROR, strict=True)
    return as_array(np.interp(as_array(froude), knots, values))


def is_monotone(
    hull: HullForm, water: Water, *, highest_speed: float, blend: Blend = RECOMMENDED_BLEND
) -> bool:
    """Return whether the blended drag never falls with speed, up to a speed in m/s.

    A hull far from those behind the methods can have a dip where two of them disagree; the force balance
    then has more than one answer for a reason that is not physics.
    """
    speed = np.linspace(0.0, highest_speed, 1001)
    return bool(np.all(np.diff(upright_drag(hull, water, speed, blend=blend).total) >= 0.0))


def displacement_upper_bound(hull: HullForm, water: Water, speed: ArrayLike) -> Array:
    """Return friction plus the 2008 residuary resistance, in N, up to Froude 0.70; NaN above.

    The series has no wide transoms, so for a hull with one this is the upper bound between 0.60 and 0.70.

    Parameters
    ----------
    hull : HullForm
        The canoe body.
    water : Water
        Density and viscosity.
    speed : float or array
        Not negative. [m/s]
    """
    coefficient = residuary_2008(hull, froude_number(speed, hull.length_waterline))
    return hull_friction(hull, water, speed) + water.weight(hull.volume_canoe) * coefficient
