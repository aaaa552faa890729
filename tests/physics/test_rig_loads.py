import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.physics import rig_loads


def test_shroud_triangle_closes():
    load = rig_loads.righting_moment_shroud(9000.0, 9.0, 0.2)
    assert_allclose(np.hypot(load.side_force, load.compression), load.shroud)


def test_straight_shroud_puts_nothing_on_a_spreader():
    force = rig_loads.spreader_force((0, 0.5, 4), (0, 1, 0), (0, 0, 8), 3000.0)
    assert_allclose(force, 0.0, atol=1e-9)
    assert_allclose(rig_loads.kink((0, 0.5, 4), (0, 1, 0), (0, 0, 8)), 0.0, atol=1e-7)


def test_sheet_load_is_pressure_times_area_times_1_27():
    pressure = float(rig_loads.wind_pressure(20 * 1852 / 3600))
    assert_allclose(rig_loads.headsail_sheet_load(13.0, 20.0) * 9.80665 / (pressure * 13.0), 1.273, rtol=2e-3)


def test_a_flatter_sail_loads_the_stay_more():
    assert rig_loads.luff_load(60.0, 1.5, 0.08) > rig_loads.luff_load(60.0, 1.5, 0.12)


@given(st.floats(0.02, 0.15), st.floats(0.0, 0.05))
def test_cloth_length_is_kept(depth, shortening):
    deeper = rig_loads.deepened_draft(2.0, depth, shortening)
    assert deeper >= depth - 1e-9
    assert_allclose(
        (2.0 - shortening) * rig_loads.arc_over_chord(deeper),
        2.0 * rig_loads.arc_over_chord(depth),
        rtol=1e-9,
    )


def test_stretched_flat():
    assert rig_loads.deepened_draft(2.0, 0.02, -0.1) == 0.0
    assert rig_loads.arc_over_chord(0.0) == 1.0


def test_block_load_of_a_straight_line_is_nothing():
    assert rig_loads.block_load(100.0, 0.0) == 0.0
    assert_allclose(rig_loads.block_load(100.0, np.pi), 200.0)
