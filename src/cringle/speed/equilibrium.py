"""Boat speed, depowering and crew place where thrust is drag and heeling moment is righting moment."""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cringle.errors import OutOfRangeError
from cringle.physics.leeway import leeway_for_side_force
from cringle.physics.yaw import AirLoad, yaw_balance
from cringle.speed.air_side import AirSide, AirTerms, centre_forward, scales
from cringle.speed.balance import CALM, EXACT_STEPS, Balance, WaterSide, balance_at, cells_at, sail_pressure
from cringle.speed.cases import Case
from cringle.speed.model import SpeedModel
from cringle.speed.roots import bracketed_roots
from cringle.units import degrees_to_radians, knots_to_metres_per_second, metres_per_second_to_knots

Array = NDArray[np.float64]

MOST_WIND_KN = 60.0
"""Winds up to here are answered, most of the strong ones as over-powered."""

TOLERANCE = 1e-6
"""Largest surplus of thrust over the driving force that still counts as equilibrium."""

POLISH = 1e-9
"""What the solver aims for, so that the promise above is kept with room."""

TRIAL_SPEEDS = np.concatenate(([0.0, 0.05, 0.1], np.arange(0.2, 12.01, 0.1)))
"""Speeds tried for a single cell [m/s]."""

PIECE = 2048
"""Cells solved together when every cell has its own heel."""


class Status(IntEnum):
    """What became of a cell.

    Attributes
    ----------
    CONVERGED
        An equilibrium, to `TOLERANCE` of the driving force.
    OVER_POWERED
        More heeling moment than people and hull hold even with the sails as far depowered as they set, or
        more side force than keel and rudder make.
    NOT_REACHABLE
        No stable speed (no wind, too close to it, beyond the top speed of the model), not in the technique's
        range of speed, or not enough wind to heel so far.
    NOT_CONVERGED
        The solver found a bracket and no root in it; such cells are listed.
    """

    CONVERGED = 0
    OVER_POWERED = 1
    NOT_REACHABLE = 2
    NOT_CONVERGED = 3


@dataclass(frozen=True)
class Cells:
    """Equilibria, all arrays of one shape. Every number is NaN where `status` is not CONVERGED.

    Parameters
    ----------
    wind_kn, angle_deg, heel_deg : array
        True wind at 10 m, angle between the course through the water and the wind, heel to leeward.
    boat_speed_kn, vmg_kn : array
        Speed through the water; its part to windward (negative on the run).
    power, flat, twist : array
        1 at full power; lift over full lift; share by which twist lowers the centre of effort.
    crew_place : array
        Mean place of the people over that of full hike: 1 at full hike, 0 on the centreline, negative to
        leeward.
    leeway_deg, rudder_angle_deg, helm_load_n : array
        Leeway to leeward; the last two indicative, positive for weather helm.
    drive_n, side_n, moment_nm : array
        Driving force, force on keel and rudder square to the centre plane, heeling moment.
    spare_nm : array
        Righting moment still unused.
    residual : array
        Thrust less drag over driving force.
    status : integer array
        A `Status`.
    """

    wind_kn: Array
    angle_deg: Array
    heel_deg: Array
    boat_speed_kn: Array
    vmg_kn: Array
    power: Array
    flat: Array
    twist: Array
    crew_place: Array
    leeway_deg: Array
    rudder_angle_deg: Array
    helm_load_n: Array
    drive_n: Array
    side_n: Array
    moment_nm: Array
    spare_nm: Array
    residual: Array
    status: NDArray[np.int8]

    @property
    def shape(self) -> tuple[int, ...]:
        """Shape of every array."""
        return self.status.shape

    @property
    def converged(self) -> NDArray[np.bool_]:
        """Where there is an equilibrium."""
        return np.asarray(self.status == Status.CONVERGED)

    @property
    def depower(self) -> Array:
        """How far the sails are depowered: 0 at full power [1]."""
        return 1.0 - self.power

    @property
    def bow_angle_deg(self) -> Array:
        """True wind angle from the bow: that to the course less the leeway."""
        return self.angle_deg - self.leeway_deg

    def reshaped(self, *shape: int) -> Cells:
        """Return the same cells in another shape."""
        return Cells(**{name: value.reshape(shape) for name, value in vars(self).items()})

    def at(self, where: object) -> Cells:
        """Return the cells at an index or a mask."""
        return Cells(**{name: np.asarray(value[where]) for name, value in vars(self).items()})


