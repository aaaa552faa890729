import pytest
from numpy.testing import assert_allclose

from cringle.errors import InputError
from cringle.rig.choose import Costs, choose, choose_from_table, forecast_of
from cringle.rig.sheet import RowWish, tune_sheet
from cringle.rig.wind_load import Sailing

TURNS = {8.0: -1.0, 12.0: 1.0, 16.0: 3.0}


@pytest.fixture(scope="module")
def rows(together, files):
    wishes = [RowWish(wind, {"cap_shrouds": turns}, 200.0) for wind, turns in TURNS.items()]
    return tune_sheet(together, Sailing(files.class_file, 320.0), wishes)


def test_forecast_from_a_range():
    found = forecast_of({0.05: 8.0, 0.95: 16.0})
    assert_allclose(sum(found.weights), 1.0)
    assert_allclose(sum(found.winds_kn) / len(found.winds_kn), 12.0, atol=1e-9)
    assert min(found.winds_kn) >= 8.0


def test_one_percentile_is_that_wind():
    assert set(forecast_of({0.5: 11.0}).winds_kn) == {11.0}


@pytest.mark.parametrize("shares", [{}, {0.1: 12.0, 0.9: 8.0}, {1.5: 10.0}, {0.5: -3.0}])
def test_impossible_forecasts(shares):
    with pytest.raises(InputError, match="forecast needs winds that rise"):
        forecast_of(shares)


def test_a_sure_wind_takes_its_own_row(base, files, rows):
    for wind in TURNS:
        found = choose(base, Sailing(files.class_file, 320.0), rows, forecast_of({0.5: wind}))
        assert found[0].row_kn == wind
        assert_allclose(found[0].expected_s_per_mile, 0.0, atol=1e-6)
        assert found[1].behind_s_per_mile > 0.0


def test_a_range_takes_the_middle_and_says_by_how_much(base, files, rows):
    found = choose(base, Sailing(files.class_file, 320.0), rows, forecast_of({0.05: 8.0, 0.95: 16.0}))
    assert found[0].row_kn == 12.0
    assert found[0].behind_s_per_mile == 0.0
    assert_allclose(found[1].behind_s_per_mile, found[1].expected_s_per_mile - found[0].expected_s_per_mile)
    assert found[0].low_s_per_mile < found[0].expected_s_per_mile < found[0].high_s_per_mile


def test_costs_scale_the_loss(base, files, rows):
    forecast = forecast_of({0.5: 12.0})
    one = choose(base, Sailing(files.class_file, 320.0), rows, forecast, costs=Costs(1.0, 0.0))
    two = choose(base, Sailing(files.class_file, 320.0), rows, forecast, costs=Costs(2.0, 0.0))
    assert_allclose(two[-1].expected_s_per_mile, 2.0 * one[-1].expected_s_per_mile, rtol=0.3)


def test_the_coachs_table_decides(rows):
    """A table in which the 16 kn row never loses: it must win whatever the forecast."""
    table = {(row, wind): (0.0 if row == 16.0 else 3.0) for row in TURNS for wind in (6.0, 20.0)}
    found = choose_from_table(rows, table, forecast_of({0.05: 7.0, 0.95: 9.0}))
    assert found[0].row_kn == 16.0
    assert_allclose(found[1].behind_s_per_mile, 3.0)


def test_the_coachs_table_is_interpolated(rows):
    table = {(row, wind): abs(wind - row) for row in TURNS for wind in (0.0, row, 30.0)}
    found = choose_from_table(rows, table, forecast_of({0.5: 10.5}))
    assert found[0].row_kn == 12.0
    assert_allclose(found[0].expected_s_per_mile, 1.5)


def test_a_table_without_a_row_is_named(rows):
    with pytest.raises(InputError, match="no line for the 8 kn row"):
        choose_from_table(rows, {}, forecast_of({0.5: 10.0}))


def test_nothing_to_choose_from(base, files):
    with pytest.raises(InputError, match="no tune sheet"):
        choose(base, Sailing(files.class_file, 320.0), [], forecast_of({0.5: 10.0}))


def test_negative_costs():
    with pytest.raises(InputError, match="negative"):
        Costs(-1.0, 1.0)
