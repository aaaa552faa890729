import numpy as np
import pytest

from cringle.errors import InputError, NotConvergedError, OutOfRangeError
from cringle.speed.calls import call_for_leg
from cringle.speed.techniques import techniques


@pytest.fixture(scope="module")
def found(demo):
    return techniques(demo, np.arange(4.0, 20.1, 0.5), angle_step_deg=2.0)


@pytest.mark.parametrize(
    ("wind", "technique", "lane"),
    [(6.0, "soak", "protect low"), (11.5, "wing", "straight"), (17.0, "plane", "protect high")],
)
def test_lane_and_technique_go_with_the_wind(found, wind, technique, lane):
    call = call_for_leg(found, wind)
    assert (call.technique, call.lane) == (technique, lane)
    assert call.margin_m_per_min > 0.0
    assert call.margin_s_per_mile > 0.0
    assert call.next_best is not None
    assert call.next_best.technique != call.technique
    assert technique in call.why
    assert call.sure > 0.9
    assert call.jib in ("out", "furled")


def test_beyond_the_wind_that_flips_it_the_call_is_another(found):
    for wind in (8.0, 12.5, 15.0):
        call = call_for_leg(found, wind)
        assert call.flips_at_kn is not None
        beyond = call.flips_at_kn + np.sign(call.flips_at_kn - wind) * 0.3
        assert call_for_leg(found, float(beyond)).technique != call.technique


def test_near_the_flip_nobody_is_sure(found):
    call = call_for_leg(found, 12.0)
    edge = call_for_leg(found, 13.4)
    assert edge.sure < call.sure


def test_what_is_sailed_is_kept_near_the_flip(found, demo):
    flip = call_for_leg(found, 8.0).flips_at_kn
    assert flip is not None
    soak = call_for_leg(found, flip - 0.1)
    kept = call_for_leg(found, flip + 0.3, sailing=soak.case)
    assert kept.case == soak.case
    assert call_for_leg(found, flip + 0.3).technique == "wing"


def test_a_leg_far_off_the_wind_is_sailed_straight(found):
    call = call_for_leg(found, 11.5, off_deg=30.0)
    assert call.technique == "soak"
    assert call.lane == "straight"
    assert call.best.one_board


def test_the_leg_and_not_the_wind_alone_decides(found):
    assert call_for_leg(found, 11.5).technique != call_for_leg(found, 11.5, off_deg=30.0).technique


def test_without_a_kite_there_is_nothing_to_call():
    with pytest.raises(InputError, match="no technique"):
        call_for_leg((), 10.0)


def test_a_wind_not_computed_is_refused(found):
    with pytest.raises(OutOfRangeError, match="true wind speed"):
        call_for_leg(found, 25.0)


def test_a_leg_that_nothing_reaches_says_so(demo):
    wings = techniques(demo, [9.0, 10.0], cases=[demo.case("wing furled")], angle_step_deg=5.0)
    with pytest.raises(NotConvergedError, match="no technique"):
        call_for_leg(wings, 9.5, off_deg=60.0)


def test_alone_a_technique_has_no_rival(demo):
    only = techniques(demo, [6.0, 7.0], cases=[demo.case("soak out")], angle_step_deg=5.0)
    call = call_for_leg(only, 6.5)
    assert call.next_best is None
    assert call.flips_at_kn is None
    assert np.isnan(call.margin_m_per_min)
    assert "nothing else" in call.why
