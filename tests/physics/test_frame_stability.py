import numpy as np
import pytest

from cringle.errors import NotConvergedError
from cringle.physics.frame import chords
from cringle.physics.frame_build import FrameBuilder, Section
from cringle.physics.frame_solver import solve


def column(thrust: float):
    build = FrameBuilder()
    build.point("foot", (0.0, 0.0, 0.0))
    build.point("top", (0.0, 0.0, 3.0))
    build.spar("foot", "top", Section(70e9, 9e-4, 2e-6, 1e-6, 1e-6), pieces=4)
    build.hold("foot", "x", "y", "z", "turn_z")
    build.hold("top", "x", "y")
    frame = build.build()
    loads = np.zeros((len(frame.nodes), 6))
    loads[1, 2] = -thrust
    return frame, loads


def test_below_euler_stands():
    frame, loads = column(70e3)
    solve(frame, np.zeros(0), loads)


def test_above_euler_says_where_it_gives_way():
    frame, loads = column(80e3)
    with pytest.raises(NotConvergedError, match=r"athwartships|heel"):
        solve(frame, np.zeros(0), loads)


def test_a_mast_nothing_holds_sideways_is_a_mechanism():
    """Two guys fore and aft hold nothing athwartships; only rounding resists."""
    build = FrameBuilder()
    build.point("foot", (0.0, 0.0, 0.0))
    build.point("top", (0.0, 0.0, 9.0))
    build.spar("foot", "top", Section(70e9, 9e-4, 6e-7, 6e-7, 1e-6))
    build.hold("foot", "x", "y", "z", "turn_z")
    for name, x in (("bow", 5.0), ("stern", -5.0)):
        build.ground(name, (x, 0.0, 0.0))
        build.wire(name, "top", 1.35e6)
    frame = build.build()
    with pytest.raises(NotConvergedError, match="top moves athwartships without resistance"):
        solve(frame, chords(frame, frame.nodes)[0], np.zeros((len(frame.nodes), 6)))
