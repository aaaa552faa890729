import numpy as np
import pytest
from numpy.testing import assert_allclose

from cringle.errors import InputError
from cringle.physics.frame import across_load, chords
from cringle.physics.frame_build import FrameBuilder


def stay():
    build = FrameBuilder()
    build.ground("stem", (3.0, 0.0, 0.0))
    build.ground("hounds", (0.0, 0.0, 4.0))
    build.wire("stem", "hounds", 1e6, side_load=(-5.0, 12.0, 0.0))
    return build.build()


def test_chord_and_direction():
    frame = stay()
    length, along = chords(frame, frame.nodes)
    assert_allclose(length, [5.0])
    assert_allclose(along, [[-0.6, 0.0, 0.8]])


def test_only_the_load_across_the_wire_counts():
    assert_allclose(across_load(stay()), [np.hypot(12.0, 5.0 * 0.8)])


def test_a_wire_without_length_is_named():
    build = FrameBuilder()
    build.ground("plate", (0.0, 0.0, 0.0))
    build.point("shackle", (0.0, 0.0, 0.0))
    build.wire("plate", "shackle", 1e6)
    with pytest.raises(InputError, match="plate to shackle has no length"):
        build.build()
