import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
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


PLAIN = Section(70e9, 1e-3, 1e-6, 8e-7, 1e-6)


@pytest.mark.parametrize("pieces", [1, 2, 7])
def test_a_spar_in_pieces_runs_straight_from_end_to_end(pieces):
    build = FrameBuilder()
    build.ground("foot", (0.0, 0.0, 0.0))
    build.point("top", (0.3, -0.6, 9.0))
    names = build.spar("foot", "top", PLAIN, pieces=pieces)
    frame = build.build()
    assert names[0] == "foot"
    assert names[-1] == "top"
    assert len(names) == pieces + 1 == len(set(names))
    places = frame.nodes[[frame.names.index(name) for name in names]]
    assert_allclose(places, np.linspace(0.0, 1.0, pieces + 1)[:, None] * [0.3, -0.6, 9.0], atol=1e-12)
    assert len(frame.beams.start) == pieces


@given(share=st.floats(0.0, 1.0))
def test_a_taper_lies_between_its_ends(share):
    tip = Section(60e9, 5e-4, 2e-7, 1e-7, 4e-7)
    here = PLAIN.blend(tip, share).stiffness()
    for one, two, found in zip(PLAIN.stiffness(), tip.stiffness(), here, strict=True):
        assert min(one, two) * (1.0 - 1e-9) <= found <= max(one, two) * (1.0 + 1e-9)
    assert PLAIN.blend(tip, 0.0).stiffness() == pytest.approx(PLAIN.stiffness())
    assert PLAIN.blend(tip, 1.0).stiffness() == pytest.approx(tip.stiffness())


def test_shear_follows_from_the_modulus_unless_it_is_given():
    assert PLAIN.stiffness()[3] == pytest.approx(70e9 / 2.6 * 1e-6)
    assert Section(70e9, 1e-3, 1e-6, 8e-7, 1e-6, 5e9).stiffness()[3] == pytest.approx(5e9 * 1e-6)


def test_the_ground_is_held_in_every_direction_and_a_point_where_it_is_asked():
    build = FrameBuilder()
    build.ground("foot", (0.0, 0.0, 0.0))
    build.point("top", (0.0, 0.0, 3.0))
    build.hold("top", "y")
    build.hold("top", "turn_z")
    build.spar("foot", "top", PLAIN)
    frame = build.build()
    assert frame.fixed[frame.names.index("foot")].all()
    assert frame.fixed[frame.names.index("top")].tolist() == [False, True, False, False, False, True]


@given(stiffness=st.floats(1e2, 1e6))
def test_a_spring_gives_way_by_its_stiffness(stiffness):
    build = FrameBuilder()
    build.point("foot", (0.0, 0.0, 0.0))
    build.ground("stem", (3.0, 0.0, 0.0))
    build.hold("foot", "y", "z", "turn_x", "turn_y", "turn_z")
    build.spring("foot", "x", stiffness)
    build.point("free", (0.0, 0.0, 1.0))
    build.spar("foot", "free", PLAIN)
    frame = build.build()
    loads = np.zeros((len(frame.nodes), 6))
    loads[frame.names.index("free"), 0] = 1.0
    foot = solve(frame, np.zeros(0), loads).position[frame.names.index("foot"), 0]
    assert_allclose(foot, 1.0 / stiffness, rtol=1e-4)
