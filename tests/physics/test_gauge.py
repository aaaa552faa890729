import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.errors import InputError
from cringle.physics.gauge import Gauge, gauge_added_tension, gauge_force, tension_from_gauge

TOOL = Gauge(0.30, 0.005)
WIRE = {"stiffness": 1.351e6, "length": 8.0, "diameter": 0.004}


@given(st.floats(200.0, 8000.0))
def test_reading_back(tension):
    with_gauge = tension + gauge_added_tension(TOOL, 1.351e6, 8.0)
    reading = tension_from_gauge(TOOL, gauge_force(TOOL, with_gauge), **WIRE)
    assert_allclose(reading.tension, tension, rtol=1e-9)
    assert reading.bending > 0.0


def test_slack_wire_is_named():
    with pytest.raises(InputError, match="slack wire"):
        tension_from_gauge(TOOL, 0.5, **WIRE)


@pytest.mark.parametrize(("span", "push"), [(0.0, 0.005), (0.3, 0.0), (0.3, 0.2)])
def test_impossible_gauge(span, push):
    with pytest.raises(InputError, match="gauge"):
        Gauge(span, push)
