import numpy as np
import pytest
from numpy.testing import assert_allclose

from cringle.errors import InputError, NotConvergedError
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


def with_rig(files, **fields):
    rig = files.class_file.rig
    return files.class_file.model_copy(update={"rig": rig.model_copy(update=fields)})


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ("no shrouds", "no wire of kind 'cap_shroud'"),
        ("no caps", "no wire of kind 'cap_shroud'"),
        ("no forestay", "no wire of kind 'forestay'"),
        ("plates at the mast", "athwartships without resistance"),
        ("far too tight", "may buckle"),
        ("soft mast", "mast buckles"),
        ("stem at the hounds", "from stem forestay to hounds has no length"),
    ],
)
def test_a_rig_that_cannot_stand_says_what_gives_way(files, change, words):
    rig = files.class_file.rig
    fields = {
        "no shrouds": {"wires": tuple(one for one in rig.wires if not one.pair)},
        "no caps": {"wires": tuple(one for one in rig.wires if one.id != "cap")},
        "plates at the mast": {"points": {**rig.points, "chainplate": (3.52, 0.0, 0.7)}},
        "no forestay": {"wires": tuple(one for one in rig.wires if one.id != "forestay")},
        "far too tight": {"wires": tuple(one.model_copy(update={"base_tension": 60e3}) for one in rig.wires)},
        "soft mast": {
            "panels": tuple(
                one.model_copy(update={"I_fore_aft": 1e-9, "I_athwart": 1e-9}) for one in rig.panels
            )
        },
        "stem at the hounds": {"points": {**rig.points, "stem": rig.points["hounds"]}},
    }[change]
    with pytest.raises((InputError, NotConvergedError), match=words) as caught:
        base_tune(with_rig(files, **fields), files.boat_file)
    assert caught.value.next_step


def test_rigs_without_lowers_or_backstay_stand(files):
    for missing in ("lower", "backstay"):
        wires = tuple(one for one in files.class_file.rig.wires if one.id != missing)
        found = base_tune(with_rig(files, wires=wires), files.boat_file)
        assert_allclose(found.state.tensions_n["cap_port"], 2600.0, atol=0.1)
