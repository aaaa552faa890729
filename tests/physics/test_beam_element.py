import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.physics.beam_element import Beams, beam_state, element_axes
from cringle.physics.rotation import rotation_matrix

NODES = np.array([[0.0, 0.0, 0.0], [0.1, 0.05, 1.0], [0.1, 0.15, 2.0], [0.2, 0.15, 3.2]])


def chain() -> tuple[Beams, np.ndarray, np.ndarray]:
    count = len(NODES) - 1
    start = np.arange(count)
    beams = Beams(
        start,
        start + 1,
        np.full(count, 6e3),
        np.full(count, 40.0),
        np.full(count, 50.0),
        np.full(count, 20.0),
        np.tile([1.0, 0.2, 0.0], (count, 1)),
    )
    return beams, *element_axes(NODES[beams.start], NODES[beams.end], beams.side)


def moved(seed: int, size: float) -> tuple[np.ndarray, np.ndarray]:
    rng = np.random.default_rng(seed)
    return NODES + size * rng.normal(size=NODES.shape), rotation_matrix(size * rng.normal(size=NODES.shape))


def test_axes_are_orthonormal_and_along_the_element():
    beams, length, axes = chain()
    assert_allclose(np.swapaxes(axes, 1, 2) @ axes, np.tile(np.eye(3), (3, 1, 1)), atol=1e-14)
    assert_allclose(axes[:, :, 0] * length[:, None], NODES[beams.end] - NODES[beams.start])


def test_rest_has_no_force():
    beams, length, axes = chain()
    state = beam_state(beams, length, axes, NODES, np.tile(np.eye(3), (4, 1, 1)))
    assert_allclose(state.force, 0.0, atol=1e-9)


def test_rigid_motion_has_no_force():
    beams, length, axes = chain()
    turn = rotation_matrix(np.array([0.7, -0.4, 1.1]))
    state = beam_state(beams, length, axes, NODES @ turn.T + [3.0, -2.0, 1.0], np.tile(turn, (4, 1, 1)))
    assert_allclose(state.force, 0.0, atol=1e-8)


def test_forces_balance():
    beams, length, axes = chain()
    position, rotation = moved(2, 0.05)
    force = beam_state(beams, length, axes, position, rotation).force
    assert_allclose(force[:, :3] + force[:, 6:9], 0.0, atol=1e-9)
    arm = position[beams.end] - position[beams.start]
    assert_allclose(force[:, 3:6] + force[:, 9:] + np.cross(arm, force[:, 6:9]), 0.0, atol=1e-8)


def test_tangent_is_the_derivative_of_the_force():
    beams, length, axes = chain()
    position, rotation = moved(3, 0.03)
    tangent = beam_state(beams, length, axes, position, rotation).tangent
    step = 1e-6
    for element in range(3):
        for column in range(12):
            node = (beams.start, beams.end)[column // 6][element]
            ends = []
            for sign in (1.0, -1.0):
                place, turn = position.copy(), rotation.copy()
                if column % 6 < 3:
                    place[node, column % 6] += sign * step
                else:
                    spin = np.zeros(3)
                    spin[column % 6 - 3] = sign * step
                    turn[node] = rotation_matrix(spin) @ turn[node]
                ends.append(beam_state(beams, length, axes, place, turn).force[element])
            assert_allclose((ends[0] - ends[1]) / (2 * step), tangent[element, :, column], atol=6e-4 * 480.0)


def test_pull_is_hooke():
    beams, length, axes = chain()
    position = NODES * 1.001
    state = beam_state(beams, length, axes, position, np.tile(np.eye(3), (4, 1, 1)))
    assert_allclose(state.axial_force, 6.0, rtol=1e-9)


@given(st.integers(0, 2**31), st.floats(1e-4, 0.08))
def test_turning_everything_turns_the_forces(seed, size):
    beams, length, axes = chain()
    position, rotation = moved(seed, size)
    turn = rotation_matrix(np.array([0.4, 1.1, -0.8]))
    before = beam_state(beams, length, axes, position, rotation)
    after = beam_state(beams, length, axes, position @ turn.T + [1.0, 2.0, 3.0], turn @ rotation)
    assert_allclose(after.axial_force, before.axial_force, rtol=1e-6, atol=1e-5)
    turned = np.einsum("ij,mkj->mki", turn, before.force.reshape(-1, 4, 3)).reshape(-1, 12)
    assert_allclose(after.force, turned, rtol=1e-6, atol=1e-4)


@given(st.integers(0, 2**31), st.floats(1e-4, 0.08))
def test_every_element_is_in_balance_however_it_is_bent(seed, size):
    beams, length, axes = chain()
    position, rotation = moved(seed, size)
    force = beam_state(beams, length, axes, position, rotation).force
    scale = 1e-9 * max(1.0, float(np.abs(force).max()))
    assert_allclose(force[:, :3] + force[:, 6:9], 0.0, atol=scale)
    arm = position[beams.end] - position[beams.start]
    assert_allclose(force[:, 3:6] + force[:, 9:] + np.cross(arm, force[:, 6:9]), 0.0, atol=10.0 * scale)


@given(st.floats(1e-6, 1e-4))
def test_a_small_end_rotation_meets_the_textbook_beam(angle):
    """End moments 4EI/L and 2EI/L and shears 6EI/L2 of the fixed beam (any structures text)."""
    zero = np.array([0])
    rigid = Beams(
        zero, zero + 1, np.array([1e6]), np.array([40.0]), np.array([50.0]), np.array([20.0]),
        np.array([[0.0, 1.0, 0.0]]),
    )  # fmt: skip
    nodes = np.array([[0.0, 0.0, 0.0], [2.0, 0.0, 0.0]])
    length, axes = element_axes(nodes[:1], nodes[1:], rigid.side)
    rotation = np.stack([rotation_matrix(np.array([0.0, 0.0, angle])), np.eye(3)])
    force = beam_state(rigid, length, axes, nodes, rotation).force[0]
    assert_allclose(force[5], 4.0 * 50.0 / 2.0 * angle, rtol=1e-3)
    assert_allclose(force[11], 2.0 * 50.0 / 2.0 * angle, rtol=1e-3)
    assert_allclose(force[1], 6.0 * 50.0 / 2.0**2 * angle, rtol=1e-3)
    assert_allclose(force[7], -force[1], rtol=1e-9)


@given(st.floats(-0.01, 0.01))
def test_twist_is_carried_by_torsion_alone(angle):
    zero = np.array([0])
    shaft = Beams(
        zero, zero + 1, np.array([1e6]), np.array([40.0]), np.array([50.0]), np.array([20.0]),
        np.array([[0.0, 1.0, 0.0]]),
    )  # fmt: skip
    nodes = np.array([[0.0, 0.0, 0.0], [2.0, 0.0, 0.0]])
    length, axes = element_axes(nodes[:1], nodes[1:], shaft.side)
    rotation = np.stack([np.eye(3), rotation_matrix(np.array([angle, 0.0, 0.0]))])
    force = beam_state(shaft, length, axes, nodes, rotation).force[0]
    assert_allclose(force[9], 20.0 / 2.0 * angle, rtol=1e-3, atol=1e-12)
    assert_allclose(np.delete(force, [3, 9]), 0.0, atol=1e-6)
