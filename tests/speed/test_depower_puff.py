from __future__ import annotations

import pytest
from numpy.testing import assert_allclose

from cringle.errors import NotConvergedError, OutOfRangeError
from cringle.speed.depower_puff import SLACK_DEG, puff
from cringle.speed.targets import targets
from cringle.speed.techniques import metres_per_minute


def test_in_little_wind_the_boat_holds_the_puff(demo):
    found = puff(demo, 5.0)
    assert found.held
    assert found.feather_deg == 0.0
    assert_allclose(found.gain_m_per_min, 0.0)


def test_feathering_pays_early_and_easing_later(demo):
    early, late = puff(demo, 9.0), puff(demo, 16.0)
    assert not early.held
    assert early.gain_m_per_min > late.gain_m_per_min
    assert late.gain_m_per_min < 0.0
    assert 0.0 < late.feather_deg < SLACK_DEG


def test_no_puff_is_the_target_itself(demo):
    found = puff(demo, 12.0, factor=1.0)
    best = targets(demo, 12.0, case=demo.upwind)
    assert found.held
    assert_allclose(found.ease_m_per_min, metres_per_minute(best.made_good_kn[0]), rtol=1e-6)


def test_a_stronger_puff_needs_more_feathering(demo):
    assert puff(demo, 12.0, factor=1.4).feather_deg > puff(demo, 12.0, factor=1.15).feather_deg


@pytest.mark.parametrize("factor", [0.9, 2.5])
def test_a_puff_that_is_none_is_refused(demo, factor):
    with pytest.raises(OutOfRangeError, match="puff over mean wind"):
        puff(demo, 12.0, factor=factor)


def test_without_a_target_there_is_no_answer(demo):
    with pytest.raises(NotConvergedError, match="no target upwind"):
        puff(demo, 0.01)
