"""The table of assumed coefficients."""

from dataclasses import fields, replace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from cringle.errors import InputError
from cringle.physics.assumptions import (
    AirAssumptions,
    air_assumption_rows,
    default_air_assumptions,
)


def test_every_assumption_has_one_row_in_order():
    assert [row.name for row in air_assumption_rows()] == [one.name for one in fields(AirAssumptions)]


def test_every_row_has_a_spread_around_its_value_and_says_why():
    for row in air_assumption_rows():
        assert row.low < row.value < row.high, row.name
        assert len(row.why) > 10 and len(row.source) > 7, row.name


def test_degrees_become_radians():
    known = default_air_assumptions()
    assert_allclose(known.wing_full_from, np.radians(165.0))
    assert_allclose(known.build_angle, np.radians(1.5))
    assert known.wing_main_drag == 1.20


def test_an_order_of_angles_that_cannot_be_is_refused():
    with pytest.raises(InputError, match="wing_fade_from"):
        replace(default_air_assumptions(), wing_fade_from=3.0)
