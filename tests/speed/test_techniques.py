from itertools import pairwise

import numpy as np
import pytest
from numpy.testing import assert_allclose

from cringle.errors import InputError
from cringle.speed.techniques import (
    KEEP_M_PER_MIN,
    LEAST_KEEP_KN,
    metres_per_minute,
    seconds_per_mile,
    technique_windows,
    techniques,
    window_at,
)


@pytest.fixture(scope="module")
def found(demo):
    return techniques(demo, np.arange(4.0, 20.1, 0.5), angle_step_deg=2.0)


def test_windows_join_without_gap(found):
    windows = technique_windows(found)
    assert windows[0].from_kn == 4.0
    assert windows[-1].to_kn == 20.0
    for before, after in pairwise(windows):
        assert_allclose(before.to_kn, after.from_kn, atol=0.35)
        assert before.case != after.case


def test_inside_a_window_its_technique_is_the_fastest(found):
    good = np.stack([one.made_good_kn for one in found])
    names, wind = [one.case.name for one in found], found[0].best.wind_kn
    for one in technique_windows(found):
        inside = (wind > one.from_kn) & (wind < one.to_kn)
        behind = metres_per_minute(good[:, inside].max(axis=0) - good[names.index(one.case.name), inside])
        assert (behind <= KEEP_M_PER_MIN).all()
        assert np.mean(behind > 0.0) < 0.1


def test_a_technique_is_kept_beyond_its_window_but_not_far(found):
    good = np.stack([one.made_good_kn for one in found])
    names, wind = [one.case.name for one in found], found[0].best.wind_kn
    for one in technique_windows(found):
        assert one.keep_from_kn <= max(one.from_kn - LEAST_KEEP_KN, wind[0]) + 1e-9
        assert one.keep_to_kn >= min(one.to_kn + LEAST_KEEP_KN, wind[-1]) - 1e-9
        own = good[names.index(one.case.name)]
        kept = (wind >= one.keep_from_kn) & (wind <= one.keep_to_kn)
        near = (wind >= one.from_kn - 1.0) & (wind <= one.to_kn + 1.0)
        lost = metres_per_minute(good.max(axis=0) - own)
        assert (lost[kept & ~near] <= KEEP_M_PER_MIN + 1e-9).all()


def test_going_up_and_coming_down_flip_at_different_winds(found):
    windows = technique_windows(found)
    wing = next(one for one in windows if one.case.name == "wing furled")
    soak = windows[windows.index(wing) - 1]
    edge = wing.from_kn
    assert window_at(windows, edge + 0.3, sailing=soak.case) == soak
    assert window_at(windows, edge - 0.3, sailing=wing.case) == wing
    assert window_at(windows, edge + 0.3) == wing
    assert window_at(windows, edge - 0.3) == soak
    assert window_at(windows, edge + 3.0, sailing=soak.case) != soak


def test_outside_the_winds_there_is_no_window(found):
    assert window_at(technique_windows(found), 30.0) is None


def test_margin_is_over_the_next_best(found):
    good, wind = np.stack([one.made_good_kn for one in found]), found[0].best.wind_kn
    for one in technique_windows(found):
        assert one.margin_m_per_min >= 0.0
        assert one.next_best is not None
        inside = (wind >= one.from_kn) & (wind <= one.to_kn)
        two = np.sort(good[:, inside], axis=0)[-2:]
        assert one.margin_m_per_min <= metres_per_minute(two[1] - two[0]).max() + 1e-9


def test_one_wind_is_no_range(demo):
    with pytest.raises(InputError, match="two winds"):
        technique_windows(techniques(demo, [10.0], angle_step_deg=5.0))
    with pytest.raises(InputError):
        technique_windows([])


def test_units_of_the_margins():
    assert_allclose(metres_per_minute(1.0), 1852.0 / 60.0)
    assert_allclose(seconds_per_mile(5.0, 6.0), 120.0)
    assert np.isnan(seconds_per_mile(0.0, 5.0))


def test_the_sea_changes_the_upwind_part_only(demo, found):
    flat = techniques(demo.with_sea("flat"), found[0].best.wind_kn, angle_step_deg=2.0)
    for one, other in zip(found, flat, strict=True):
        assert_allclose(one.made_good_kn, other.made_good_kn, atol=1e-6)


def test_a_lead_in_one_wind_alone_is_no_window_unless_it_is_clear(found):
    good = np.zeros((len(found), found[0].best.wind_kn.size))
    good[0], good[1] = 5.0, 4.0
    good[1, 10] = 5.0 + 0.5 * KEEP_M_PER_MIN / metres_per_minute(1.0)
    assert len(technique_windows(found, made_good_kn=good)) == 1
    good[1, 10] = 5.0 + 2.0 * KEEP_M_PER_MIN / metres_per_minute(1.0)
    assert [one.case for one in technique_windows(found, made_good_kn=good)] == [
        found[place].case for place in (0, 1, 0)
    ]
    good[1, 10], good[1, 20:] = 4.0, 5.1
    assert len(technique_windows(found, made_good_kn=good)) == 2
