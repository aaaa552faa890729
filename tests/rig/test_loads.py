import numpy as np
import pytest
from numpy.testing import assert_allclose

from cringle.errors import InputError
from cringle.rig.loads import DYNAMIC_FACTOR, DesignFactor, load_table, righting_moment_loads
from cringle.rig.turns import Setting, solve_setting
from cringle.rig.wind_load import righting_moment_nm, upwind_load


@pytest.fixture(scope="module")
def states(base, files):
    return [
        solve_setting(base, Setting({}, pull, upwind_load(files.class_file, wind, crew_kg=320.0)))
        for wind, pull in ((8.0, 0.0), (14.0, 700.0))
    ]


@pytest.fixture(scope="module")
def rows(base, files, states):
    return {one.part: one for one in load_table(base, files.class_file, states, crew_kg=320.0)}


def test_every_wire_and_line_is_there(rows):
    assert list(rows) == [
        "cap",
        "lower",
        "forestay",
        "backstay",
        "main_sheet",
        "jib_sheet",
        "backstay_leg",
        "backstay_puller",
        "backstay_hand",
    ]


def test_the_worst_wind_and_side_count(rows, states):
    worst = max(
        max(state.state.tensions_n[name], state.state.upper_tensions_n[name])
        for state in states
        for name in ("cap_port", "cap_starboard")
    )
    assert_allclose(rows["cap"].working_n, worst)
    assert rows["cap"].wind_kn == 14.0


def test_margin_is_break_over_peak(rows):
    cap = rows["cap"]
    assert_allclose(cap.peak_n, 1.5 * cap.working_n)
    assert_allclose(cap.margin, 12600.0 / cap.peak_n)


def test_unknown_break_load_has_no_margin(rows):
    assert rows["main_sheet"].break_load_n is None
    assert rows["main_sheet"].margin is None


def test_bridle_legs_share_the_stay(rows):
    assert_allclose(rows["backstay_leg"].working_n, 0.5 * rows["backstay"].working_n)
    assert rows["backstay_hand"].working_n < rows["backstay_puller"].working_n < rows["backstay"].working_n


def test_righting_moment_by_hand(base, files):
    moment = righting_moment_nm(files.class_file, 320.0)
    angle = np.arctan2(0.684, 8.6 - 4.5)
    found = righting_moment_loads(base.model, files.class_file, 320.0)["cap_shroud"]
    assert_allclose(found, moment / 8.6 / np.sin(angle), rtol=1e-6)


def test_model_and_righting_moment_are_of_one_size(rows):
    assert 0.6 < rows["cap"].working_n / rows["cap"].righting_moment_n < 1.6


def test_factors_need_a_source():
    assert "low confidence" in DYNAMIC_FACTOR.source
    with pytest.raises(InputError, match="design factor"):
        DesignFactor(2.0, " ")
    with pytest.raises(InputError, match="design factor"):
        DesignFactor(0.5, "me")


def test_no_winds(base, files):
    with pytest.raises(InputError, match="at least one wind"):
        load_table(base, files.class_file, [], crew_kg=320.0)


def test_a_lines_break_load_as_its_maker_states_it(base, files, states):
    found = load_table(base, files.class_file, states, crew_kg=320.0, line_breaks_n={"main_sheet": 9000.0})
    sheet = next(one for one in found if one.part == "main_sheet")
    assert_allclose(sheet.margin, 9000.0 / sheet.peak_n)
