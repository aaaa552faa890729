"""Races with known truth: logs of several boats made from a polar, for demos, tests and scale."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from typing import Final

import numpy as np
import polars as pl
from numpy.typing import NDArray

from cringle.errors import NotConvergedError
from cringle.track.frozen_polar import FrozenPolar
from cringle.track.simulator.fixes import Fixes, make_fixes
from cringle.track.simulator.ledger import true_ledger
from cringle.track.simulator.modes import Modes, make_modes
from cringle.track.simulator.noise import SimWind, make_wind
from cringle.track.simulator.options import SimOptions
from cringle.track.simulator.sail import Sailed, sail
from cringle.track.simulator.truth import BoatTruth, TrueHandling, TrueLeg, TrueManoeuvre
from cringle.units import knots_to_metres_per_second, metres_per_second_to_knots, wrap_signed_degrees

Array = NDArray[np.float64]

SPARE: Final = 1.45
"""The wind is made for so many times the time that a race at target speed would take."""

SPARE_S: Final = 300

LEAST_MADE_GOOD: Final = 0.3
"""A leg is not expected to take longer than at this speed made good [m/s]."""

NAMES: Final = ("Brindle", "Sorrel", "Dapple", "Skewbald", "Roan", "Dun", "Grizzle", "Piebald")
"""Invented names of boats; with more boats a number is added."""


@dataclass(frozen=True)
class SimBoat:
    """One simulated boat: her name, her fixes as they would be logged, and the truth."""

    name: str
    fixes: Fixes
    truth: BoatTruth

    def track(self) -> pl.DataFrame:
        """Return the fixes as a tidy track."""
        return self.fixes.track()


@dataclass(frozen=True)
class Fleet:
    """The boats of one simulated race.

    Parameters
    ----------
    boats : tuple of SimBoat
        Each with log and truth.
    options : SimOptions
        What was asked for.
    seed : int
        Same seed, same race.
    """

    boats: tuple[SimBoat, ...]
    options: SimOptions
    seed: int

    @property
    def tracks(self) -> dict[str, pl.DataFrame]:
        """Tidy track of each boat by name."""
        return {one.name: one.track() for one in self.boats}

    @property
    def truth(self) -> dict[str, BoatTruth]:
        """Truth of each boat by name."""
        return {one.name: one.truth for one in self.boats}

    @property
    def fixes(self) -> int:
        """Number of fixes in all."""
        return sum(one.fixes.rows for one in self.boats)


def simulate(options: SimOptions, polar: FrozenPolar, seed: int) -> Fleet:
    """Return a race of several boats on a windward-leeward course, with everything that is true about it.

    Parameters
    ----------
    options : SimOptions
        Course, wind, crew, sensors.
    polar : FrozenPolar
        What the boats can do, and the targets their crews sail to.
    seed : int
        Same seed and options, same race.

    Returns
    -------
    Fleet
        Tracks and truth.

    Raises
    ------
    NotConvergedError
        A boat does not get to the finish, for the wind is too light for the stream.
    """
    wind_rng, boat_rng = (np.random.default_rng([seed, part]) for part in (1, 2))
    rows = _rows(options, polar)
    wind = make_wind(options.weather, wind_rng, boats=options.boats, rows=rows)
    modes = make_modes(options, polar, wind, boat_rng)
    boats = tuple(_boat(options, polar, modes, wind, (number, seed)) for number in range(options.boats))
    return Fleet(boats, options, seed)


def boat_name(number: int) -> str:
    """Return the name of a boat, counted from 0."""
    name = NAMES[number % len(NAMES)]
    return name if number < len(NAMES) else f"{name}-{number // len(NAMES) + 1}"


def _rows(options: SimOptions, polar: FrozenPolar) -> int:
    """Return the seconds of wind to make."""
    wind = 0.85 * options.weather.wind_kn
    lap = sum(
        options.leg_m
        / max(knots_to_metres_per_second(float(polar.target(wind, upwind=up).made_good_kn)), LEAST_MADE_GOOD)
        for up in (True, False)
    )
    before = options.dock_s + options.tow_s + options.wait_s + options.recalls * (180.0 + options.wait_s)
    return int(before + SPARE * options.laps * lap + options.after_s + SPARE_S)


def _boat(
    options: SimOptions, polar: FrozenPolar, modes: Modes, wind: SimWind, which: tuple[int, int]
) -> SimBoat:
    number, seed = which
    sail_rng, log_rng = (np.random.default_rng([seed, part, number]) for part in (3, 4))
    sailed = sail(options, modes, wind, boat=number, rng=sail_rng)
    if not sailed.whole:
        raise NotConvergedError(
            f"simulated boat {number + 1} does not get round the course in time",
            next_step="give more wind, less stream or a shorter leg",
        )
    fixes = make_fixes(options, sailed, wind, boat=number, rng=log_rng)
    truth = _truth(options, polar, sailed, wind, modes, number)
    return SimBoat(truth.name, fixes, truth)


def _truth(
    options: SimOptions, polar: FrozenPolar, sailed: Sailed, wind: SimWind, modes: Modes, number: int
) -> BoatTruth:
    rows = sailed.speed.size
    angle = wrap_signed_degrees(sailed.angle_deg)
    heel = -np.sign(np.where(angle == 0.0, 1.0, angle)) * sailed.roll_deg

    return BoatTruth(
        name=boat_name(number),
        start=options.start,
        twd_deg=wind.from_deg[:rows],
        tws_kn=wind.strength_kn[number, :rows],
        twa_deg=angle,
        speed_kn=metres_per_second_to_knots(sailed.speed),
        heel_deg=heel,
        right_m=sailed.right,
        up_m=sailed.up,
        manoeuvres=tuple(
            TrueManoeuvre(options.start + timedelta(seconds=one.row), one.kind, one.metres_lost)
            for one in sailed.manoeuvres
        ),
        legs=tuple(
            TrueLeg(
                one.kind,
                options.start + timedelta(seconds=one.start),
                options.start + timedelta(seconds=one.end),
                one.mark,
            )
            for one in sailed.legs
        ),
        gun=options.start + timedelta(seconds=sailed.gun),
        starts=tuple(options.start + timedelta(seconds=row) for row in sailed.starts),
        finished=sailed.whole,
        heel_bias_deg=float(modes.heel_bias_deg[number]),
        ledger_s=true_ledger(polar, sailed, wind, number),
        handlings=tuple(
            TrueHandling(options.start + timedelta(seconds=one.row), one.kind, one.metres_lost)
            for one in sailed.handlings
        ),
    )
