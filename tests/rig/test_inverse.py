import pytest
from numpy.testing import assert_allclose

from cringle.errors import InputError
from cringle.rig.inverse import Target, Wanted, free_roles, propose
from cringle.rig.turns import Setting, role_turns, solve_setting
from cringle.rig.wind_load import upwind_load

ROLES = ("cap_shrouds", "lower_shrouds")


def test_finds_the_turns_that_made_the_numbers(together):
    """Turns to numbers and back again."""
    made = {"cap_shrouds": 1.5, "lower_shrouds": -1.0}
    state = solve_setting(together.middle, Setting(role_turns(together.middle.model, made))).state
    targets = (Target("cap_port_n", state.tensions_n["cap_port"]), Target("prebend_mm", state.prebend_mm))
    found = propose(together, Wanted(targets, ROLES), Setting())
    assert found.turns == made
    assert_allclose([found.exact[role] for role in ROLES], [1.5, -1.0], atol=0.01)
    assert_allclose(found.reached, [state.tensions_n["cap_port"], state.prebend_mm], rtol=1e-3)
    assert all(found.half_width[role] > 0.0 for role in ROLES)


def test_whole_turns_when_asked(together):
    targets = (Target("cap_port_n", 3000.0), Target("prebend_mm", 30.0))
    found = propose(together, Wanted(targets, ROLES, step=1.0), Setting())
    assert all(value == round(value) for value in found.turns.values())


def test_less_sag_in_a_wind(together, files):
    setting = Setting({}, 0.0, upwind_load(files.class_file, 14.0, crew_kg=320.0))
    before = solve_setting(together.middle, setting).state.sag_mm
    targets = (Target("sag_mm", -10.0, sailing=True, kind="change"), Target("prebend_mm", 0.0, kind="change"))
    found = propose(together, Wanted(targets, ROLES), setting)
    assert_allclose(found.reached[0], before - 10.0, atol=3.0)
    assert found.turns["cap_shrouds"] > 0.0
    assert found.dock.state.prebend_mm == pytest.approx(25.0, abs=3.0)


def test_out_of_reach_stops_at_the_thread(together):
    found = propose(together, Wanted((Target("cap_port_n", 9000.0),), ("cap_shrouds",)), Setting())
    assert found.turns == {"cap_shrouds": 6.0}
    assert found.reached[0] < 9000.0


def test_screws_that_stay_are_kept(together):
    found = propose(
        together, Wanted((Target("cap_port_n", 2900.0),), ("cap_shrouds",)), Setting({"forestay_screw": 1.0})
    )
    assert found.dock.setting.turns["forestay_screw"] == 1.0


def test_unknown_or_no_target(together):
    with pytest.raises(InputError, match="no quantity 'speed_kn'"):
        propose(together, Wanted((Target("speed_kn", 6.0),), ROLES), Setting())
    with pytest.raises(InputError, match="nothing is wanted"):
        propose(together, Wanted((), ROLES), Setting())


def test_what_is_ashore_is_not_turned_unasked(base):
    assert free_roles(base.model) == ROLES
    assert free_roles(base.model, ["forestay"]) == ("forestay",)
    with pytest.raises(InputError, match="no role 'boom'"):
        free_roles(base.model, ["boom"])


def test_kinds_of_target():
    assert Target("sag_mm", 80.0).goal(100.0) == 80.0
    assert Target("sag_mm", -20.0, kind="change").goal(100.0) == 80.0
    assert Target("sag_mm", 0.8, kind="share").goal(100.0) == 80.0
    assert Target("sag_mm", 1.0).scale < Target("cap_port_n", 1.0).scale
