import numpy as np
import pytest
from numpy.testing import assert_allclose

from cringle.errors import NotConvergedError
from cringle.rig.base import BaseTarget, base_tune, file_target


def test_reaches_the_files_tensions_and_prebend(base):
    found = base.state.tensions_n
    assert_allclose([found["cap_port"], found["cap_starboard"]], 2600.0, atol=0.05)
    assert_allclose([found["lower_port"], found["lower_starboard"]], 400.0, atol=0.05)
    assert_allclose(found["backstay"], 150.0, atol=0.05)
    assert_allclose(base.state.prebend_mm, 25.0, atol=2e-3)
    assert_allclose(base.state.rake_mm, 0.0, atol=1e-3)
    assert base.state.slack == ()


def test_forestay_is_what_moments_about_the_foot_say(base):
    """Statics alone, on the solved shape: a mast on deck carries no moment at its foot."""
    frame, state = base.model.frame, base.equilibrium
    foot = state.position[base.model.node("mast_foot")]
    total = 0.0
    for number, strand in enumerate(base.model.strands):
        if not strand.is_lower:
            continue
        deck, upper = (state.position[side[number]] for side in (frame.wires.start, frame.wires.end))
        pull = (upper - deck) / np.linalg.norm(upper - deck) * state.tension[number]
        total += np.cross(deck - foot, -pull)[1]
    assert abs(total) < 1e-6 * 2600.0 * 9.0


def test_a_measured_base_moves_with_its_tensions(files):
    tighter = base_tune(
        files.class_file,
        files.boat_file,
        target=BaseTarget({"cap": 3200.0, "lower": 400.0, "backstay": 150.0}, 25.0),
    )
    assert_allclose(tighter.state.tensions_n["cap_port"], 3200.0, atol=0.05)
    assert tighter.state.tensions_n["forestay"] > 1450.0


def test_rake_is_set_by_the_forestay(files, base):
    raked = base_tune(
        files.class_file,
        files.boat_file,
        target=BaseTarget(file_target(files.class_file, files.boat_file).tensions_n, 25.0, 200.0),
    )
    assert_allclose(raked.state.rake_mm, 200.0, atol=1e-2)
    stay = base.model.strand("forestay")
    assert raked.unstressed[stay] > base.unstressed[stay]


def test_an_absurd_prebend_is_refused(files):
    wanted = BaseTarget({"cap": 2600.0, "lower": 400.0, "backstay": 150.0}, 900.0)
    with pytest.raises(NotConvergedError, match="does not go with these base tensions"):
        base_tune(files.class_file, files.boat_file, target=wanted)


def test_wires_are_shorter_than_their_chords(base):
    chord = np.linalg.norm(
        base.equilibrium.position[base.model.frame.wires.end]
        - base.equilibrium.position[base.model.frame.wires.start],
        axis=1,
    )
    assert_allclose(
        chord / base.unstressed - 1.0, base.equilibrium.tension / base.model.frame.wires.stiffness
    )
