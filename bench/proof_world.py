"""The world of the simulated season: what is true about the boat, and the logs that would be made in it.

Nothing in it is known to the tool: the boat's polar is a draw from the spreads of the speed model's
coefficients, the best numbers lie steps away from the table's, and heel departs from the number aimed at.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from cringle.track.frozen_polar import FrozenPolar
from cringle.track.simulator.fixes import make_fixes
from cringle.track.simulator.modes import make_modes
from cringle.track.simulator.noise import SimWind, make_wind
from cringle.track.simulator.options import SimCrew, SimOptions, SimSensors, SimWeather
from cringle.track.simulator.sail import Sailed
from cringle.track.simulator.simulate import SimBoat, simulate
from cringle.track.simulator.write import write_csv, write_wind, writer_of
from cringle.track.wind.strength import WIND_ENDING
from cringle.units import (
    degrees_to_radians,
    knots_to_metres_per_second,
    metres_to_nautical_miles,
)
from cringle.workflows.afloat.simulate import MEMBERS, book_polar

Floats = NDArray[np.float64]

WINDS_KN = (5.0, 22.0)
MEAN_KN, SHAPE = 11.0, 2.6
"""Wind of an outing: Weibull about this mean, outside of the limits nobody goes out (assumption)."""

OFF_STEPS = (1.0, 2.0)
OFF_ROLES = 4
TUNABLE = (
    "jib_sheet_leeward",
    "jib_track_leeward",
    "jib_halyard",
    "mainsheet",
    "traveller",
    "cunningham",
    "outhaul",
    "backstay",
)
PENALTY = (0.5, 1.5)
"""Progress lost for one step off in `PENALTY_KN` of wind, in m a minute, growing with their square;
the same share of the speed in every wind (assumption: no published figure is known)."""

PENALTY_KN = 11.0
MOST_SHARE = 0.3
"""However wrong the settings are, the boat does not lose more of her speed than this (assumption)."""

OWN_WANDER_STEPS = 0.25
"""How much the best number wanders about its shift from one wind to another, one s.d. (assumption)."""

HABIT_DEG, SPREAD_DEG, HELD_DEG = (4.0, 7.0), 5.0, 2.0
"""Heel beyond the number aimed at, its s.d., and the s.d. of a crew that holds it (assumptions)."""

LEG_M, LAPS = 1100.0, 1
BLOCK_S, BOARD_S, APART_M = 540, 270, 40.0
"""A trial: seconds between two swaps and between two tacks, metres between the boats."""

PAIR_OWN_GUSTS = 0.15
"""Boats so near to each other share more of the gusts than a fleet over a course does (assumption)."""

PAIR_HELM_DEG, PAIR_HABIT_DEG = 2.0, 1.0
"""Two helms who do nothing but sail straight beside each other (assumption)."""


@dataclass(frozen=True)
class Habit:
    """Heel beyond the number aimed at, and its standard deviation [deg]."""

    beyond_deg: float
    spread_deg: float

    def drilled(self, rate: float) -> Habit:
        """Return the habit after an evening with the heel drill."""
        keep = 1.0 - rate
        return Habit(self.beyond_deg * keep, HELD_DEG + (self.spread_deg - HELD_DEG) * keep)


@dataclass(frozen=True)
class Truth:
    """What is true in one season.

    Parameters
    ----------
    seed : int
        Same seed, same season.
    polar : FrozenPolar
        The boat as she is.
    shifts : mapping
        Role to how many steps its best number lies from the table's first one, at `winds_kn`.
    penalties : mapping
        Role to what a step costs in `PENALTY_KN`, times steps squared. [m/min]
    habit : Habit
        The crew's heel at the first outing.
    """

    seed: int
    polar: FrozenPolar
    shifts: Mapping[str, Floats]
    penalties: Mapping[str, float]
    habit: Habit

    def lost_m_per_min(self, wind_kn: float, steps: Mapping[str, float]) -> float:
        """Return the progress lost with every role so many steps from the table's first number."""
        squares = (
            penalty * (steps.get(role, 0.0) - self.best(role, wind_kn)) ** 2
            for role, penalty in self.penalties.items()
        )
        return sum(squares) * self.made_good(wind_kn) / self.made_good(PENALTY_KN)

    def best(self, role: str, wind_kn: float) -> float:
        """Return how many steps the best number lies from the table's first one."""
        return float(np.interp(wind_kn, GRID_KN, self.shifts[role]))

    def share(self, wind_kn: float, lost_m_per_min: float) -> float:
        """Return the share of the speed that this progress is."""
        return min(lost_m_per_min / self.made_good(wind_kn), MOST_SHARE)

    def made_good(self, wind_kn: float) -> float:
        """Return the boat's best progress to windward [m/min]."""
        made_good = self.polar.target(wind_kn, upwind=True).made_good_kn
        return float(60.0 * knots_to_metres_per_second(made_good))


