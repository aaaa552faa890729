"""The true ledger: nothing lost on the target, and the injected causes under their names."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from cringle.track.frozen_polar import FrozenPolar
from cringle.track.simulator.ledger import window_of
from cringle.track.simulator.options import SimCrew, SimOptions, SimWeather
from cringle.track.simulator.simulate import simulate
from cringle.track.simulator.turns import SimManoeuvre

PERFECT = SimCrew(
    helm_deg=0.0,
    habit_deg=0.0,
    heel_sd_deg=0.0,
    heel_bias_deg=0.0,
    gust_heel_deg_per_kn=0.0,
    trim_loss=0.0,
    trim_sd=0.0,
)
STEADY = SimOptions(crew=PERFECT, weather=SimWeather(gust_share=0.0, swing_deg=0.0, wander_deg=0.0))


def ledger(sketch: FrozenPolar, crew: SimCrew) -> tuple[dict[str, float], float]:
    truth = simulate(replace(STEADY, crew=crew), sketch, 1).boats[0].truth
    seconds = sum((one.end - one.start).total_seconds() for one in truth.legs if one.kind != "reach")
    return truth.ledger_s, seconds


def test_a_perfect_crew_loses_time_in_turns_only(sketch: FrozenPolar) -> None:
    found, seconds = ledger(sketch, PERFECT)
    assert_allclose([found["heel"], found["angle"]], 0.0, atol=0.004 * seconds)
    assert found["trim"] < 0.02 * seconds
    assert found["tack"] > 10.0
    assert found["gybe"] > 5.0


@pytest.mark.parametrize(
    ("cause", "crew"),
    [
        ("trim", replace(PERFECT, trim_loss=0.10)),
        ("angle", replace(PERFECT, angle_bias_deg=12.0)),
        ("heel", replace(PERFECT, heel_bias_deg=12.0)),
    ],
)
def test_an_injected_cause_is_charged_to_its_name(sketch: FrozenPolar, cause: str, crew: SimCrew) -> None:
    plain, _ = ledger(sketch, PERFECT)
    found, seconds = ledger(sketch, crew)
    others = {"trim", "angle", "heel"} - {cause}
    gained = {name: found[name] - plain[name] for name in ("trim", "angle", "heel")}
    assert gained[cause] > 0.02 * seconds
    assert all(abs(gained[name]) < 0.35 * gained[cause] for name in others)


def test_ten_percent_of_trim_is_ten_percent_of_the_time_outside_turns(sketch: FrozenPolar) -> None:
    found, seconds = ledger(sketch, replace(PERFECT, trim_loss=0.10))
    plain, _ = ledger(sketch, PERFECT)
    turning = 14 * 30.0
    assert_allclose(found["trim"] - plain["trim"], 0.10 * (seconds - turning), rtol=0.2)


def test_the_window_ends_at_95_percent_of_the_speed() -> None:
    first, end = window_of(SimManoeuvre(100, "tack", 12.0, 0.5))
    assert first == 95
    left = 0.5 * np.exp(-(end - 103) / 9.0)
    assert left <= 0.05 < 0.5 * np.exp(-(end - 105) / 9.0)
