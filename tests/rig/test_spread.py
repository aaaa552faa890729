import numpy as np
from numpy.testing import assert_allclose

from cringle.rig.spread import NINETY_PERCENT, half_widths
from cringle.rig.turns import Setting, role_turns, solve_setting


def test_every_member_has_the_same_base(together):
    for one in together.others:
        assert_allclose(one.state.tensions_n["cap_port"], 2600.0, atol=0.1)
        assert_allclose(one.state.prebend_mm, 25.0, atol=0.01)


def test_half_width_is_the_root_of_the_summed_squares(together):
    def stiffness(base):
        return np.array([base.model.factors.wire, base.model.factors.mast, base.model.factors.sag])

    value, half = half_widths(together, stiffness)
    assert_allclose(value, 1.0)
    assert_allclose(half, NINETY_PERCENT * np.array([0.10, 0.07, 0.30]))


def test_the_base_itself_is_not_in_doubt_but_turns_are(together):
    def caps(turns):
        return lambda base: np.array(
            [
                solve_setting(base, Setting(role_turns(base.model, {"cap_shrouds": turns}))).state.tensions_n[
                    "cap_port"
                ]
            ]
        )

    assert half_widths(together, caps(0.0))[1][0] < 1.0
    assert 20.0 < half_widths(together, caps(3.0))[1][0] < 250.0
