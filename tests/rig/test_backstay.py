from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from cringle.errors import InputError
from cringle.rig.backstay import (
    half_travel,
    need_backstay,
    shifted,
    slack_travel_pct,
    take_up_for,
    travel_m,
    travel_table,
    wind_places,
)
from cringle.rig.turns import Setting, solve_setting
from cringle.rig.wind_load import upwind_load


@pytest.fixture(scope="module")
def dock(base):
    return travel_table(base, Setting())


def test_load_bend_and_hand_rise_along_the_travel(dock):
    for name in ("pull_mm", "take_up_mm", "load_n", "hand_load_n", "tip_aft_mm", "prebend_mm"):
        assert np.all(np.diff([getattr(row, name) for row in dock]) > 0.0), name
    assert np.all(np.diff([row.advantage for row in dock]) < 0.0)


def test_travel_starts_at_the_slack_tension(dock):
    assert (dock[0].travel_pct, dock[0].tip_aft_mm) == (0.0, 0.0)
    assert_allclose(dock[0].load_n, 150.0, atol=0.1)
    assert_allclose(dock[-1].travel_pct, 100.0)


def test_work_of_the_puller_goes_into_the_stay(dock):
    """Virtual work over the whole travel: force along the pull is tension along the take-up."""
    puller = np.trapezoid([row.puller_n for row in dock], [row.pull_mm for row in dock])
    stay = np.trapezoid([row.load_n for row in dock], [row.take_up_mm for row in dock])
    assert_allclose(puller, stay, rtol=0.02)


def test_hand_is_the_purchase(dock, base):
    one = need_backstay(base)
    assert_allclose(dock[5].hand_load_n, dock[5].puller_n / (one.purchase * one.efficiency))


def test_in_a_wind_the_first_pull_only_removes_slack(base, files):
    setting = Setting({}, 0.0, upwind_load(files.class_file, 12.0, crew_kg=320.0))
    rows = travel_table(base, setting, points=21)
    assert 15.0 < slack_travel_pct(rows, 150.0) < 50.0
    assert np.all(np.diff([row.sag_mm for row in rows]) <= 1e-6)


def test_a_stay_that_never_bears_is_all_slack(dock):
    flat = [replace(row, load_n=0.0) for row in dock]
    assert slack_travel_pct(flat, 150.0) == 100.0


def test_half_travel_advice_puts_the_load_there(base):
    """Do what the advice says and look: the top load comes at half travel."""
    advice = half_travel(base, Setting(), top_load_n=1400.0)
    moved = shifted(base, advice.shorten_mm / 1000.0)
    half = solve_setting(moved, Setting({}, 500.0 * travel_m(need_backstay(base)))).state
    assert_allclose(half.tensions_n["backstay"], 1400.0, rtol=2e-3)
    assert advice.then_at_pct == 50.0


def test_advice_for_a_wind_says_shorten(base, files):
    setting = Setting({}, 0.0, upwind_load(files.class_file, 12.0, crew_kg=320.0))
    advice = half_travel(base, setting, top_load_n=1200.0)
    assert advice.shorten_mm > 20.0
    assert advice.words.startswith("Shorten the coarse part by")


def test_take_up_for_a_load_is_its_inverse(base):
    take_up = take_up_for(base, Setting(), 1000.0)
    assert_allclose(
        solve_setting(shifted(base, take_up), Setting()).state.tensions_n["backstay"], 1000.0, rtol=1e-3
    )
    assert take_up_for(base, Setting(), 100.0) < 0.0


def test_a_load_beyond_the_rig_is_refused(base):
    with pytest.raises(InputError, match="backstay load"):
        take_up_for(base, Setting(), 40_000.0)


def test_the_other_kind_of_bridle(base):
    line = need_backstay(base).model_copy(update={"kind": "line", "travel_mm": 280.0})
    other = replace(base, model=replace(base.model, backstay=line))
    rows = travel_table(other, Setting(), points=5)
    assert np.all(np.diff([row.load_n for row in rows]) > 0.0)
    assert all(1.0 < row.advantage < 2.0 for row in rows)


def test_where_each_wind_sits(base, files):
    settings = [
        Setting({}, pull, upwind_load(files.class_file, wind, crew_kg=320.0))
        for wind, pull in ((8.0, 75.0), (20.0, 525.0))
    ]
    light, strong = wind_places(base, settings)
    assert light.is_slack
    assert light.travel_pct < strong.travel_pct
    assert_allclose(strong.travel_pct, 42.0)


def test_without_a_backstay(base):
    bare = replace(base, model=replace(base.model, backstay=None))
    with pytest.raises(InputError, match=r"no \[backstay\]"):
        travel_table(bare, Setting())


def test_other_coarse_lengths_are_shown(base):
    advice = half_travel(base, Setting(), top_load_n=1400.0, least_take_up_mm=20.0)
    shorten = [row.shorten_mm for row in advice.coarse]
    assert_allclose(np.diff(shorten), 20.0)
    assert_allclose(shorten[3], advice.shorten_mm)
    assert_allclose(advice.coarse[3].top_at_pct, 50.0, atol=0.1)
    top = [101.0 if row.top_at_pct is None else row.top_at_pct for row in advice.coarse]
    assert np.all(np.diff(top) < 0.0)
    assert [row.is_off_both_ends for row in advice.coarse] == [
        row.least_at_pct >= 8.0 and row.top_at_pct is not None and row.top_at_pct <= 92.0
        for row in advice.coarse
    ]
