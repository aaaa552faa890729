import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.errors import InputError, NotConvergedError
from cringle.physics.frame import Frame, chords
from cringle.physics.frame_build import FrameBuilder, Section
from cringle.physics.frame_sensitivity import force_sensitivity, wire_shortening_sensitivity
from cringle.physics.frame_solver import solve

MAST = Section(70e9, 9e-4, 9e-7, 6e-7, 1e-6)


def rig(*, held: bool = True, load: float = 0.0) -> Frame:
    """Return a single-spreader rig: mast, spreaders, caps, lowers, forestay, backstay."""
    build = FrameBuilder()
    for name, height in {"foot": 0.0, "spreaders": 3.8, "hounds": 7.2, "top": 8.5}.items():
        build.point(name, (0.0, 0.0, height))
    for low, high in (("foot", "spreaders"), ("spreaders", "hounds"), ("hounds", "top")):
        build.spar(low, high, MAST, pieces=2)
    build.ground("stem", (2.5, 0.0, 0.0))
    build.ground("stern", (-3.5, 0.0, 0.0))
    for side, sign in (("port", 1.0), ("starboard", -1.0)):
        build.point(f"tip {side}", (-0.3, sign * 0.68, 3.8))
        build.spar("spreaders", f"tip {side}", Section(70e9, 3e-4, 3e-8, 3e-8, 6e-8), side=(0.0, 0.0, 1.0))
        build.ground(f"plate {side}", (-0.5, sign, 0.0))
    for side in ("port", "starboard"):
        build.wire(f"plate {side}", f"tip {side}", 1.35e6)
        build.wire(f"tip {side}", "hounds", 1.35e6)
        build.wire(f"plate {side}", "spreaders", 1.35e6)
    build.wire("stem", "hounds", 1.35e6, side_load=(0.0, load, 0.0))
    build.wire("stern", "top", 7.6e5)
    if held:
        build.hold("foot", "x", "y", "z", "turn_z")
    return build.build()


def taut(frame: Frame, strain: float = 2e-3) -> np.ndarray:
    return chords(frame, frame.nodes)[0] / (1.0 + strain)


def no_load(frame: Frame) -> np.ndarray:
    return np.zeros((len(frame.nodes), 6))


def test_symmetric_rig_stays_on_the_centreline():
    frame = rig()
    state = solve(frame, taut(frame), no_load(frame))
    mast = [frame.names.index(name) for name in ("spreaders", "hounds", "top")]
    assert_allclose(state.position[mast, 1], 0.0, atol=1e-10)
    assert_allclose(state.tension[:3], state.tension[3:6], rtol=1e-9)


@settings(max_examples=15, deadline=None)
@given(st.floats(-400.0, 400.0), st.floats(-200.0, 200.0))
def test_mirrored_load_gives_mirrored_tensions(side, fore):
    frame = rig()
    loads, mirrored = no_load(frame), no_load(frame)
    loads[frame.names.index("hounds"), :2] = fore, side
    mirrored[frame.names.index("hounds"), :2] = fore, -side
    one, two = (solve(frame, taut(frame), each) for each in (loads, mirrored))
    assert_allclose(one.tension[:3], two.tension[3:6], rtol=1e-6, atol=1e-3)
    assert_allclose(one.position[:, 0][:6], two.position[:, 0][:6], atol=1e-8)


def test_base_compression_is_what_the_wires_bring_down():
    frame = rig()
    state = solve(frame, taut(frame), no_load(frame))
    total = 0.0
    for start, end, tension in zip(frame.wires.start, frame.wires.end, state.tension, strict=True):
        if frame.fixed[start].all():
            chord = state.position[end] - state.position[start]
            total += tension * chord[2] / np.linalg.norm(chord)
    assert_allclose(state.reaction[frame.names.index("foot"), 2], total, rtol=1e-9)


