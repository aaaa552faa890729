import numpy as np
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
