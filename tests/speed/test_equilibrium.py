from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.errors import OutOfRangeError
from cringle.physics.sails import SailKind
from cringle.speed.equilibrium import TOLERANCE, Status, joined, solve

ALL = ("up", "soak furled", "soak out", "wing furled", "plane furled", "plane out")


@pytest.mark.parametrize("name", ALL)
def test_every_cell_is_an_equilibrium_or_says_what_it_is(demo, name):
    case = demo.case(name)
    heel = 0.5 * (case.heel_low_deg + case.heel_high_deg)
    wind = np.linspace(0.0, 60.0, 13)
    cells = solve(demo, wind[:, None], np.linspace(0.0, 180.0, 19), case=case, heel_deg=heel)
    good = cells.converged
    assert good.any()
    assert (np.abs(cells.residual[good]) <= TOLERANCE).all()
    numbers = [
        value
        for key, value in vars(cells).items()
        if key not in ("wind_kn", "angle_deg", "heel_deg", "status")
    ]
    for value in numbers:
        assert np.isfinite(value[good]).all()
        assert np.isnan(value[~good]).all()
    solved = np.isin(cells.status, (Status.CONVERGED, Status.NOT_CONVERGED))
    assert good.sum() >= 0.995 * solved.sum()


def test_moments_balance(demo):
    heel = np.arange(0.0, 25.0)
    cells = solve(demo, 13.0, 44.0, case=demo.upwind, heel_deg=heel)
    place = cells.crew_place * demo.crew.hike_m
    right = demo.hull_moment(np.radians(heel)) + demo.crew.moment(place, np.radians(heel))
    assert_allclose(cells.moment_nm, right, rtol=1e-6)
    assert (cells.crew_place <= 1.0 + 1e-6).all()
    assert_allclose(cells.spare_nm[cells.power < 1.0], 0.0, atol=1e-3)


def test_depowered_only_at_full_hike(demo):
    cells = solve(demo, 16.0, 44.0, case=demo.upwind, heel_deg=np.arange(0.0, 25.0))
    assert_allclose(cells.crew_place[cells.power < 1.0 - 1e-6], 1.0, rtol=1e-6)
    assert_allclose(cells.depower, 1.0 - cells.power)


def test_both_tacks_alike(demo):
    starboard = solve(demo, 10.0, 45.0, case=demo.upwind, heel_deg=8.0)
    port = solve(demo, 10.0, -45.0, case=demo.upwind, heel_deg=8.0)
    assert port.boat_speed_kn == starboard.boat_speed_kn
    assert port.vmg_kn == starboard.vmg_kn


def test_scalar_and_array_alike(demo):
    wind, angle = np.array([6.0, 10.0, 14.0]), np.array([[40.0], [60.0], [120.0]])
    grid = solve(demo, wind, angle, case=demo.upwind, heel_deg=9.0)
    assert grid.shape == (3, 3)
    for i in range(3):
        for j in range(3):
            one = solve(demo, wind[j], angle[i, 0], case=demo.upwind, heel_deg=9.0)
            assert one.shape == ()
            assert one.status == grid.status[i, j]
            assert_allclose(one.boat_speed_kn, grid.boat_speed_kn[i, j], rtol=1e-9)


def test_arguments_are_left_alone_and_twice_the_same(demo):
    wind = np.array([5.0, 15.0])
    first = solve(demo, wind, 45.0, case=demo.upwind, heel_deg=5.0)
    again = solve(demo, wind, 45.0, case=demo.upwind, heel_deg=5.0)
    assert_allclose(wind, [5.0, 15.0], rtol=0.0)
    assert_allclose(first.boat_speed_kn, again.boat_speed_kn, rtol=0.0)


def test_no_wind_no_speed(demo):
    assert solve(demo, 0.0, 90.0, case=demo.upwind, heel_deg=0.0).status == Status.NOT_REACHABLE


def test_straight_into_the_wind_no_speed(demo):
    assert solve(demo, 10.0, 5.0, case=demo.upwind, heel_deg=0.0).status == Status.NOT_REACHABLE


def test_too_little_wind_to_heel_so_far(demo):
    assert solve(demo, 3.0, 45.0, case=demo.upwind, heel_deg=25.0).status == Status.NOT_REACHABLE


def test_a_heel_that_the_wind_cannot_hold_is_no_equilibrium(demo):
    cells = solve(demo, 8.0, 50.0, case=demo.upwind, heel_deg=[2.0, 28.0])
    assert cells.status.tolist() == [Status.CONVERGED, Status.NOT_REACHABLE]
    assert np.isnan(cells.boat_speed_kn[1])