def check_grid(wind_kn: ArrayLike, angle_deg: ArrayLike) -> None:
    """Refuse winds and angles that are no winds and angles; NaN is refused too.

    Raises
    ------
    OutOfRangeError
        A wind is not between 0 and 60 kn, or an angle not between -180 and 180 degrees.
    """
    for name, value, low, high, unit in (
        ("true wind speed", wind_kn, 0.0, MOST_WIND_KN, "kn"),
        ("true wind angle", angle_deg, -180.0, 180.0, "deg"),
    ):
        array = np.atleast_1d(np.asarray(value, dtype=np.float64)).ravel()
        wrong = array[~((array >= low) & (array <= high))]
        if wrong.size:
            raise OutOfRangeError(
                name, float(wrong[0]), low, high, unit=unit, next_step="check the unit and the order"
            )


def solve(
    model: SpeedModel,
    wind_kn: ArrayLike,
    angle_deg: ArrayLike,
    *,
    case: Case,
    heel_deg: ArrayLike,
    lower: bool = False,
) -> Cells:
    """Return the equilibrium at given heels.

    Parameters
    ----------
    model : SpeedModel
        The boat.
    wind_kn : float or array
        True wind speed at 10 m, 0 to 60.
    angle_deg : float or array, broadcasts with the above
        True wind angle to the course through the water, either tack.
    case : Case
        The sails.
    heel_deg : float or array, broadcasts with the above
        To leeward.
    lower : bool
        The stable speed below the highest one, where there are two (the hump), instead of the highest.

    Returns
    -------
    Cells
        Of the broadcast shape; scalars give shape ``()``.

    Raises
    ------
    OutOfRangeError
        A wind or an angle is not one.

    Notes
    -----
    Every cell is tried at 0.1 m/s steps, so both branches are seen; the crossing is then polished to 1e-9 of
    the driving force. The technique's range of Froude number is not applied here.
    """
    check_grid(wind_kn, angle_deg)
    wind, angle, heel = np.broadcast_arrays(
        *(np.asarray(one, dtype=np.float64) for one in (wind_kn, angle_deg, heel_deg))
    )
    flat = [one.ravel() for one in (wind, angle, heel)]
    pieces = [
        _solve_piece(model, case, *(one[first : first + PIECE] for one in flat), lower=lower)
        for first in range(0, max(wind.size, 1), PIECE)
    ]
    return joined(pieces).reshaped(*wind.shape)


def joined(pieces: list[Cells]) -> Cells:
    """Return cells end to end."""
    return Cells(**{name: np.concatenate([getattr(one, name) for one in pieces]) for name in vars(pieces[0])})


def _solve_piece(
    model: SpeedModel, case: Case, wind_kn: Array, angle_deg: Array, heel_deg: Array, *, lower: bool
) -> Cells:
    air = model.air(case)
    true_wind = knots_to_metres_per_second(wind_kn)
    wind = np.maximum(true_wind, CALM) * air.wind_ratio()
    angle, heel = degrees_to_radians(np.abs(angle_deg)), degrees_to_radians(heel_deg)
    speeds = TRIAL_SPEEDS[:, None]
    cell = cells_at(model, wind, angle, heel)
    surplus = balance_at(model, air, cell, speeds, steps=4)[0].surplus
    positive = surplus > 0.0
    falls = positive[:-1] & ~positive[1:]
    place, there = _last(falls)
    if lower:
        falls[place, np.arange(place.size)] = False
        place, there = _last(falls)
    there &= true_wind >= CALM
    last = TRIAL_SPEEDS.size - 1
    low = TRIAL_SPEEDS[place] - 0.02
    high = TRIAL_SPEEDS[np.minimum(place + 1, last)] + 0.02
    return polished(model, case, wind_kn, angle_deg, heel_deg, bracket=(np.maximum(low, 0.0), high, there))


def _last(falls: NDArray[np.bool_]) -> tuple[NDArray[np.intp], NDArray[np.bool_]]:
    return falls.shape[0] - 1 - np.argmax(falls[::-1], axis=0), np.any(falls, axis=0, keepdims=True)[0]


def polished(
    model: SpeedModel,
    case: Case,
    wind_kn: Array,
    angle_deg: Array,
    heel_deg: Array,
    *,
    bracket: tuple[Array, Array, NDArray[np.bool_]],
) -> Cells:
    """Return the equilibria inside brackets of boat speed, to all digits.

    Parameters
    ----------
    model, case : SpeedModel, Case
        Boat and sails.
    wind_kn, angle_deg, heel_deg : array, shape (n,)
        The cells.
    bracket : tuple of low, high and there, shape (n,)
        Speeds between which the surplus changes sign [m/s], and where there is such a bracket at all.
    """
    low, high, there = bracket
    air = model.air(case)
    place = np.flatnonzero(there)
    wind = knots_to_metres_per_second(wind_kn[place]) * air.wind_ratio()
    angle, heel = degrees_to_radians(np.abs(angle_deg[place])), degrees_to_radians(heel_deg[place])

    cell = cells_at(model, wind, angle, heel)

    def surplus(speed: Array) -> Array:
        return balance_at(model, air, cell, speed, steps=EXACT_STEPS)[0].surplus

    first = balance_at(model, air, cell, high[place], steps=EXACT_STEPS)[0]
    tolerance = POLISH * np.maximum(np.abs(first.drive), 1e-3)
    speed, _ = bracketed_roots(surplus, low[place], high[place], tolerance=tolerance)
    found = balance_at(model, air, cell, speed, steps=EXACT_STEPS)
    cells = _cells(model, air, speed, found, (wind_kn[place], angle_deg[place], heel_deg[place]))
    return _spread(cells, place, (wind_kn, angle_deg, heel_deg))