GRID_KN: Floats = np.arange(4.0, 25.0, 2.0)


@cache
def polar_of(member: int) -> FrozenPolar:
    """Return the demo boat's polar with one draw of the coefficients."""
    return book_polar(None, member=member)


def hidden(seed: int, room: Mapping[str, tuple[float, float]]) -> Truth:
    """Return the truth of a season.

    Parameters
    ----------
    seed : int
        Of the season.
    room : mapping
        Role to how many steps its scale leaves below and above the table's first numbers.
    """
    rng = np.random.default_rng([seed, 11])
    wrong = set(rng.choice(TUNABLE, OFF_ROLES, replace=False).tolist())
    shifts = {}
    for role in TUNABLE:
        off = float(rng.uniform(*OFF_STEPS) * rng.choice([-1.0, 1.0])) if role in wrong else 0.0
        low, high = room[role]
        off = -off if not low <= off <= high else off
        own = rng.normal(0.0, OWN_WANDER_STEPS, GRID_KN.size)
        shifts[role] = np.clip(off + own, low, high)
    penalties = {role: float(rng.uniform(*PENALTY)) for role in TUNABLE}
    habit = Habit(float(rng.uniform(*HABIT_DEG)), SPREAD_DEG)
    return Truth(seed, polar_of(1 + seed % MEMBERS), shifts, penalties, habit)


def winds_of(seed: int, outings: int) -> list[float]:
    """Return the mean wind of each outing [kn], whole knots as somebody would say it."""
    rng = np.random.default_rng([seed, 12])
    scale = MEAN_KN / 0.888
    found: list[float] = []
    while len(found) < outings:
        wind = round(float(scale * rng.weibull(SHAPE)))
        if WINDS_KN[0] <= wind <= WINDS_KN[1]:
            found.append(float(wind))
    return found


@dataclass(frozen=True)
class Sailing:
    """How a boat is sailed on an outing: wind [kn], steps by role, the heel aimed at [deg], the habit."""

    wind_kn: float
    steps: Mapping[str, float]
    aim_deg: float
    habit: Habit


def _options(truth: Truth, one: Sailing, start: datetime) -> SimOptions:
    best = float(truth.polar.target(one.wind_kn, upwind=True).heel_deg)
    lost = truth.share(one.wind_kn, truth.lost_m_per_min(one.wind_kn, one.steps))
    crew = SimCrew(
        heel_bias_deg=one.aim_deg - best + one.habit.beyond_deg,
        heel_sd_deg=one.habit.spread_deg,
        trim_loss=0.01 + lost,
        trim_sd=0.005,
        flow_speed_share=0.04,
    )
    weather = SimWeather(wind_kn=one.wind_kn)
    sensors = SimSensors(rate_hz=1.0)
    return SimOptions(
        laps=LAPS, leg_m=LEG_M, start=start, weather=weather, crew=crew, sensors=sensors, wait_s=120.0
    )


def race(truth: Truth, one: Sailing, outing: int, start: datetime) -> SimBoat:
    """Return a race as sailed; the same outing has the same wind and dice whoever sails."""
    return simulate(_options(truth, one, start), truth.polar, 1000 * truth.seed + outing).boats[0]


def best_race(truth: Truth, wind_kn: float, outing: int, start: datetime) -> SimBoat:
    """Return the race of an outing with every number at its best and the best heel held."""
    best = float(truth.polar.target(wind_kn, upwind=True).heel_deg)
    steps = {role: truth.best(role, wind_kn) for role in truth.penalties}
    return race(truth, Sailing(wind_kn, steps, best, Habit(0.0, HELD_DEG)), outing, start)


