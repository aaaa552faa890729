from __future__ import annotations

import math

import pytest
from numpy.testing import assert_allclose

from cringle.errors import InputError
from cringle.settings.records import TonightRequest
from cringle.settings.winds import Winds, height_ratio, winds_at_table_height


def test_at_the_tables_height_nothing_changes():
    winds = winds_at_table_height(TonightRequest(wind_kn=11.25, gust_kn=14), 10.0)
    assert (winds.mean_kn, winds.gust_kn, winds.ratio) == (11.25, 14, 1.0)


def test_converts_every_wind_by_the_log_law():
    expected = math.log(10.0 / 0.0002) / math.log(2.0 / 0.0002)
    assert_allclose(height_ratio(2.0, 10.0), expected, rtol=1e-12)
    winds = winds_at_table_height(
        TonightRequest(wind_kn=11, low_kn=9, high_kn=13, gust_kn=15, height_m=2), 10.0
    )
    assert (winds.mean_kn, winds.low_kn, winds.high_kn, winds.gust_kn) == (12.9, 10.6, 15.3, 17.6)


@pytest.mark.parametrize("height_m", [0.0, -2.0, 1000.0, math.nan])
def test_refuses_an_impossible_height(height_m):
    with pytest.raises(InputError, match="accepted is more than 0"):
        height_ratio(height_m, 10.0)


def test_refuses_a_height_inside_the_roughness_of_the_water():
    with pytest.raises(InputError, match="roughness"):
        height_ratio(0.0001, 10.0)


def test_moves_are_for_the_range_else_the_next_rows_and_for_the_gust():
    rows = [8.0, 10.0, 12.0]
    assert Winds(11.0, None, None, None).others(rows) == (10.0, 12.0)
    assert Winds(11.0, 9.0, 13.0, 15.0).others(rows) == (9.0, 13.0, 15.0)
    assert Winds(11.0, 9.0, 13.0, 13.0).others(rows) == (9.0, 13.0)
    assert Winds(11.0, 11.0, 11.0, None).others(rows) == ()
    assert Winds(11.0, 9.0, 13.0, 15.0).strongest_kn == 15.0
