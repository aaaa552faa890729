import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.errors import InputError, OutOfRangeError
from cringle.rig.turns import Setting, backstay_take_up_m, lengths, node_forces, role_turns, solve_setting
from cringle.rig.wind_load import no_wind, upwind_load


def test_roles_and_screws(base):
    found = role_turns(base.model, {"cap_shrouds": 1.0, "cap_port": 1.5})
    assert found == {"cap_port": 1.5, "cap_starboard": 1.0}
    with pytest.raises(InputError, match="no rigging screw 'kicker'"):
        role_turns(base.model, {"kicker": 1.0})


def test_beyond_the_thread_is_refused(base):
    with pytest.raises(
        OutOfRangeError, match="Cap shroud screw, port: found 7 turns, accepted -4 to 6"
    ) as caught:
        solve_setting(base, Setting({"cap_port": 7.0}))
    assert "diameter" in str(caught.value)


def test_turns_shorten_their_wire_only(base):
    change = base.unstressed - lengths(base, Setting({"lower_port": 2.0}))
    assert_allclose(change[base.model.strand("lower_port")], 2 * 1.8142e-3)
    assert np.count_nonzero(change) == 1


def test_nothing_set_is_the_base(base):
    found = solve_setting(base, Setting())
    assert_allclose(found.equilibrium.tension, base.equilibrium.tension, rtol=1e-6)


@given(st.floats(-2.0, 4.0), st.floats(0.2, 1.5))
def test_a_tighter_cap_is_tighter(base, turns, more):
    loose, tight = (
        solve_setting(base, Setting(role_turns(base.model, {"cap_shrouds": value})))
        for value in (turns, turns + more)
    )
    assert tight.state.tensions_n["cap_port"] > loose.state.tensions_n["cap_port"]
    assert tight.state.compression_n > loose.state.compression_n


def test_port_and_starboard_are_mirrored(base):
    port = solve_setting(base, Setting({"cap_port": 1.0})).state
    starboard = solve_setting(base, Setting({"cap_starboard": 1.0})).state
    assert_allclose(port.tensions_n["cap_port"], starboard.tensions_n["cap_starboard"], rtol=1e-6)
    assert_allclose(port.tip_to_leeward_mm, -starboard.tip_to_leeward_mm, rtol=1e-4)
    assert port.tip_to_leeward_mm > 0.0


def test_the_windward_side_carries_the_wind(base, files):
    state = solve_setting(base, Setting({}, 0.0, upwind_load(files.class_file, 12.0, crew_kg=320.0))).state
    assert state.tensions_n["cap_starboard"] > 2600.0 > state.tensions_n["cap_port"]
    assert state.tip_to_leeward_mm > 0.0
    assert 30.0 < state.sag_mm < 200.0


def test_tighter_caps_take_sag_out(base, files):
    load = upwind_load(files.class_file, 12.0, crew_kg=320.0)
    sags = [
        solve_setting(base, Setting(role_turns(base.model, {"cap_shrouds": turns}), 0.0, load)).state.sag_mm
        for turns in (0.0, 4.0)
    ]
    assert sags[1] < sags[0]


def test_node_forces_add_up_to_the_wind(base, files):
    load = upwind_load(files.class_file, 12.0, crew_kg=320.0)
    total = node_forces(base.model, load)[:, :3].sum(axis=0)
    mast = 9.7 - (0.7 + 0.95)
    expected = np.sum(list(load.forces_n.values()), axis=0) + mast * np.array(load.main_luff_n_per_m)
    assert_allclose(total, expected, rtol=1e-9)


def test_nothing_pulls_on_the_dock(base):
    assert not node_forces(base.model, no_wind()).any()


def test_backstay_beyond_its_travel_is_refused(base):
    with pytest.raises(OutOfRangeError, match="backstay pull"):
        backstay_take_up_m(base.model, 2000.0)
    assert backstay_take_up_m(base.model, 0.0) == 0.0


def test_backstay_bends_the_mast(base):
    hauled = solve_setting(base, Setting({}, 600.0)).state
    assert hauled.rake_mm > 40.0
    assert hauled.prebend_mm > base.state.prebend_mm + 20.0
    assert hauled.tensions_n["forestay"] > base.state.tensions_n["forestay"]
