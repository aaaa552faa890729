from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from cringle.speed import scan as scan_module
from cringle.speed.equilibrium import solve
from cringle.speed.factors import Factors
from cringle.speed.polar import polar
from cringle.speed.scan import scan
from cringle.units import degrees_to_radians, knots_to_metres_per_second

WIND_KN, ANGLE_DEG = (
    np.array([4.0, 9.0, 14.0, 20.0]),
    np.array([35.0, 45.0, 80.0, 120.0, 135.0, 150.0, 172.0]),
)


def scanned(model, case, heel_deg):
    return scan(
        model,
        case,
        wind=knots_to_metres_per_second(WIND_KN),
        angle=degrees_to_radians(ANGLE_DEG),
        heel=degrees_to_radians(heel_deg),
    )


@pytest.mark.parametrize("name", ["up", "soak out", "wing furled", "plane furled"])
def test_the_whole_grid_equals_cell_by_cell(demo, name):
    case = demo.case(name)
    heel = np.linspace(case.heel_low_deg, case.heel_high_deg, 4)
    found = scanned(demo, case, heel)
    cells = solve(demo, WIND_KN[:, None, None], ANGLE_DEG[None, :, None], case=case, heel_deg=heel)
    sound = found.held[0] & found.heels[0]
    assert (sound == cells.converged).mean() > 0.99
    both = sound & cells.converged
    speed = knots_to_metres_per_second(cells.boat_speed_kn[both])
    assert_allclose(found.speed[0][both], speed, atol=0.004)


@pytest.fixture(scope="module")
def humped(demo):
    """Return a boat that planes so easily that its drag falls beyond the hump: two stable speeds."""
    return demo.with_around(replace(demo.around, factors=Factors(planing_drag=0.7), sea="flat"))


def test_a_hump_has_two_stable_speeds_and_both_are_found(humped):
    case, angles = humped.case("plane furled"), np.arange(100.0, 160.0, 2.0)
    heel, wind = np.array([4.0]), np.arange(9.0, 16.1, 0.5)
    found = scan(
        humped,
        case,
        wind=knots_to_metres_per_second(wind),
        angle=degrees_to_radians(angles),
        heel=degrees_to_radians(heel),
    )
    two = np.isfinite(found.speed[1, ..., 0]) & found.held[1, ..., 0]
    assert two.any()
    row, column = np.nonzero(two)
    upper, lower = (
        solve(humped, wind[row], angles[column], case=case, heel_deg=4.0, lower=lower)
        for lower in (False, True)
    )
    assert upper.converged.all()
    assert lower.converged.all()
    assert (upper.boat_speed_kn > lower.boat_speed_kn + 0.1).all()
    wanted = knots_to_metres_per_second(np.array([upper.boat_speed_kn, lower.boat_speed_kn]))
    error = np.abs(found.speed[:, row, column, 0] - wanted)
    assert error.max() < 0.1  # where thrust and drag all but touch the scan is rough, what follows is not
    assert np.median(error) < 0.001
    whole = polar(humped, wind, angles, case=case, heel_deg=4.0).cells.boat_speed_kn[row, column]
    assert_allclose(whole, upper.boat_speed_kn, rtol=1e-6)


def test_pieces_and_threads_change_nothing(demo, monkeypatch):
    case, heel = demo.upwind, np.array([0.0, 10.0])
    whole = scanned(demo, case, heel)
    monkeypatch.setattr(scan_module, "PIECE_CELLS", 1)
    pieces = scanned(demo, case, heel)
    for one, other in zip(whole, pieces, strict=True):
        assert_allclose(one, other, rtol=0.0)


def test_a_calm_has_no_speed(demo):
    found = scan(demo, demo.upwind, wind=np.array([0.0, 0.2]), angle=np.array([0.7]), heel=np.array([0.0]))
    assert np.isnan(found.speed).all()
    assert not found.held.any()
