import numpy as np
import pytest
from geographiclib.geodesic import Geodesic
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.track.distance import elsewhere_at_once, position_metres, radii, steps, travelled


@given(st.floats(-80, 80), st.floats(-180, 180), st.floats(0, 360), st.floats(0.5, 1000.0))
def test_a_step_is_the_geodesic(lat: float, lon: float, bearing: float, metres: float) -> None:
    end = Geodesic.WGS84.Direct(lat, lon, bearing, metres)
    step = steps(np.array([lat, end["lat2"]]), np.array([lon, end["lon2"]]))
    assert_allclose(step.length[0], metres, rtol=2e-6)


def test_a_step_over_the_antimeridian_is_short() -> None:
    step = steps(np.array([10.0, 10.0]), np.array([179.9999, -179.9999]))
    assert_allclose(step.east[0], Geodesic.WGS84.Inverse(10, 179.9999, 10, -179.9999)["s12"], rtol=1e-6)


def test_north_and_east_have_signs() -> None:
    step = steps(np.array([54.0, 53.99]), np.array([-5.0, -5.01]))
    assert step.north[0] < 0.0
    assert step.east[0] < 0.0


def test_radii_at_the_equator() -> None:
    meridian, parallel = radii(np.array([0.0]))
    assert_allclose(parallel, 6_378_137.0)
    assert_allclose(meridian, 6_335_439.327, atol=0.001)


def test_gap_and_fault_do_not_count_as_sailed() -> None:
    metre = 1.0 / radii(np.array([0.0]))[0][0] * 180.0 / np.pi
    lat = np.array([0.0, 10.0, 20.0, 520.0, 530.0, 9000.0, 9010.0]) * metre
    seconds = np.array([0.0, 2.0, 4.0, 104.0, 106.0, 108.0, 110.0])
    found = travelled(seconds, lat, np.zeros(7), longest_step_s=10.0)
    assert_allclose(found.sailed, 40.0, rtol=1e-6)
    assert_allclose(found.across_gaps, 500.0, rtol=1e-6)
    assert found.faulty_steps == 1


@pytest.mark.parametrize("count", [0, 1])
def test_too_few_positions_sail_nothing(count: int) -> None:
    one = np.zeros(count)
    assert travelled(one, one, one, longest_step_s=10.0) == (0.0, 0.0, 0)


def test_positions_keep_their_gaps() -> None:
    north, east = position_metres(np.array([0.0, np.nan, 0.001]), np.array([0.0, np.nan, 0.0]))
    assert np.isnan(north[1])
    assert_allclose(north[2], 110.574, atol=0.01)
    assert_allclose(east[2], 0.0, atol=1e-9)


def test_another_place_at_the_same_time() -> None:
    times = np.array([0, 0, 1, 1, 2, 3], dtype=np.int64)
    lat = np.array([54.0, 54.001, 54.0, 54.00001, 54.0, 54.001])
    assert elsewhere_at_once(times, lat, np.full(6, 10.0), least_m=10.0) == 1
    assert elsewhere_at_once(times[:1], lat[:1], lat[:1], least_m=10.0) == 0
    over = np.array([179.99999, -179.99999])
    assert elsewhere_at_once(times[:2], np.zeros(2), over, least_m=10.0) == 0
