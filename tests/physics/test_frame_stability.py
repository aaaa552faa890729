import numpy as np
import pytest

from cringle.errors import NotConvergedError
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
