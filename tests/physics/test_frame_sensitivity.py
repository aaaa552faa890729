"""More of the sensitivities is in test_frame_solver; here the one case that has a formula."""

import numpy as np
from numpy.testing import assert_allclose

from cringle.physics.frame import chords
from cringle.physics.frame_build import FrameBuilder
from cringle.physics.frame_sensitivity import wire_shortening_sensitivity
from cringle.physics.frame_solver import solve


def test_two_wires_in_a_line():
    """A shorter wire against another one: springs in series."""
    build = FrameBuilder()
    build.ground("a", (0.0, 0.0, 0.0))
    build.ground("b", (0.0, 0.0, 3.0))
    build.point("middle", (0.0, 0.0, 1.0))
    build.hold("middle", "turn_x", "turn_y", "turn_z")
    build.wire("a", "middle", 1e6)
    build.wire("middle", "b", 1e6)
    frame = build.build()
    unstressed = chords(frame, frame.nodes)[0] / 1.001
    state = solve(frame, unstressed, np.zeros((3, 6)))
    _, tension = wire_shortening_sensitivity(frame, state)
    total = unstressed.sum() / 1e6
    expected = -(1.0 + state.tension[0] / 1e6) / total
    assert_allclose(tension, np.full((2, 2), expected), rtol=1e-6)
