from __future__ import annotations

import numpy as np
import pytest
from numpy.testing import assert_allclose

from cringle.errors import InputError
from cringle.speed.fit_stretches import LENGTH_S, Readings, steady_stretches


def readings(minutes=3, *, angle=45.0, speed=5.3, wind=11.0, heel=12.0):
    ones = np.ones(minutes * LENGTH_S)
    return Readings(wind * ones, angle * ones, speed * ones, heel * ones)


def changed(found, **columns):
    return Readings(**{**vars(found), **columns})


def test_steady_minutes_become_stretches():
    found = steady_stretches(readings(), run_case="soak furled")
    assert len(found) == 3
    assert_allclose((found[0].wind_kn, found[0].angle_deg, found[0].speed_kn), (11.0, 45.0, 5.3))
    assert (found[0].case, found[0].heel_deg, found[0].seconds) == ("up", 12.0, 60.0)


def test_the_run_takes_the_case_it_is_told():
    found = steady_stretches(readings(angle=-140.0), run_case="plane out")
    assert {one.case for one in found} == {"plane out"}
    assert found[0].angle_deg == 140.0


def test_a_reach_has_unknown_sails_and_is_left_out():
    assert steady_stretches(readings(angle=85.0), run_case="soak furled") == ()


def test_a_tack_a_gust_and_a_stop_fall_out():
    base = readings()
    tack = np.where(np.arange(180) > 90, -45.0, 45.0)
    assert len(steady_stretches(changed(base, angle_deg=tack), run_case="x")) == 2
    gust = base.wind_kn * np.where((np.arange(180) > 70) & (np.arange(180) < 100), 1.6, 1.0)
    assert len(steady_stretches(changed(base, wind_kn=gust), run_case="x")) == 2
    stop = base.speed_kn * np.where(np.arange(180) < 30, 0.2, 1.0)
    assert len(steady_stretches(changed(base, speed_kn=stop), run_case="x")) == 2


def test_gaps_are_borne_up_to_a_fifth_and_heel_may_be_missing():
    base = readings(1)
    few, many = base.wind_kn.copy(), base.wind_kn.copy()
    few[:10], many[:20] = np.nan, np.nan
    assert len(steady_stretches(changed(base, wind_kn=few), run_case="x")) == 1
    assert steady_stretches(changed(base, wind_kn=many), run_case="x") == ()
    bare = steady_stretches(changed(base, heel_deg=np.full(60, np.nan)), run_case="x")
    assert bare[0].heel_deg is None


def test_lengths_must_agree():
    with pytest.raises(InputError, match="different length"):
        Readings(np.ones(3), np.ones(3), np.ones(3), np.ones(4))
