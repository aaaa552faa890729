"""Upwind and run as they would be sailed: targets, trim, and the loss of flow on the keel."""

from __future__ import annotations

import numpy as np
from numpy.testing import assert_allclose

from cringle.track.frozen_polar import FrozenPolar
from cringle.track.simulator.modes import flow_loss, make_modes
from cringle.track.simulator.noise import make_wind
from cringle.track.simulator.options import SimCrew, SimOptions, SimWeather
from cringle.units import metres_per_second_to_knots

STILL = SimCrew(helm_deg=0.0, habit_deg=0.0, heel_sd_deg=0.0, heel_bias_deg=2.0, trim_loss=0.05, trim_sd=0.0)
STEADY = SimWeather(gust_share=0.0, swing_deg=0.0, wander_deg=0.0)


def test_without_noise_the_boat_sails_the_polar_less_trim(sketch: FrozenPolar) -> None:
    options = SimOptions(boats=2, crew=STILL, weather=STEADY)
    rng = np.random.default_rng(0)
    wind = make_wind(options.weather, rng, boats=2, rows=300)
    modes = make_modes(options, sketch, wind, rng)
    target = sketch.target(10.0, upwind=True)
    assert_allclose(modes.up.angle_deg, target.angle_deg)
    assert_allclose(modes.up.heel_deg, target.heel_deg + 2.0)
    predicted = 0.95 * sketch.speed(10.0, target.angle_deg, target.heel_deg + 2.0)
    assert_allclose(metres_per_second_to_knots(modes.up.speed), predicted)
    assert_allclose(modes.heel_bias_deg, 2.0)


def test_a_sudden_heel_costs_flow_that_comes_back() -> None:
    heel = np.full(60, 12.0)
    heel[20:] = 19.0
    lost = flow_loss(SimCrew(), heel, 12.0)
    assert_allclose(lost[:20], 0.0)
    assert lost[20] == 1.0
    assert_allclose(lost[25], np.exp(-1.0), atol=0.01)
    assert flow_loss(SimCrew(), heel - 10.0, 12.0).max() == 0.0
