"""Courses every ten seconds: which count as sailing."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
from numpy.testing import assert_allclose

from cringle.track.simulator.options import SimOptions
from cringle.track.wind.samples import take_samples


def test_only_steady_sailing_counts(simulated: Callable[..., Any]) -> None:
    found = simulated(SimOptions(), 1)
    samples, truth = take_samples(found.log), found.truth
    gun = (truth.gun - truth.start).total_seconds()
    waiting = (samples.seconds > 200.0) & (samples.seconds < gun - 10.0)
    assert not samples.sailing[waiting].any()
    assert not samples.sailing[samples.seconds < 55.0].any()
    assert samples.sailing[samples.seconds > gun + 20.0].mean() > 0.7
    for one in truth.manoeuvres:
        if one.kind != "tack":
            continue
        row = int((one.time - truth.start).total_seconds() // 10)
        assert not samples.sailing[row]


def test_means_are_means(simulated: Callable[..., Any]) -> None:
    log = simulated(SimOptions(), 1).log
    samples = take_samples(log)
    assert_allclose(samples.speed_kn[50], log.series.sog[500:510].mean())
    assert samples.seconds[0] == 5.0
    assert np.isfinite(samples.course_deg).all()
