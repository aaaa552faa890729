from dataclasses import replace

import pytest
from numpy.testing import assert_allclose

from cringle.errors import InputError
from cringle.rig.backstay import need_backstay
from cringle.rig.bridle_choice import compare_legs
from cringle.rig.turns import Setting


def test_longer_v_at_equal_pull_and_at_equal_height(base):
    found = compare_legs(base, Setting({}, 600.0), top_load_n=1400.0)
    assert [(round(one.shorter_mm), one.compared_at) for one in found] == [
        (0, "equal pull"),
        (900, "equal pull"),
        (900, "equal height"),
        (1200, "equal pull"),
        (1200, "equal height"),
    ]
    old, pull, height = found[:3]
    assert pull.take_up_mm < old.take_up_mm < height.take_up_mm
    assert pull.hand_load_n < old.hand_load_n
    assert pull.step_mm < old.step_mm
    assert_allclose(height.step_mm, old.step_mm, rtol=1e-6)
    assert pull.usable_travel_mm > old.usable_travel_mm
    assert pull.top_hand_load_n < old.top_hand_load_n


def test_an_upper_leg_cannot_become_shorter_than_nothing(base):
    with pytest.raises(InputError, match=r"only 7\.9 m long"):
        compare_legs(base, Setting(), top_load_n=1400.0, shorter_m=[8.0])


def test_what_the_rig_does_not_stand_is_unknown(base):
    found = compare_legs(base, Setting({}, 1240.0), top_load_n=1400.0, shorter_m=[6.0])
    assert found[-1].compared_at == "equal height"
    assert (found[-1].load_n, found[-1].hand_load_n) == (None, None)


def test_a_line_has_no_height_to_compare(base):
    line = need_backstay(base).model_copy(update={"kind": "line", "travel_mm": 280.0})
    other = replace(base, model=replace(base.model, backstay=line))
    assert {one.compared_at for one in compare_legs(other, Setting(), top_load_n=600.0)} == {"equal pull"}
