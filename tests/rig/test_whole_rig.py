"""What must hold for every setting of the demo rig, whatever it is set to."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.physics.wire import arc_excess
from cringle.rig.state import quantities, turn_sensitivity
from cringle.rig.turns import Setting, lengths, node_forces, role_turns, solve_setting
from cringle.rig.wind_load import upwind_load

turn = st.floats(-2.0, 5.0)
setting = st.fixed_dictionaries(
    {
        "cap_shrouds": turn,
        "lower_shrouds": st.floats(-1.0, 4.0),
        "forestay": st.floats(-2.0, 2.0),
        "wind": st.floats(0.0, 24.0),
        "pull": st.floats(0.0, 900.0),
    }
)


def solved(base, files, drawn):
    turns = role_turns(
        base.model, {name: drawn[name] for name in ("cap_shrouds", "lower_shrouds", "forestay")}
    )
    load = upwind_load(files.class_file, drawn["wind"], crew_kg=320.0)
    return solve_setting(base, Setting(turns, drawn["pull"], load))


def all_forces(found):
    """Return every outside force: node loads, half of each stay's side load at its ends, reactions."""
    frame = found.model.frame
    forces = node_forces(found.model, found.setting.load)
    length = np.linalg.norm(frame.nodes[frame.wires.end] - frame.nodes[frame.wires.start], axis=1)
    half = 0.5 * frame.wires.side_load * length[:, None]
    np.add.at(forces[:, :3], frame.wires.start, half)
    np.add.at(forces[:, :3], frame.wires.end, half)
    return forces + found.equilibrium.reaction


@settings(max_examples=25)
@given(setting)
def test_forces_and_moments_balance(base, files, drawn):
    found = solved(base, files, drawn)
    total = all_forces(found)
    size = max(float(np.max(found.equilibrium.tension)), 100.0)
    assert_allclose(total[:, :3].sum(axis=0) / size, 0.0, atol=1e-6)
    moment = np.cross(found.equilibrium.position, total[:, :3]).sum(axis=0) + total[:, 3:].sum(axis=0)
    assert_allclose(moment / (size * 9.0), 0.0, atol=1e-6)


@settings(max_examples=25)
@given(setting)
def test_no_wire_pushes_and_slack_ones_are_too_long(base, files, drawn):
    found = solved(base, files, drawn)
    frame = found.model.frame
    chord = np.linalg.norm(
        found.equilibrium.position[frame.wires.end] - found.equilibrium.position[frame.wires.start], axis=1
    )
    unstressed = lengths(base, found.setting)
    assert np.all(found.equilibrium.tension >= 0.0)
    loaded = frame.wires.side_load.any(axis=1)
    slack = (found.equilibrium.tension == 0.0) & ~loaded
    assert np.all(chord[slack] <= unstressed[slack] + 1e-9)
    taut = (found.equilibrium.tension > 0.0) & ~loaded
    strain = found.equilibrium.tension[taut] / frame.wires.stiffness[taut]
    assert_allclose(chord[taut] / unstressed[taut] - 1.0, strain, atol=1e-9)


@settings(max_examples=25)
@given(setting)
def test_the_forestay_is_as_long_as_its_cloth_says(base, files, drawn):
    """Chord plus the extra arc of the sag is the stretched length."""
    found = solved(base, files, drawn)
    number = found.model.strand("forestay")
    frame = found.model.frame
    ends = found.equilibrium.position[[frame.wires.start[number], frame.wires.end[number]]]
    chord = float(np.linalg.norm(ends[1] - ends[0]))
    stretched = lengths(base, found.setting)[number] * (
        1 + found.equilibrium.tension[number] / frame.wires.stiffness[number]
    )
    sag = 1e-3 * found.state.sag_mm
    if sag > 0.0:
        assert_allclose(chord + arc_excess(sag, chord), stretched, atol=2e-6)


@settings(max_examples=12)
@given(setting)
def test_the_same_setting_has_one_answer(base, files, drawn):
    """From the base, and from a state far away."""
    first = solved(base, files, drawn)
    far = solve_setting(
        base, Setting(role_turns(base.model, {"cap_shrouds": 5.0, "lower_shrouds": -1.0}), 800.0)
    )
    again = solve_setting(base, first.setting, start=far)
    assert_allclose(again.equilibrium.tension, first.equilibrium.tension, rtol=1e-5, atol=0.05)


@settings(max_examples=8)
@given(setting)
def test_sensitivity_everywhere(base, files, drawn):
    """The tangent's answer to a small turn against a new solution, away from where a wire goes slack."""
    found = solved(base, files, drawn)
    if np.any(found.equilibrium.tension < 60.0):
        return
    table = turn_sensitivity(found.model, found.equilibrium)
    step = 0.02
    for screw in ("cap_starboard", "lower_port"):
        ends = []
        for sign in (1.0, -1.0):
            turns = {**found.setting.turns, screw: found.setting.turns[screw] + sign * step}
            moved = solve_setting(base, Setting(turns, found.setting.backstay_pull_mm, found.setting.load))
            ends.append(quantities(moved.model, moved.equilibrium.position, moved.equilibrium.tension))
        slope = (ends[0] - ends[1]) / (2 * step)
        column = table.table[:, table.screws.index(screw)]
        assert_allclose(column, slope, rtol=0.03, atol=0.03 * np.abs(slope).max())


@pytest.mark.parametrize("wind", [6.0, 12.0, 18.0])
def test_the_other_tack_is_the_mirror(base, files, wind):
    """Turn the wind's side forces round: port and starboard change places."""
    from dataclasses import replace

    load = upwind_load(files.class_file, wind, crew_kg=320.0)

    def flip(triple):
        return (triple[0], -triple[1], triple[2])

    other = replace(
        load,
        forces_n={name: flip(force) for name, force in load.forces_n.items()},
        main_luff_n_per_m=flip(load.main_luff_n_per_m),
        stay_n_per_m=flip(load.stay_n_per_m),
    )
    here, there = (solve_setting(base, Setting({}, 200.0, one)).state for one in (load, other))
    for wire in ("cap", "lower"):
        assert_allclose(
            here.tensions_n[f"{wire}_port"], there.tensions_n[f"{wire}_starboard"], rtol=1e-5, atol=0.01
        )
    assert_allclose(here.tip_to_leeward_mm, -there.tip_to_leeward_mm, rtol=1e-5)
    assert_allclose(
        [here.sag_mm, here.prebend_mm, here.rake_mm],
        [there.sag_mm, there.prebend_mm, there.rake_mm],
        rtol=1e-5,
    )


def test_more_wind_more_windward_shroud_until_depowered(base, files):
    tension = [
        solve_setting(
            base, Setting({}, 0.0, upwind_load(files.class_file, wind, crew_kg=320.0))
        ).state.tensions_n["cap_starboard"]
        for wind in (0.0, 4.0, 8.0, 12.0)
    ]
    assert np.all(np.diff(tension) > 0.0)


def test_backstay_and_caps_do_different_things(base, files):
    """Both tighten the forestay; the backstay bends the mast, the caps hardly."""
    load = upwind_load(files.class_file, 12.0, crew_kg=320.0)
    plain = solve_setting(base, Setting({}, 300.0, load)).state
    hauled = solve_setting(base, Setting({}, 800.0, load)).state
    caps = solve_setting(base, Setting(role_turns(base.model, {"cap_shrouds": 4.0}), 300.0, load)).state
    assert hauled.sag_mm < plain.sag_mm
    assert caps.sag_mm < plain.sag_mm
    assert hauled.prebend_mm - plain.prebend_mm > 3.0 * abs(caps.prebend_mm - plain.prebend_mm)
