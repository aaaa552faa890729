"""A rough surface costs speed, more of it where there is more of it."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.testing import assert_allclose

from cringle.speed.ensemble import members
from cringle.speed.model import SpeedModel
from cringle.speed.surface import ROUGH_FIELD, Part, SurfaceCost, surface_cost

WINDS = np.array([6.0, 12.0])


@pytest.fixture(scope="module")
def costs(demo: SpeedModel) -> dict[Part, SurfaceCost]:
    """Return the costs of a rough hull and rough foils for a small ensemble."""
    some = members(demo, count=6)
    return {part: surface_cost(demo, some, WINDS, part=part) for part in ROUGH_FIELD}


@pytest.mark.parametrize("part", list(ROUGH_FIELD))
def test_rough_is_slower_in_every_wind(costs: dict[Part, SurfaceCost], part: Part) -> None:
    found = costs[part]
    assert found.part == part
    assert np.all(found.s_per_mile > 0.0)
    assert np.all(found.s_per_mile_90.low <= found.s_per_mile)
    assert np.all(found.s_per_mile <= found.s_per_mile_90.high)


def test_a_mile_takes_seconds_longer_not_minutes(costs: dict[Part, SurfaceCost]) -> None:
    # A bottom with 0.0002 more on a friction coefficient near 0.003 has some 7 % more friction, which is
    # below half of the drag up the wind: 3 % of drag, 1 to 2 % of speed, of a mile in some 800 s.
    assert np.all(costs["hull"].s_per_mile < 25.0)
    assert np.all(costs["hull"].s_per_mile > 1.0)


def test_winds_are_independent(demo: SpeedModel, costs: dict[Part, SurfaceCost]) -> None:
    one = surface_cost(demo, members(demo, count=6), WINDS[1:], part="keel")
    assert_allclose(one.s_per_mile, costs["keel"].s_per_mile[1:], atol=0.05)
