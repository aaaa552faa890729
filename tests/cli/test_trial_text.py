from __future__ import annotations

from cringle.cli.trial_text import _influence, interval
from cringle.trials.noise import Estimate
from cringle.trials.optimum import Influence


def test_an_interval_has_signs_and_units() -> None:
    assert interval(Estimate(3.42, -0.51, 7.35, 2.4, 20.0)) == "+3.4 m a minute (-0.5 to +7.3)"


def test_a_contradicting_trial_says_what_to_do() -> None:
    told = _influence(Influence("t3 of 2026-05-01", 0.12, 0.5, -0.25))
    assert "counts 12 %" in told
    assert "disagrees with the others" in told
    assert "sail it again" in told
    assert "disagrees" not in _influence(Influence("t1 of 2026-05-01", 0.9, 0.5, 0.0))
