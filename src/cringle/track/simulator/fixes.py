"""From a simulated boat's seconds to the fixes that her receiver and sensors would log."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
import polars as pl
from numpy.typing import NDArray

from cringle.physics.wind import apparent_wind
from cringle.track.distance import radii
from cringle.track.schema import TIME, TRACK_SCHEMA
from cringle.track.simulator.noise import SimWind, wander
from cringle.track.simulator.options import SimOptions, SimSensors
from cringle.track.simulator.sail import Sailed
from cringle.units import (
    degrees_to_radians,
    knots_to_metres_per_second,
    metres_per_second_to_knots,
    radians_to_degrees,
    wrap_degrees,
    wrap_signed_degrees,
)

Array = NDArray[np.float64]

MICROSECONDS: Final = 1_000_000
JUMP_S: Final = 3600
"""How far a faulty clock leaps ahead half way [s]."""

BACK_S: Final = 2
"""How far a faulty clock steps back, at a third and at two thirds [s]."""


@dataclass(frozen=True)
class Fixes:
    """One boat's fixes in the order in which they would be written, and the stamps they would carry.

    Parameters
    ----------
    seconds : array, shape (n,)
        True time since the first second of the log.
    stamps_us : integer array, shape (n,)
        Unix time as stamped, with the clock's faults. [us]
    columns : dict of str to array
        Track columns; NaN where not measured.
    """

    seconds: Array
    stamps_us: NDArray[np.int64]
    columns: dict[str, Array]

    @property
    def rows(self) -> int:
        """Number of fixes."""
        return int(self.seconds.size)

    def track(self) -> pl.DataFrame:
        """Return the fixes as a tidy track, sorted by their stamps, one row for each stamp."""
        time = (
            pl.Series("time", self.stamps_us).cast(pl.Datetime("us")).dt.replace_time_zone("UTC").cast(TIME)
        )
        table = pl.DataFrame({"time": time, **self.columns}).with_columns(
            pl.lit(None, kind).alias(name)
            for name, kind in TRACK_SCHEMA.items()
            if name != "time" and name not in self.columns
        )
        tidy = table.select(list(TRACK_SCHEMA)).with_columns(pl.exclude("time").fill_nan(None))
        if tidy["time"].is_sorted() and not (np.diff(self.stamps_us) == 0).any():
            return tidy
        return tidy.sort("time", maintain_order=True).unique("time", keep="first", maintain_order=True)


def make_fixes(
    options: SimOptions, sailed: Sailed, wind: SimWind, *, boat: int, rng: np.random.Generator
) -> Fixes:
    """Return what the receiver and the sensors of one boat log."""
    sensors = options.sensors
    clock = np.arange(0.0, sailed.speed.size - 1.0, 1.0 / sensors.rate_hz)
    clock = clock[_kept(sensors, clock, rng)]
    between = _Between.of(clock)
    columns = _motion(options, sailed, between, rng)
    if sensors.heel:
        noise = sensors.heel_noise_deg * rng.standard_normal(clock.size)
        roll = between.line(sailed.roll_deg) + sensors.heel_offset_deg + noise
        columns["roll"] = sensors.heel_sign * roll
    if sensors.instruments:
        columns |= _instruments(sailed, wind, between, boat=boat, rng=rng)
    order = slice(None, None, -1) if sensors.clock == "reversed" else slice(None)
    stamps = _stamps(options, clock)
    return Fixes(clock[order], stamps[order], {name: one[order] for name, one in columns.items()})


@dataclass(frozen=True)
class _Between:
    """Fixes between whole seconds: the second before, and how far on [s]."""

    row: NDArray[np.intp]
    part: Array

    @classmethod
    def of(cls, clock: Array) -> _Between:
        row = clock.astype(np.intp)
        return cls(row, clock - row)

    def line(self, values: Array) -> Array:
        """Return values on a straight line between seconds."""
        low = values[self.row]
        return np.asarray(low + self.part * (values[self.row + 1] - low))

    def path(self, position: Array, velocity: Array) -> Array:
        """Return positions under a velocity that is a straight line between seconds."""
        begin = velocity[self.row]
        change = velocity[self.row + 1] - begin
        return np.asarray(position[self.row] + self.part * (begin + 0.5 * self.part * change))


def _kept(sensors: SimSensors, clock: Array, rng: np.random.Generator) -> NDArray[np.bool_]:
    """Return which fixes are logged: whole pauses are dropped."""
    keep = np.ones(clock.size, dtype=bool)
    if sensors.dropped_share > 0.0 and clock.size > 2:
        pauses = round(sensors.dropped_share * clock[-1] / sensors.drop_s)
        begins = rng.uniform(0.0, clock[-1], pauses)
        for begin, length in zip(begins, rng.exponential(sensors.drop_s, pauses), strict=True):
            keep[np.searchsorted(clock, begin) : np.searchsorted(clock, begin + length)] = False
        keep[[0, -1]] = True
    return keep


def _motion(
    options: SimOptions, sailed: Sailed, between: _Between, rng: np.random.Generator
) -> dict[str, Array]:
    """Return positions, speed and course over ground with the errors of a receiver."""
    sensors, count = options.sensors, between.row.size
    axis = degrees_to_radians(options.weather.wind_from_deg)
    metres = [
        between.path(one, sailed.velocity[:, place]) for place, one in enumerate((sailed.right, sailed.up))
    ]
    speeds = [between.line(sailed.velocity[:, place]) for place in (0, 1)]
    for line in metres:
        slow = wander(rng, (sailed.speed.size,), spread=sensors.gps_drift_m, memory=sensors.gps_drift_s)
        np.add(line, between.line(slow) + sensors.gps_noise_m * rng.standard_normal(count), out=line)
    for line in speeds:
        np.add(line, sensors.gps_speed_m_per_s * rng.standard_normal(count), out=line)
    cosine, sine = np.cos(axis), np.sin(axis)
    north, east = metres[1] * cosine - metres[0] * sine, metres[1] * sine + metres[0] * cosine
    course = np.arctan2(speeds[0], speeds[1]) + axis
    lat, lon = _positions(options, north, east)
    return {
        "lat": lat,
        "lon": lon,
        "sog": metres_per_second_to_knots(np.hypot(speeds[0], speeds[1])),
        "cog": wrap_degrees(radians_to_degrees(course)),
    }


def _positions(options: SimOptions, north: Array, east: Array) -> tuple[Array, Array]:
    """Return latitude and longitude of metres from the start line."""
    north_radius, _ = radii(np.array([options.lat_deg]))
    lat = options.lat_deg + radians_to_degrees(north / north_radius[0])
    _, east_radius = radii(0.5 * (lat + options.lat_deg))
    return lat, wrap_signed_degrees(options.lon_deg + radians_to_degrees(east / east_radius))


def _instruments(
    sailed: Sailed, wind: SimWind, between: _Between, *, boat: int, rng: np.random.Generator
) -> dict[str, Array]:
    """Return heading, speed through the water and apparent wind; leeway is left out."""
    count, rows = between.row.size, sailed.speed.size
    strength = wind.strength_kn[boat, :rows]
    felt = apparent_wind(
        knots_to_metres_per_second(strength),
        degrees_to_radians(sailed.angle_deg),
        boat_speed=sailed.speed,
    )
    shown, bearing = shown_by_vane(
        np.asarray(felt.speed), np.asarray(felt.angle), degrees_to_radians(sailed.roll_deg)
    )
    angle = np.unwrap(bearing)
    course = wind.from_deg[:rows] - sailed.angle_deg
    heading = between.line(np.unwrap(course, period=360.0))
    return {
        "hdg": wrap_degrees(heading + rng.standard_normal(count)),
        "stw": np.maximum(
            metres_per_second_to_knots(between.line(sailed.speed)) + 0.08 * rng.standard_normal(count), 0.0
        ),
        "awa": wrap_signed_degrees(
            radians_to_degrees(between.line(angle)) + 2.0 * rng.standard_normal(count)
        ),
        "aws": metres_per_second_to_knots(between.line(shown)),
    }


def shown_by_vane(speed: Array, angle: Array, heel: Array) -> tuple[Array, Array]:
    """Return speed [m/s] and angle [rad] that a masthead unit shows when it leans over with the mast.

    Notes
    -----
    The unit sees the wind in the plane square to the mast: what blows across the boat is shortened by the
    cosine of heel, the inverse of `cringle.track.wind.instruments.upright_wind`.
    """
    along, across = speed * np.cos(angle), speed * np.sin(angle) * np.cos(heel)
    return np.hypot(along, across), np.arctan2(across, along)


def _stamps(options: SimOptions, clock: Array) -> NDArray[np.int64]:
    """Return the time of each fix as stamped, with the clock's faults."""
    stamped = clock.copy()
    if options.sensors.clock == "jump":
        stamped[clock > clock[-1] / 2.0] += JUMP_S
    if options.sensors.clock == "back":
        for part in (1.0 / 3.0, 2.0 / 3.0):
            stamped[clock > part * clock[-1]] -= BACK_S
    start = round(options.start.timestamp() * MICROSECONDS)
    return np.asarray(start + np.rint(stamped * MICROSECONDS), dtype=np.int64)
