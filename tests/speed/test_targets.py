from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from cringle.physics.sails import Gear
from cringle.speed.equilibrium import Status, solve
from cringle.speed.targets import search_angles, targets
from cringle.units import knots_to_metres_per_second

WIND = np.array([5.0, 8.0, 12.0, 16.0])


@pytest.fixture(scope="module")
def up(demo):
    return targets(demo, WIND, case=demo.upwind)


def test_no_angle_or_heel_close_by_makes_more_good(demo, up):
    for row, wind in enumerate(WIND):
        cells = solve(
            demo,
            wind,
            up.cells.angle_deg[row] + np.linspace(-3.0, 3.0, 13)[:, None],
            case=demo.upwind,
            heel_deg=np.maximum(up.cells.heel_deg[row] + np.arange(-3.0, 3.1, 0.5), 0.0),
        )
        assert np.nanmax(cells.vmg_kn) <= up.made_good_kn[row] + 0.004


def test_targets_are_equilibria_and_made_good_is_positive(up):
    assert up.cells.converged.all()
    assert (np.abs(up.cells.residual) < 1e-6).all()
    angle = np.radians(up.cells.angle_deg)
    assert_allclose(up.made_good_kn, up.cells.boat_speed_kn * np.cos(angle))
    assert not up.at_bound.any()


def test_more_wind_more_made_good_and_higher(up):
    assert (np.diff(up.made_good_kn) > 0.0).all()
    assert up.cells.angle_deg[0] > up.cells.angle_deg[2]


def test_a_coarse_search_finds_nearly_the_same(demo, up):
    coarse = targets(demo, WIND, case=demo.upwind, angle_step_deg=3.0, heel_step_deg=2.0)
    assert_allclose(coarse.made_good_kn, up.made_good_kn, atol=0.03)


def test_build_has_its_own_speed_and_angle(demo, up):
    build = targets(demo, WIND, case=demo.upwind, gear=Gear.BUILD)
    assert build.case.gear is Gear.BUILD
    assert build.made_good_kn[0] > up.made_good_kn[0]  # fuller pays in light air
    assert build.made_good_kn[-1] < up.made_good_kn[-1]  # and costs in a breeze
    assert (np.abs(build.cells.angle_deg - up.cells.angle_deg) > 0.01).all()


def test_a_technique_out_of_reach_says_so(demo):
    plane = targets(demo, [5.0, 16.0], case=demo.case("plane out"))
    assert plane.cells.status.tolist() == [Status.NOT_REACHABLE, Status.CONVERGED]
    assert np.isnan(plane.made_good_kn[0])


def test_soak_on_its_bound_says_so(demo):
    soak = targets(demo, [7.0, 16.0], case=demo.case("soak furled"))
    assert soak.at_bound.tolist() == [False, True]
    froude = knots_to_metres_per_second(soak.cells.boat_speed_kn) / demo.froude_speed
    assert (froude < 0.5).all()


def test_no_wind_at_either_end(demo):
    found = targets(demo, [0.0, 60.0], case=demo.upwind)
    assert not found.cells.converged.any()
    assert np.isnan(found.made_good_kn).all()


def test_the_search_stops_at_the_largest_angle(demo):
    assert search_angles(demo.case("wing furled"), 1.0)[-1] == 175.0
    assert search_angles(demo.upwind, 1.0)[[0, -1]].tolist() == [30.0, 70.0]


def test_one_heel_only(demo):
    fixed = replace(demo.upwind, heel_low_deg=9.0, heel_high_deg=9.0)
    assert targets(demo, [12.0], case=fixed).cells.heel_deg.tolist() == [9.0]
