import numpy as np
from numpy.testing import assert_allclose

from cringle.rig.state import (
    QUANTITIES,
    hounds_place,
    quantities,
    quantity_names,
    rig_state,
    strand_sensitivity,
    turn_sensitivity,
)
from cringle.rig.turns import Setting, solve_setting
from cringle.rig.wind_load import upwind_load


def vector(solved):
    return quantities(solved.model, solved.equilibrium.position, solved.equilibrium.tension)


def test_names_and_numbers_go_together(base):
    names = quantity_names(base.model)
    values = quantities(base.model, base.equilibrium.position, base.equilibrium.tension)
    assert names[-4:] == QUANTITIES
    assert len(names) == len(values)
    assert_allclose(values[names.index("prebend_mm")], base.state.prebend_mm)


def test_sensitivity_agrees_with_turning_each_screw(base, files):
    load = upwind_load(files.class_file, 10.0, crew_kg=320.0)
    middle = solve_setting(base, Setting({}, 0.0, load))
    table = turn_sensitivity(middle.model, middle.equilibrium)
    for screw in ("cap_port", "lower_starboard", "forestay_screw"):
        ends = [vector(solve_setting(base, Setting({screw: turn}, 0.0, load))) for turn in (0.05, -0.05)]
        slope = (ends[0] - ends[1]) / 0.1
        column = table.table[:, table.screws.index(screw)]
        assert_allclose(column, slope, rtol=0.02, atol=0.02 * np.abs(slope).max())
    assert table.of("cap_starboard_n", "cap_starboard") > 0.0


def test_both_sides_are_mirrored_on_the_dock(base):
    table = turn_sensitivity(base.model, base.equilibrium)
    assert_allclose(
        table.of("cap_port_n", "cap_port"), table.of("cap_starboard_n", "cap_starboard"), rtol=1e-3
    )
    assert_allclose(
        table.of("tip_to_leeward_mm", "cap_port"), -table.of("tip_to_leeward_mm", "cap_starboard"), rtol=1e-3
    )


def test_tighter_lowers_take_bend_out(base):
    table = turn_sensitivity(base.model, base.equilibrium)
    assert table.of("prebend_mm", "lower_port") < 0.0 < table.of("prebend_mm", "cap_port")


def test_strand_sensitivity_is_the_screws(base):
    table = turn_sensitivity(base.model, base.equilibrium)
    change = strand_sensitivity(base.model, base.equilibrium, base.model.strand("cap_port"))
    assert_allclose(table.table[:, 0], 2.1166e-3 * change, rtol=1e-6)


def test_no_side_load_no_sag(base):
    assert base.state.sag_mm == 0.0


def test_slack_is_named(base):
    loose = solve_setting(base, Setting({"lower_port": -4.0, "lower_starboard": -4.0}))
    assert rig_state(loose.model, loose.equilibrium).slack == ("lower_port", "lower_starboard")


def test_hounds_are_below_the_masthead(base):
    assert hounds_place(base.model, base.equilibrium)[2] < 9.0