def test_a_slack_wire_comes_back():
    frame = rig()
    loads = no_load(frame)
    loads[frame.names.index("spreaders"), 1] = -900.0
    slack = solve(frame, taut(frame, 6e-4), loads)
    assert slack.tension[5] == 0.0
    back = solve(frame, taut(frame, 6e-4), no_load(frame), start=slack)
    fresh = solve(frame, taut(frame, 6e-4), no_load(frame))
    assert back.tension[5] > 0.0
    assert_allclose(back.tension, fresh.tension, rtol=1e-6)


def test_start_does_not_change_the_answer():
    frame = rig(load=40.0)
    first = solve(frame, taut(frame), no_load(frame))
    shorter = taut(frame)
    shorter[0] -= 0.002
    assert_allclose(
        solve(frame, shorter, no_load(frame), start=first).tension,
        solve(frame, shorter, no_load(frame)).tension,
        rtol=1e-6,
    )


def test_sensitivity_to_wire_length():
    frame = rig(load=40.0)
    lengths = taut(frame)
    state = solve(frame, lengths, no_load(frame), tolerance=1e-12)
    motion, tension = wire_shortening_sensitivity(frame, state)
    step = 1e-5
    for wire in range(len(lengths)):
        ends = []
        for sign in (1.0, -1.0):
            changed = lengths.copy()
            changed[wire] += sign * step
            ends.append(solve(frame, changed, no_load(frame), tolerance=1e-12))
        slope = (ends[0].tension - ends[1].tension) / (2 * step)
        assert_allclose(tension[:, wire], slope, rtol=2e-3, atol=2e-3 * np.abs(slope).max())
        moved = (ends[0].position - ends[1].position) / (2 * step)
        assert_allclose(motion[:, :3, wire], moved, rtol=2e-3, atol=2e-3 * np.abs(moved).max())


def test_sensitivity_to_force():
    frame = rig(load=40.0)
    lengths = taut(frame)
    state = solve(frame, lengths, no_load(frame), tolerance=1e-12)
    top = frame.names.index("top")
    motion, tension = force_sensitivity(frame, state, top, np.array([-1.0, 0.0, 0.0]))
    loads = no_load(frame)
    loads[top, 0] = -1.0
    pulled = solve(frame, lengths, loads, tolerance=1e-12)
    assert_allclose(tension, pulled.tension - state.tension, atol=2e-3)
    assert_allclose(motion[:, :3], pulled.position - state.position, atol=1e-7)


def test_every_wire_slack_is_named():
    frame = rig()
    with pytest.raises(NotConvergedError) as caught:
        solve(frame, chords(frame, frame.nodes)[0] * 1.05, no_load(frame))
    assert "slack" in str(caught.value)
    assert "Next" in str(caught.value)


def test_a_mast_without_a_step_is_a_mechanism():
    frame = rig(held=False)
    with pytest.raises(NotConvergedError, match=r"resistance|no equilibrium"):
        solve(frame, taut(frame), no_load(frame))


def test_a_wire_turned_away_to_nothing_is_named():
    frame = rig()
    lengths = taut(frame)
    lengths[2] = 0.0
    with pytest.raises(InputError, match="nothing is left of the wire from plate port to spreaders"):
        solve(frame, lengths, no_load(frame))


def test_elastic_support_carries_its_share():
    build = FrameBuilder()
    build.point("foot", (0.0, 0.0, 0.0))
    build.point("top", (0.0, 0.0, 1.0))
    build.spar("foot", "top", Section(70e9, 1e-3, 1e-5, 1e-5, 1e-5))
    build.hold("foot", "x", "y", "z", "turn_z")
    build.spring("foot", "turn_x", 1e4)
    build.spring("foot", "turn_y", 2e4)
    frame = build.build()
    loads = no_load(frame)
    loads[1, :2] = 10.0, 10.0
    state = solve(frame, np.zeros(0), loads)
    bend = 10.0 / (3 * 70e9 * 1e-5)
    assert_allclose(state.position[1, 0], 10.0 / 2e4 + bend, rtol=1e-5)
    assert_allclose(state.position[1, 1], 10.0 / 1e4 + bend, rtol=1e-5)
