import numpy as np
import pytest
from numpy.testing import assert_allclose

from cringle.errors import InputError
from cringle.physics.frame_build import FrameBuilder, Section
from cringle.physics.frame_solver import solve


def test_taper_blends_sections():
    root = Section(70e9, 1e-3, 1e-6, 8e-7, 1e-6)
    tip = Section(70e9, 5e-4, 2e-7, 1e-7, 4e-7)
    half = root.blend(tip, 0.5)
    assert_allclose(half.area, 7.5e-4)
    assert_allclose(half.stiffness()[2], 70e9 * 6e-7)


def test_tapered_cantilever_against_integration():
    root, tip = Section(70e9, 1e-3, 1e-6, 1e-6, 1e-6), Section(70e9, 5e-4, 2e-7, 2e-7, 4e-7)
    build = FrameBuilder()
    build.point("foot", (0.0, 0.0, 0.0))
    build.point("top", (0.0, 0.0, 3.0))
    build.spar("foot", "top", root, pieces=24, top=tip)
    build.hold("foot", "x", "y", "z", "turn_x", "turn_y", "turn_z")
    frame = build.build()
    loads = np.zeros((len(frame.nodes), 6))
    loads[1, 0] = 1.0
    z = np.linspace(0.0, 3.0, 20001)
    inertia = 1e-6 + (2e-7 - 1e-6) * z / 3.0
    expected = np.trapezoid((3.0 - z) ** 2 / (70e9 * inertia), z)
    assert_allclose(solve(frame, np.zeros(0), loads).position[1, 0], expected, rtol=2e-3)


def test_unknown_point_lists_the_known_ones():
    build = FrameBuilder()
    build.point("stem", (0.0, 0.0, 0.0))
    build.wire("stem", "hounds", 1e6)
    with pytest.raises(InputError, match="no point called 'hounds'; there are: stem"):
        build.build()


def test_section_without_stiffness_is_refused():
    with pytest.raises(InputError, match="stiffness above zero"):
        Section(70e9, 0.0, 1e-6, 1e-6, 1e-6)


def test_spar_without_length_is_named():
    build = FrameBuilder()
    build.point("foot", (0.0, 0.0, 0.0))
    build.point("top", (0.0, 0.0, 0.0))
    build.spar("foot", "top", Section(70e9, 1e-3, 1e-6, 1e-6, 1e-6))
    with pytest.raises(InputError, match="foot has no length"):
        build.build()
