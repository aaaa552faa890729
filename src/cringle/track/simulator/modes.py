"""How fast and how high each simulated boat would sail at any second, upwind and on the run."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cringle.track.frozen_polar import FrozenPolar
from cringle.track.simulator.noise import SimWind, smoothed, wander
from cringle.track.simulator.options import SEA_HEEL_FACTOR, SEA_HELM_FACTOR, SimCrew, SimOptions
from cringle.units import knots_to_metres_per_second

Array = NDArray[np.float64]

SPEED_LAG_S: Final = 5.0
"""The boat takes up a new speed with this lag [s] (judgement: a light keelboat's way)."""

READ_WIND_S: Final = 60.0
READ_HEEL_S: Final = 20.0
"""The crew chooses the angle by the wind of the last minute, the heel, which is felt, by that of 20 s [s]."""

RUN_HEEL_SHARE: Final = 0.5
"""On the run the habit of heeling and the answer to a gust are so much smaller (judgement)."""

NOTICED_S: Final = 300
"""What the heel departs by on the mean of so long the crew takes out [s] (judgement): what is left
averages to nothing, so that the bias alone is the heel above the target."""

REACH_DEG: Final = 100.0
"""True wind angle from the windward mark to the offset mark [deg]."""


@dataclass(frozen=True)
class Mode:
    """One way of sailing, one row a second: angle, heel [deg], speed [m/s], heel to keep; each (boats, n)."""

    angle_deg: Array
    heel_deg: Array
    speed: Array
    target_heel_deg: Array


@dataclass(frozen=True)
class Modes:
    """Upwind, on the run, and the short reach; and each boat's heel above the target."""

    up: Mode
    run: Mode
    reach: Mode
    heel_bias_deg: Array


def make_modes(options: SimOptions, polar: FrozenPolar, wind: SimWind, rng: np.random.Generator) -> Modes:
    """Return the modes of all boats over a race."""
    boats, _ = wind.strength_kn.shape
    noise = _Noise.draw(options, rng, wind.strength_kn.shape)
    bias = options.crew.heel_bias_deg
    drawn = np.asarray(rng.uniform(-1.0, 5.0, size=boats), dtype=np.float64)
    biases = drawn if bias is None else np.full(boats, float(bias))
    gust = wind.strength_kn - smoothed(wind.strength_kn, READ_WIND_S)
    felt = smoothed(gust, 3.0) * options.crew.gust_heel_deg_per_kn
    made = {}
    for name, upwind in (("up", True), ("run", False)):
        target = polar.target(smoothed(wind.strength_kn, READ_WIND_S), upwind=upwind)
        goal = polar.target(smoothed(wind.strength_kn, READ_HEEL_S), upwind=upwind).heel_deg
        part = 1.0 if upwind else RUN_HEEL_SHARE
        heel = goal + biases[:, None] * part + _without_slow(noise.heel + felt * part)
        angle = target.angle_deg + options.crew.angle_bias_deg + noise.angle
        made[name] = _mode(options.crew, polar, wind, (angle, heel, goal), noise.trim)
    reach = Mode(np.full_like(made["up"].speed, REACH_DEG), made["run"].heel_deg, 0.5 * (made["up"].speed
                 + made["run"].speed), made["run"].target_heel_deg)  # fmt: skip
    return Modes(made["up"], made["run"], reach, biases)


def _without_slow(values: Array) -> Array:
    """Return values less their sliding mean over `NOTICED_S`."""
    from scipy.ndimage import uniform_filter1d

    slow = uniform_filter1d(values, min(NOTICED_S, values.shape[-1]), axis=-1, mode="nearest")
    return np.asarray(values - slow)


@dataclass(frozen=True)
class _Noise:
    """Departures of angle and heel [deg] and share of speed lost to trim, each of shape (boats, n)."""

    angle: Array
    heel: Array
    trim: Array

    @classmethod
    def draw(cls, options: SimOptions, rng: np.random.Generator, shape: tuple[int, ...]) -> _Noise:
        crew = options.crew
        helm = crew.helm_deg * SEA_HELM_FACTOR[options.sea]
        angle = wander(rng, shape, spread=helm, memory=crew.helm_s)
        angle += wander(rng, shape, spread=crew.habit_deg, memory=crew.habit_s)
        spread = crew.heel_sd_deg * SEA_HEEL_FACTOR[options.sea]
        heel = wander(rng, shape, spread=spread, memory=crew.heel_s)
        trim = crew.trim_loss + wander(rng, shape, spread=crew.trim_sd, memory=crew.trim_s)
        return cls(angle, heel, np.maximum(trim, 0.0))


def _mode(
    crew: SimCrew, polar: FrozenPolar, wind: SimWind, sailed: tuple[Array, Array, Array], trim: Array
) -> Mode:
    """Return a mode from the angle and heel sailed: the polar's speed with lag, trim and lost keel flow."""
    angle, heel, goal = sailed
    lost = flow_loss(crew, heel, goal)
    kept = (1.0 - trim) * (1.0 - crew.flow_speed_share * lost)
    wanted = knots_to_metres_per_second(polar.speed(wind.strength_kn, angle, heel))
    return Mode(angle + crew.flow_leeway_deg * lost, heel, smoothed(wanted, SPEED_LAG_S) * kept, goal)


def flow_loss(crew: SimCrew, heel_deg: Array, target_deg: Array | float) -> Array:
    """Return how much of the keel's flow is lost, 0 to 1: sudden heel beyond the target, dying away.

    Notes
    -----
    On a high-aspect fin a few degrees too much for a few seconds cost the flow (common practice, no source).
    """
    from scipy.signal import lfilter

    jump = np.zeros_like(heel_deg)
    jump[..., 2:] = heel_deg[..., 2:] - heel_deg[..., :-2]
    hit = (jump > crew.flow_jump_deg) & (heel_deg - target_deg > crew.flow_heel_deg)
    hit[..., 1:] &= ~hit[..., :-1]
    keep = float(np.exp(-1.0 / crew.flow_s))
    lost: Array = np.minimum(lfilter([1.0], [1.0, -keep], hit.astype(float), axis=-1), 1.0)
    return lost