def test_a_keel_that_stalls_holds_no_course(demo):
    weak = replace(demo.around.water, stall_lift_coefficient=0.3)
    stalling = demo.with_around(replace(demo.around, water=weak))
    assert solve(demo, 12.0, 43.0, case=demo.upwind, heel_deg=12.0).converged
    cell = solve(stalling, 12.0, 43.0, case=stalling.upwind, heel_deg=12.0)
    assert cell.status == Status.OVER_POWERED


def test_a_gale_is_too_much(demo):
    cells = solve(demo, 40.0, 60.0, case=demo.upwind, heel_deg=[5.0, 15.0, 25.0])
    assert set(cells.status.tolist()) <= {Status.OVER_POWERED, Status.NOT_REACHABLE}
    assert Status.OVER_POWERED in cells.status


@pytest.mark.parametrize("wind", [-1.0, 61.0, float("nan")])
def test_a_wind_that_is_none_is_refused(demo, wind):
    with pytest.raises(OutOfRangeError, match="true wind speed"):
        solve(demo, wind, 45.0, case=demo.upwind, heel_deg=0.0)


def test_an_angle_that_is_none_is_refused(demo):
    with pytest.raises(OutOfRangeError, match="true wind angle"):
        solve(demo, 10.0, 200.0, case=demo.upwind, heel_deg=0.0)


def test_no_cells_in_no_cells_out(demo):
    assert solve(demo, np.empty(0), 45.0, case=demo.upwind, heel_deg=0.0).shape == (0,)


def test_cells_can_be_picked_and_joined(demo):
    cells = solve(demo, [8.0, 10.0, 12.0], 45.0, case=demo.upwind, heel_deg=8.0)
    back = joined([cells.at(slice(0, 2)), cells.at(slice(2, 3))])
    assert_allclose(back.boat_speed_kn, cells.boat_speed_kn, rtol=0.0)
    assert cells.reshaped(3, 1).shape == (3, 1)
    assert (cells.bow_angle_deg < cells.angle_deg).all()


@settings(max_examples=20)
@given(st.floats(4.0, 8.0), st.floats(40.0, 120.0))
def test_more_sail_is_faster_in_light_wind(demo, wind, angle):
    main = demo.sails[SailKind.MAIN]
    larger = {**demo.sails, SailKind.MAIN: replace(main, area=1.1 * main.area)}
    more = replace(demo, sails=larger)
    here = solve(demo, wind, angle, case=demo.upwind, heel_deg=2.0)
    there = solve(more, wind, angle, case=more.upwind, heel_deg=2.0)
    assert here.converged == there.converged
    if here.converged and here.power == there.power == 1.0:
        assert there.boat_speed_kn > here.boat_speed_kn


@settings(max_examples=15)
@given(st.floats(15.0, 20.0), st.floats(42.0, 50.0), st.floats(4.0, 12.0))
def test_a_heavier_crew_is_faster_upwind_in_strong_wind(demo, wind, angle, heel):
    heavy = demo.with_crew(replace(demo.crew, mass_kg=340.0))
    here = solve(demo, wind, angle, case=demo.upwind, heel_deg=heel)
    there = solve(heavy, wind, angle, case=heavy.upwind, heel_deg=heel)
    assert there.boat_speed_kn > here.boat_speed_kn


@settings(max_examples=15)
@given(st.floats(6.0, 12.0), st.floats(140.0, 170.0))
def test_a_heavier_boat_is_slower_downwind(demo, wind, angle):
    heavy = demo.with_crew(replace(demo.crew, mass_kg=340.0))
    case = demo.case("soak furled")
    here = solve(demo, wind, angle, case=case, heel_deg=5.0)
    there = solve(heavy, wind, angle, case=case, heel_deg=5.0)
    assert there.boat_speed_kn < here.boat_speed_kn


@settings(max_examples=15)
@given(st.floats(5.0, 14.0), st.floats(40.0, 60.0))
def test_a_rougher_sea_is_slower_upwind(demo, wind, angle):
    speeds = [
        float(solve(demo.with_sea(sea), wind, angle, case=demo.upwind, heel_deg=8.0).boat_speed_kn)
        for sea in ("flat", "chop", "waves")
    ]
    speeds = [one for one in speeds if np.isfinite(one)]
    assert (np.diff(speeds) < 0.0).all()