def _spread(cells: Cells, place: NDArray[np.intp], given: tuple[Array, Array, Array]) -> Cells:
    """Return all cells, those without a bracket as not reachable."""
    size = given[0].size
    values: dict[str, NDArray[np.float64] | NDArray[np.int8]] = {}
    for name, some in vars(cells).items():
        whole = np.full(size, np.nan)
        whole[place] = some
        values[name] = whole
    status = np.full(size, Status.NOT_REACHABLE, dtype=np.int8)
    status[place] = cells.status
    named = dict(zip(("wind_kn", "angle_deg", "heel_deg"), given, strict=True))
    return Cells(**{**values, **named, "status": status})  # type: ignore[arg-type]  # names are those of Cells


def _cells(
    model: SpeedModel,
    air: AirSide,
    speed: Array,
    state: tuple[Balance, WaterSide, AirTerms],
    given: tuple[Array, Array, Array],
) -> Cells:
    found, water, terms = state
    wind_kn, angle_deg, heel_deg = given
    heel = degrees_to_radians(heel_deg)
    residual = found.surplus / np.where(found.drive == 0.0, 1.0, found.drive)
    status = _status(found, water, residual)
    good = status == Status.CONVERGED
    leeway = leeway_for_side_force(model.plane, model.around.fluid, speed, force=found.side, heel=heel).angle
    wind = knots_to_metres_per_second(wind_kn) * air.wind_ratio()
    forward = centre_forward(air, speed / wind, degrees_to_radians(np.abs(angle_deg)), heel)
    helm = _helm(model, found, speed, forward, heel=heel, leeway=leeway)
    place = model.crew.place_for(found.moment - model.hull_moment(heel), heel)
    flat, twist = scales(air, terms, found.power, water.induced * sail_pressure(air, wind))
    speed_kn = metres_per_second_to_knots(speed)
    values = {
        "boat_speed_kn": speed_kn,
        "vmg_kn": speed_kn * np.cos(degrees_to_radians(angle_deg)),
        "power": found.power,
        "flat": flat,
        "twist": twist,
        "crew_place": place / model.crew.hike_m,
        "leeway_deg": np.degrees(leeway),
        "rudder_angle_deg": np.degrees(helm[0]),
        "helm_load_n": helm[1],
        "drive_n": found.drive,
        "side_n": found.side,
        "moment_nm": found.moment,
        "spare_nm": np.maximum(water.most - found.moment, 0.0),
        "residual": residual,
    }
    kept = {name: np.where(good, value, np.nan) for name, value in values.items()}
    return Cells(wind_kn, angle_deg, heel_deg, **kept, status=status)


def _status(found: Balance, water: WaterSide, residual: Array) -> NDArray[np.int8]:
    """Return what became of each cell."""
    status = np.full(residual.shape, Status.CONVERGED, dtype=np.int8)
    status[np.abs(residual) > TOLERANCE] = Status.NOT_CONVERGED
    short = found.moment < water.least - 1e-6 * np.abs(water.most)
    status[short] = Status.NOT_REACHABLE
    status[found.moment > water.most + 1e-6 * np.abs(water.most)] = Status.NOT_CONVERGED
    status[(found.excess > 1e-6 * np.abs(water.most)) | (found.side > water.holds)] = Status.OVER_POWERED
    return status


def _helm(
    model: SpeedModel, found: Balance, speed: Array, forward: Array, *, heel: Array, leeway: Array
) -> tuple[Array, Array]:
    """Return the indicative rudder angle [rad] and helm load [N]."""
    height = found.moment / np.maximum(found.side, 1e-9) - model.arm_below
    load = AirLoad(found.drive, found.side * np.cos(heel), forward, height)
    helm = yaw_balance(
        model.yaw, load, heel=heel, leeway=leeway, boat_speed=speed, assumptions=model.around.air
    )
    return np.asarray(helm.rudder_angle), np.asarray(helm.helm_load)
