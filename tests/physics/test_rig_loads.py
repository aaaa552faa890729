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


COORDINATE = st.floats(-2.0, 2.0)


@given(st.tuples(COORDINATE, COORDINATE), st.floats(1.0, 9.0), st.floats(1.0, 1e4))
def test_a_spreader_carries_what_the_kink_gives(across, height, tension):
    tip, low, high = (across[0], across[1], height), (0.0, 0.0, 0.0), (0.0, 0.0, height + 3.0)
    force = rig_loads.spreader_force(tip, low, high, tension)
    turned = rig_loads.kink(tip, low, high)
    assert_allclose(np.linalg.norm(force), rig_loads.block_load(tension, turned), rtol=1e-5, atol=1e-4)
    assert_allclose(rig_loads.kink(tip, high, low), turned, atol=1e-7)


@given(st.floats(1e3, 3e4), st.floats(4.0, 12.0), st.floats(0.05, 0.5), st.floats(1.05, 2.0))
def test_a_wider_shroud_base_loads_the_shroud_less(moment, arm, angle, wider):
    near, far = (rig_loads.righting_moment_shroud(moment, arm, one) for one in (angle, wider * angle))
    assert far.shroud < near.shroud
    assert far.compression < near.compression
    assert far.side_force == near.side_force
    assert_allclose(near.side_force * arm, moment)


@given(st.floats(1.0, 200.0), st.floats(0.5, 3.0), st.floats(0.02, 0.2))
def test_the_luff_load_turns_the_sails_pressure_into_pull(pressure, chord, depth):
    load = rig_loads.luff_load(pressure, chord, depth)
    slope = np.arctan(4.0 * depth)
    assert_allclose(2.0 * load * np.sin(slope), pressure * chord, rtol=1e-9)


@given(st.floats(0.5, 30.0), st.floats(1.1, 3.0))
def test_pressure_and_sheet_load_go_with_the_square_of_the_wind(speed, ratio):
    assert_allclose(rig_loads.wind_pressure(ratio * speed), ratio**2 * rig_loads.wind_pressure(speed))
    assert_allclose(
        rig_loads.headsail_sheet_load(13.0, ratio * speed),
        ratio**2 * rig_loads.headsail_sheet_load(13.0, speed),
    )


@given(st.floats(0.01, 0.5))
def test_the_length_of_a_parabola_against_the_integral(depth):
    x = np.linspace(0.0, 1.0, 4001)
    slope = 4.0 * depth * (1.0 - 2.0 * x)
    assert_allclose(rig_loads.arc_over_chord(depth), np.trapezoid(np.hypot(1.0, slope), x), rtol=1e-6)