def lost_s_per_mile(sailed: SimBoat, best: SimBoat) -> dict[str, float]:
    """Return what heel and settings cost against the best possible, in seconds a mile of the course."""
    miles = metres_to_nautical_miles(2.0 * LAPS * LEG_M)
    own, ideal = sailed.truth.ledger_s, best.truth.ledger_s
    return {name: (own[name] - ideal[name]) / miles for name in ("heel", "trim")}


def write_race(folder: Path, boat: SimBoat, name: str) -> Path:
    """Write a boat's log, and beside it the wind that a chase boat read."""
    path = folder / f"{name}.nmea"
    path.write_bytes(writer_of("nmea")(boat.fixes, boat.name))
    wind = write_wind(boat.truth.start, boat.truth.tws_kn, SimSensors(), seed=len(name))
    (folder / f"{name}{WIND_ENDING}").write_bytes(wind)
    return path


@dataclass(frozen=True)
class PairDay:
    """A trial as sailed: its wind [kn], blocks [s], loss with either setting [m/min], dice and start."""

    wind_kn: float
    blocks_s: tuple[int, ...]
    start_lost: float
    to_lost: float
    dice: int
    start: datetime


def pair_logs(truth: Truth, one: Sailing, day: PairDay, folder: Path) -> tuple[Path, Path]:
    """Write the logs of two boats side by side, the change carried by the one and then by the other."""
    options = replace(_options(truth, one, day.start), boats=2)
    rng = np.random.default_rng([truth.seed, 13, day.dice])
    rows = sum(day.blocks_s)
    weather = replace(options.weather, own_gust_share=PAIR_OWN_GUSTS)
    wind = make_wind(weather, rng, boats=2, rows=rows)
    crew = replace(options.crew, trim_loss=0.01, helm_deg=PAIR_HELM_DEG, habit_deg=PAIR_HABIT_DEG)
    mode = make_modes(replace(options, crew=crew), truth.polar, wind, rng).up
    carried = np.repeat(np.arange(len(day.blocks_s)) % 2, day.blocks_s)
    paths = []
    for boat in (0, 1):
        lost = np.where(carried == boat, day.to_lost, day.start_lost)
        speed = mode.speed[boat] * (1.0 - truth.share(day.wind_kn, 1.0) * lost)
        sailed = _side_by_side(mode.angle_deg[boat], speed, mode.heel_deg[boat], wind, day.blocks_s, boat)
        fixes = make_fixes(options, sailed, wind, boat=boat, rng=rng)
        path = folder / f"trial-{day.dice}-{'us' if boat == 0 else 'them'}.csv"
        path.write_bytes(write_csv(fixes, ""))
        paths.append(path)
    return paths[0], paths[1]


def _side_by_side(
    angle: Floats, speed: Floats, heel: Floats, wind: SimWind, blocks_s: tuple[int, ...], boat: int
) -> Sailed:
    """Return a beat of one boat beside the other: both tack together, and form up again after each swap."""
    clock = np.concatenate([np.arange(seconds) for seconds in blocks_s])
    block = np.repeat(np.arange(len(blocks_s)), blocks_s)
    side = np.where((clock // BOARD_S) % 2 == 0, 1.0, -1.0)
    course = degrees_to_radians(wind.turn_deg - side * angle)
    velocity = np.stack([speed * np.sin(course), speed * np.cos(course)], axis=1)
    place = np.zeros_like(velocity)
    for number in range(len(blocks_s)):
        own = block == number
        swapped = boat if number % 4 < 2 else 1 - boat
        place[own] = np.cumsum(velocity[own], axis=0) + np.array([APART_M * (swapped - 0.5), 0.0])
    return Sailed(
        angle_deg=side * angle,
        speed=speed,
        roll_deg=-side * heel,
        right=place[:, 0],
        up=place[:, 1],
        velocity=velocity,
        manoeuvres=(),
        handlings=(),
        legs=(),
        gun=0,
        starts=(0,),
        whole=True,
    )
