import numpy as np
import pytest
from numpy.testing import assert_allclose

from cringle.errors import InputError, OutOfRangeError
from cringle.speed.equilibrium import Status, solve
from cringle.speed.polar import axes_of, best_heels, grid_of, heels_of, polar, polars

WIND, ANGLE = np.array([6.0, 10.0, 14.0, 18.0]), np.arange(34.0, 181.0, 7.0)


@pytest.mark.parametrize("name", ["up", "plane out", "wing furled", "soak furled"])
def test_the_best_heel_is_that_of_a_brute_sweep(demo, name):
    """Cell by cell over every half degree of heel: nowhere more than 0.01 m/s faster."""
    case = demo.case(name)
    found = polar(demo, WIND, ANGLE, case=case)
    brute = solve(demo, WIND[:, None, None], ANGLE[None, :, None], case=case, heel_deg=heels_of(case))
    froude = brute.boat_speed_kn * 1852 / 3600 / demo.froude_speed
    inside = brute.converged & (froude >= case.froude_low) & (froude < case.froude_high)
    best = np.where(inside, brute.boat_speed_kn, -1.0).max(axis=-1)
    good = found.cells.converged
    assert good.any()
    assert (best[good] - found.cells.boat_speed_kn[good] < 0.01 * 3600 / 1852).all()
    if name in ("up", "plane out"):
        assert (good == (best > 0.0)).mean() > 0.98


def test_every_reachable_cell_converges(demo):
    for one in polars(demo, WIND, ANGLE):
        assert one.not_converged == ()


def test_a_cell_that_fails_is_listed(demo):
    found = polar(demo, [8.0, 10.0], [44.0, 46.0], case=demo.upwind)
    found.cells.status[1, 0] = Status.NOT_CONVERGED
    assert found.not_converged == ((10.0, 44.0),)


def test_between_the_points_speed_is_between_the_points(demo):
    found = polar(demo, [8.0, 10.0], [44.0, 46.0], case=demo.upwind)
    grid = found.cells.boat_speed_kn
    assert_allclose(found.speed_at(8.0, 44.0), grid[0, 0])
    assert_allclose(found.speed_at(9.0, -45.0), grid.mean())
    assert np.isnan(found.speed_at(20.0, 45.0))


def test_no_wing_on_a_reach(demo):
    found = polar(demo, [10.0], [120.0, 140.0, 175.0, 180.0], case=demo.case("wing furled"))
    assert found.cells.status.tolist() == [
        [Status.NOT_REACHABLE, Status.NOT_REACHABLE, Status.CONVERGED, Status.NOT_REACHABLE]
    ]


def test_soaking_stays_slow_and_planing_fast(demo):
    soak = polar(demo, WIND, ANGLE, case=demo.case("soak out")).cells
    plane = polar(demo, WIND, ANGLE, case=demo.case("plane out")).cells
    assert np.nanmax(soak.boat_speed_kn) < np.nanmin(plane.boat_speed_kn)


def test_heels_hold_both_bounds(demo):
    heels = heels_of(demo.case("soak out"))
    assert_allclose(heels, np.arange(5.0, 8.01, 0.5))
    assert heels_of(demo.upwind, 40.0).tolist() == [0.0, 30.0]
    with pytest.raises(InputError, match="heel step"):
        heels_of(demo.upwind, 0.0)


def test_grid_holds_both_ends():
    assert_allclose(grid_of(90.0, 175.0, 3.0)[[0, -1]], [90.0, 175.0])


@pytest.mark.parametrize("wind", [[10.0, 8.0], [10.0, 10.0], []])
def test_an_axis_must_rise(demo, wind):
    with pytest.raises(InputError, match="must rise"):
        polar(demo, wind, [45.0], case=demo.upwind)


def test_a_grid_too_large_is_refused(demo):
    with pytest.raises(InputError, match="fewer winds"):
        axes_of(np.linspace(1, 30, 3000), np.linspace(30, 180, 1000))


def test_a_wind_beyond_the_range_is_refused():
    with pytest.raises(OutOfRangeError):
        axes_of([70.0], [45.0])


def test_before_polishing_the_speed_is_there_already(demo):
    chosen = best_heels(demo, WIND, ANGLE, case=demo.upwind, heel_deg=heels_of(demo.upwind))
    cells = polar(demo, WIND, ANGLE, case=demo.upwind).cells
    good = cells.converged
    assert_allclose(chosen.speed[good] * 3600 / 1852, cells.boat_speed_kn[good], atol=0.01)
    assert_allclose(chosen.heel_deg[good], cells.heel_deg[good])
