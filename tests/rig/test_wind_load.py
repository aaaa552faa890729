import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.errors import InputError, OutOfRangeError
from cringle.rig.wind_load import (
    Sailing,
    boat_speed_kn,
    jib_sheet_n,
    main_sheet_n,
    no_wind,
    righting_moment_nm,
    upwind_load,
)


def test_no_wind_no_load(files):
    assert upwind_load(files.class_file, 0.0, crew_kg=320.0) == no_wind()


@given(st.floats(1.0, 30.0))
def test_heeling_moment_never_exceeds_the_righting_moment(files, wind):
    load = upwind_load(files.class_file, wind, crew_kg=320.0)
    assert load.heeling_moment_nm <= righting_moment_nm(files.class_file, 320.0) * (1 + 1e-9)
    assert 0.0 < load.power <= 1.0


def test_load_grows_until_depowered_and_then_stays(files):
    moments = [
        upwind_load(files.class_file, wind, crew_kg=320.0).heeling_moment_nm for wind in (6, 10, 20, 28)
    ]
    assert moments[0] < moments[1] < moments[2]
    assert_allclose(moments[2], moments[3])


def test_a_lighter_crew_depowers_sooner(files):
    heavy, light = (upwind_load(files.class_file, 16.0, crew_kg=crew).power for crew in (320.0, 240.0))
    assert light < heavy


def test_stay_load_is_aft_and_to_leeward(files):
    x, y, z = upwind_load(files.class_file, 12.0, crew_kg=320.0).stay_n_per_m
    assert x < 0.0 < y
    assert z == 0.0


@pytest.mark.parametrize("wind", [-1.0, 60.0])
def test_absurd_winds_are_refused(files, wind):
    with pytest.raises(OutOfRangeError, match="wind"):
        upwind_load(files.class_file, wind, crew_kg=320.0)


def test_a_class_without_a_jib_says_so(files):
    bare = files.class_file.model_copy(
        update={"sails": tuple(s for s in files.class_file.sails if s.kind != "jib")}
    )
    with pytest.raises(InputError, match="no jib"):
        upwind_load(bare, 10.0, crew_kg=320.0)


def test_a_faster_boat_feels_more_wind(files):
    slow, fast = (upwind_load(files.class_file, 8.0, crew_kg=320.0, speed_kn=speed) for speed in (3.0, 6.0))
    assert fast.apparent_kn > slow.apparent_kn


def test_mainsheet_formula(files):
    """Toss's formula with this boat's P and E, worked by hand; the mainsheet is led 10 % in from the clew."""
    p, e = 7.90, 2.90
    kg = 0.02104 * e**2 * p**2 * 20.0**2 / (np.hypot(p, e) * 0.9 * e)
    assert_allclose(main_sheet_n(files.class_file, 20.0), kg * 9.80665)


def test_jib_sheet_is_the_riggers_formula():
    assert_allclose(jib_sheet_n(13.0, 20.0), 109.4 * 9.80665, rtol=1e-3)


def test_rough_boat_speed_levels_off(files):
    speeds = [boat_speed_kn(files.class_file, wind) for wind in (2, 6, 12, 24)]
    assert np.all(np.diff(speeds) > 0.0)
    assert 5.0 < speeds[2] < 6.0


def test_a_wind_low_down_is_more_wind_at_ten_metres(files):
    """Log law over open water: 10 kn at 2 m are 10 ln(10/0.0002)/ln(2/0.0002) = 11.75 kn at 10 m."""
    low, same = Sailing(files.class_file, 320.0, 2.0), Sailing(files.class_file, 320.0)
    assert low.load(10.0).wind_kn == 10.0
    assert_allclose(low.load(10.0).apparent_kn, same.load(11.7474).apparent_kn, rtol=1e-4)
    assert low.load(0.0) == no_wind()


@given(st.floats(0.0, 1e-3))
def test_next_to_no_wind_is_next_to_no_load(files, wind):
    load = upwind_load(files.class_file, wind, crew_kg=320.0)
    assert load.power in (0.0, 1.0)
    assert load.heeling_moment_nm < 1e-3
