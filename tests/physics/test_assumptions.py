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
    drawn_air_assumptions,
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


def test_a_draw_of_zeros_is_the_best_value_and_of_ends_the_ends():
    rows = air_assumption_rows()
    assert drawn_air_assumptions(np.zeros(len(rows))) == default_air_assumptions()
    ends = drawn_air_assumptions(np.full(len(rows), 1.6448536269514722))
    assert_allclose([getattr(ends, row.name) for row in rows], [row.high for row in rows])
    ends = drawn_air_assumptions(np.full(len(rows), -1.6448536269514722))
    assert_allclose([getattr(ends, row.name) for row in rows], [row.low for row in rows])


def test_two_thousand_draws_make_sense_and_cover_the_spread():
    rows = air_assumption_rows()
    scores = np.random.default_rng(11).standard_normal((2000, len(rows)))
    drawn = [drawn_air_assumptions(one) for one in scores]
    for row in rows:
        values = np.array([getattr(one, row.name) for one in drawn])
        assert (values > 0.0).all(), row.name
        assert_allclose(
            np.mean((values >= row.low) & (values <= row.high)), 0.90, atol=0.03, err_msg=row.name
        )


@pytest.mark.parametrize("wrong", [np.zeros(3), np.full(36, np.nan), np.zeros((2, 36))])
def test_a_wrong_number_of_scores_is_refused(wrong):
    with pytest.raises(InputError, match="one standard normal number"):
        drawn_air_assumptions(wrong)
