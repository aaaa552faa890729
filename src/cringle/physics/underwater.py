"""Drag of the whole underwater body that depends on speed and heel alone: exact, and tabulated for speed.

Everything but induced drag and waves is here: hull, heeled increments, profile drag, the keel's wave drag. A
polar asks for this some ten million times for one boat, and one call of the exact functions costs more than
a hundred table reads. But for a given hull the drag is a sum of four curves in speed, each times a known
function of heel. `HullCurves` makes the four once on a uniform speed grid (2,401 points, about 5 ms), where
finding the place is one multiplication and not a search; `HeelDragTable` goes one step further and holds the
sum for a fixed list of heels.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cringle.errors import InputError, OutOfRangeError
from cringle.physics.arrays import Array, as_array, not_negative, require_positive
from cringle.physics.bulb_waves import wave_making_share
from cringle.physics.foils import Appendages, keel_residuary, keel_residuary_per_heel, profile_drag
from cringle.physics.friction import heeled_area_change
from cringle.physics.hull_drag import RECOMMENDED_BLEND, Blend, upright_drag
from cringle.physics.hull_form import HullForm, froude_number
from cringle.physics.residuary import heel_growth, heeled_residuary_at_20
from cringle.physics.water import Water
from cringle.physics.water_assumptions import WaterAssumptions, default_water_assumptions

TABLE_TOP_SPEED = 12.0
"""Highest speed of the tables [m/s]; about Froude 1.5 for a 7 m boat."""

TABLE_STEP = 0.005
"""Speed step of the tables [m/s]; linear interpolation then errs by less than 0.02 N."""


@dataclass(frozen=True)
class UnderwaterBody:
    """Canoe body and appendages in their water.

    Parameters
    ----------
    hull : HullForm
        The canoe body.
    appendages : Appendages
        Keel, rudder, bulb.
    water : Water
        Density and viscosity.
    blend : Blend
        Ramps between the drag methods.
    assumptions : WaterAssumptions
        Factors on the drag, roughness; the ensemble and a fit replace them.
    """

    hull: HullForm
    appendages: Appendages
    water: Water
    blend: Blend = RECOMMENDED_BLEND
    assumptions: WaterAssumptions = field(default_factory=default_water_assumptions)


@dataclass(frozen=True)
class SpeedTerms:
    """The four curves in speed whose sum is the drag. Arrays of the shape of the speed.

    Parameters
    ----------
    upright : array
        Everything at no heel. [N]
    friction : array
        What changes with the heeled wetted area. [N]
    heeled : array
        Residuary increment at 20 degrees; grows as `residuary.heel_growth`. [N]
    keel : array
        Wave drag of the keel per radian of heel. [N/rad]
    planing_share : array
        Weight of the fast methods, 0 to 1.
    """

    upright: Array
    friction: Array
    heeled: Array
    keel: Array
    planing_share: Array


def speed_terms(body: UnderwaterBody, speed: ArrayLike) -> SpeedTerms:
    """Return the four curves at given speeds, by the exact functions.

    Parameters
    ----------
    body : UnderwaterBody
        Hull, appendages, water.
    speed : float or array
        Through the water, not negative. [m/s]

    Notes
    -----
    The planing methods hold the whole bare hull's drag and know no keel waves: the wave drag of the keel and
    the change of friction with heel fade out with the planing share. The heeled residuary increment is kept
    (held above Froude 0.55; judgement).
    """
    velocity = not_negative("speed", speed)
    hull, keel, water = body.hull, body.appendages.keel, body.water
    fn = froude_number(velocity, hull.length_waterline)
    given = body.assumptions
    drag = upright_drag(hull, water, velocity, blend=body.blend, roughness=given.roughness)
    slow = 1.0 - drag.planing_share
    fast = drag.total - slow * drag.displacement
    bare = given.hull_drag_factor * (drag.total + (given.planing_drag_factor - 1.0) * fast)
    profile = given.profile_drag_factor * profile_drag(body.appendages, water, velocity)
    share = wave_making_share(hull, body.appendages, fn, bulb_decay=given.bulb_wave_decay)
    keel_waves = given.keel_wave_factor * slow * share
    weight = water.weight(hull.volume_canoe)
    return SpeedTerms(
        upright=bare + profile + keel_waves * keel_residuary(hull, keel, water, fn),
        friction=given.hull_drag_factor * slow * drag.friction,
        heeled=given.heeled_drag_factor * weight * heeled_residuary_at_20(hull, fn),
        keel=keel_waves * keel_residuary_per_heel(hull, keel, water, fn),
        planing_share=drag.planing_share,
    )


def underwater_drag(body: UnderwaterBody, speed: ArrayLike, heel: ArrayLike) -> Array:
    """Return the drag of the underwater body without induced drag and waves, in N, by the exact functions.

    Parameters
    ----------
    body : UnderwaterBody
        Hull, appendages, water.
    speed : float or array
        Through the water, not negative. [m/s]
    heel : float or array, broadcasts with the speed
        Either side; the drag is even in heel. [rad]
    """
    terms = speed_terms(body, speed)
    area, growth, tilt = _heel_factors(body.hull, heel)
    return terms.upright + terms.friction * area + terms.heeled * growth + terms.keel * tilt


def _heel_factors(hull: HullForm, heel: ArrayLike) -> tuple[Array, Array, Array]:
    return heeled_area_change(hull, heel), heel_growth(heel), np.abs(as_array(heel))


class HeelFactors(NamedTuple):
    """Change of wetted area, growth of the residuary increment, and heel without its sign [rad]."""

    area: Array
    growth: Array
    tilt: Array


@dataclass(frozen=True)
class HullCurves:
    """The four curves of one underwater body on a uniform speed grid; see the top of this file for why.

    Parameters
    ----------
    body : UnderwaterBody
        What the curves are of.
    step : float
        Speed step. [m/s]
    terms : SpeedTerms
        Values at ``0, step, 2 step ...``.
    """

    body: UnderwaterBody
    step: float
    terms: SpeedTerms

    @property
    def top_speed(self) -> float:
        """Highest speed of the grid, in m/s."""
        return self.step * (self.terms.upright.size - 1)

    def heel_factors(self, heel: ArrayLike) -> HeelFactors:
        """Return what heel does to the curves, to be kept where many speeds are tried at one heel [rad]."""
        return HeelFactors(*_heel_factors(self.body.hull, heel))

    def drag(self, speed: ArrayLike, heel: ArrayLike | HeelFactors) -> Array:
        """Return what `underwater_drag` returns, within 0.02 N up to the top speed.

        Parameters
        ----------
        speed : float or array
            Finite; held at the top speed above it. [m/s]
        heel : float, array or HeelFactors, broadcasts with the speed
            [rad]
        """
        place, share = _place(as_array(speed), self.step, self.terms.upright.size)
        factors = heel if isinstance(heel, HeelFactors) else self.heel_factors(heel)
        area, growth, tilt = factors
        terms = self.terms
        return (
            _between(terms.upright, place, share)
            + _between(terms.friction, place, share) * area
            + _between(terms.heeled, place, share) * growth
            + _between(terms.keel, place, share) * tilt
        )

    def at_heels(self, heels: ArrayLike) -> HeelDragTable:
        """Return the drag tabulated for a fixed list of heels.

        Parameters
        ----------
        heels : array, shape (h,)
            [rad]
        """
        angles = np.atleast_1d(as_array(heels))
        area, growth, tilt = (factor[:, np.newaxis] for factor in _heel_factors(self.body.hull, angles))
        terms = self.terms
        values = terms.upright + terms.friction * area + terms.heeled * growth + terms.keel * tilt
        return HeelDragTable(angles, self.step, np.ascontiguousarray(values))


@dataclass(frozen=True)
class HeelDragTable:
    """Drag against speed for a list of heels, for the inner loop of a solver.

    Parameters
    ----------
    heels : array, shape (h,)
        [rad]
    step : float
        Speed step. [m/s]
    values : array, shape (h, n)
        [N]
    """

    heels: Array
    step: float
    values: Array

    def drag(self, speed: Array, heel_index: NDArray[np.intp]) -> Array:
        """Return the drag, in N, at speeds and places in the list of heels.

        Parameters
        ----------
        speed : array
            Finite, not negative; held at the top speed above it. [m/s]
        heel_index : integer array, broadcasts with the speed
            Place in `heels`.
        """
        count = self.values.shape[1]
        place, share = _place(speed, self.step, count)
        return _between(self.values.reshape(-1), place + heel_index * count, share)

    def drag_and_slope(self, speed: Array, heel_index: NDArray[np.intp]) -> tuple[Array, Array]:
        """Return the drag, in N, and its slope with speed, in N s/m, for Newton's method.

        Parameters
        ----------
        speed : array
            Finite, not negative. [m/s]
        heel_index : integer array, broadcasts with the speed
            Place in `heels`.
        """
        count = self.values.shape[1]
        place, share = _place(speed, self.step, count)
        flat, where = self.values.reshape(-1), place + heel_index * count
        low = flat[where]
        rise = flat[where + 1] - low
        return low + rise * share, rise / self.step


def hull_curves(
    body: UnderwaterBody, *, top_speed: float = TABLE_TOP_SPEED, step: float = TABLE_STEP
) -> HullCurves:
    """Return the curves of an underwater body, computed once.

    Parameters
    ----------
    body : UnderwaterBody
        Hull, appendages, water.
    top_speed, step : float
        End and step of the speed grid. [m/s]

    Raises
    ------
    InputError
        Step or top speed is not positive, or the grid would hold more than a million points.
    """
    require_positive(top_speed=top_speed, step=step)
    points = int(np.ceil(top_speed / step - 1e-9)) + 1
    if not 2 <= points <= 1_000_000:
        raise OutOfRangeError(
            "points of the speed grid", points, 2, 1_000_000, next_step="choose another step"
        )
    terms = speed_terms(body, step * np.arange(points))
    if not np.all(np.isfinite(terms.upright)):
        raise InputError(
            "the drag of this hull is not a finite number at every speed",
            next_step="check the hull's dimensions against each other",
        )
    return HullCurves(body, step, terms)


def _place(speed: Array, step: float, points: int) -> tuple[NDArray[np.intp], Array]:
    scaled = np.clip(speed * (1.0 / step), 0.0, points - 1.0)
    place = np.minimum(scaled.astype(np.intp), points - 2)
    return place, scaled - place


def _between(values: Array, place: NDArray[np.intp], share: Array) -> Array:
    low = values[place]
    return as_array(low + (values[place + 1] - low) * share)
