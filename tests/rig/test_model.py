import numpy as np
import pytest
from numpy.testing import assert_allclose

from cringle.errors import InputError
from cringle.physics.frame import chords
from cringle.physics.frame_solver import solve
from cringle.rig.model import RigFactors, bridle_of, build_rig, shortening_m


def changed_rig(files, **fields):
    rig = files.class_file.rig.model_copy(update=fields)
    return files.class_file.model_copy(update={"rig": rig})


def test_wires_are_mirrored_and_caps_run_over_the_spreader(base):
    model = base.model
    assert model.wire_names == (
        "cap_port",
        "cap_starboard",
        "lower_port",
        "lower_starboard",
        "forestay",
        "backstay",
    )
    assert [one.is_lower for one in model.strands if one.name == "cap_port"] == [True, False]
    nodes = model.frame.nodes
    port, starboard = model.node("spreader_tip_port"), model.node("spreader_tip_starboard")
    assert_allclose(nodes[port] * [1, -1, 1], nodes[starboard])


def test_screws_sit_on_the_deck_part_of_their_wire(base):
    model = base.model
    strand = model.strands[model.screw_strand(model.screw("cap_starboard"))]
    assert (strand.name, strand.is_lower) == ("cap_starboard", True)
    assert model.strands[model.screw_strand(model.screw("forestay_screw"))].name == "forestay"
    assert {role: [one.id for one in screws] for role, screws in model.roles().items()} == {
        "cap_shrouds": ["cap_port", "cap_starboard"],
        "lower_shrouds": ["lower_port", "lower_starboard"],
        "forestay": ["forestay_screw"],
    }


def test_a_turn_moves_both_threads(base):
    assert_allclose(shortening_m(base.model.screw("cap_port"), 1.0), 2.1166e-3)


def test_bow_moves_the_middle_forward_only(files):
    straight, bowed = (build_rig(files.class_file, files.boat_file, bow_m=bow) for bow in (0.0, 0.02))
    moved = bowed.frame.nodes - straight.frame.nodes
    assert_allclose(moved[:, 1:], 0.0)
    assert_allclose(moved[[straight.node("mast_foot"), straight.node("masthead")]], 0.0, atol=1e-12)
    assert 0.015 < moved[straight.node("spreader_root"), 0] < 0.02


def test_factors_scale_stiffness(files):
    one, two = (
        build_rig(files.class_file, files.boat_file, factors=factors)
        for factors in (RigFactors(), RigFactors(wire=0.9, mast=1.1))
    )
    assert_allclose(two.frame.wires.stiffness, 0.9 * one.frame.wires.stiffness)
    assert_allclose(two.frame.beams.bending_z[0], 1.1 * one.frame.beams.bending_z[0])


def test_a_factor_must_be_above_zero():
    with pytest.raises(InputError, match="above zero"):
        RigFactors(wire=0.0)


def test_split_backstay_gives_like_its_three_wires(files, base):
    one = files.boat_file.backstay
    number = base.model.strand("backstay")
    give = one.masthead_to_transom_m / base.model.frame.wires.stiffness[number]
    upper = base.model.strands[number].wire.EA
    assert_allclose(give, one.upper_leg_m / upper + 0.5 * one.leg_m / one.leg_stiffness_n)


def test_a_keel_stepped_mast_is_held_at_its_foot(files):
    model = build_rig(changed_rig(files, mast_step="keel"), files.boat_file)
    assert np.all(model.frame.fixed[model.node("mast_foot")])


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"points": {"mast_foot": (0.0, 0.0, 0.0)}}, "has no 'spreader_root'"),
        ({"boom_above_deck": 5.0}, "above the spreaders"),
    ],
)
def test_impossible_geometry_is_named(files, fields, words):
    with pytest.raises(InputError, match=words):
        build_rig(changed_rig(files, **fields), files.boat_file)


def test_an_inverted_mast_is_named(files):
    points = dict(files.class_file.rig.points)
    points["mast_foot"], points["masthead"] = points["masthead"], points["mast_foot"]
    with pytest.raises(InputError, match="stands on its head"):
        build_rig(changed_rig(files, points=points), files.boat_file)


def test_a_wire_to_nowhere_is_named(files):
    wires = tuple(
        one.model_copy(update={"end": "cloud"}) if one.id == "cap" else one
        for one in files.class_file.rig.wires
    )
    with pytest.raises(InputError, match="'cloud'"):
        build_rig(changed_rig(files, wires=wires), files.boat_file)


def test_a_wire_the_wrong_way_round_is_named(files):
    wires = tuple(
        one.model_copy(update={"start": "masthead", "end": "transom"}) if one.id == "backstay" else one
        for one in files.class_file.rig.wires
    )
    with pytest.raises(InputError, match="must end on the mast"):
        build_rig(changed_rig(files, wires=wires), files.boat_file)


def test_a_panel_to_nowhere_is_named(files):
    panels = tuple(
        one.model_copy(update={"upper": "cloud"}) if one.lower == "hounds" else one
        for one in files.class_file.rig.panels
    )
    with pytest.raises(InputError, match="mast panel ends at 'cloud'"):
        build_rig(changed_rig(files, panels=panels), files.boat_file)


def test_unknown_names_list_the_known(base):
    with pytest.raises(InputError, match="there are: cap_port, cap_starboard"):
        base.model.strand("main_sheet")
    with pytest.raises(InputError, match="there are: cap_port, cap_starboard, lower_port"):
        base.model.screw("nut")


def test_bridle_is_the_boat_file(files):
    assert_allclose(bridle_of(files.boat_file.backstay).apex_height, np.sqrt(2.1632**2 - 0.72**2))


def test_partners_hold_the_mast_at_the_deck(files):
    """A mast stepped on the keel, held at the deck: the same pull aloft bends it less."""
    points = dict(files.class_file.rig.points)
    foot = points["mast_foot"]
    points["partners"] = (foot[0], 0.0, foot[2] + 0.6)
    kept = build_rig(changed_rig(files, points=points, mast_step="keel"), files.boat_file)
    assert list(kept.frame.fixed[kept.node("partners")]) == [True, True, False, False, False, False]
    bent = []
    for model in (build_rig(files.class_file, files.boat_file), kept):
        length = chords(model.frame, model.frame.nodes)[0] / 1.002
        load = np.zeros((len(model.frame.nodes), 6))
        load[model.node("masthead"), 0] = -100.0
        still, pulled = (solve(model.frame, length, each) for each in (np.zeros_like(load), load))
        bent.append(pulled.position[model.node("masthead"), 0] - still.position[model.node("masthead"), 0])
    assert abs(bent[1]) < abs(bent[0])


def test_partners_above_the_boom_are_named(files):
    points = dict(files.class_file.rig.points)
    points["partners"] = (3.52, 0.0, 3.0)
    with pytest.raises(InputError, match="partners at 3 m"):
        build_rig(changed_rig(files, points=points), files.boat_file)


def test_three_elements_a_panel_are_enough(files, monkeypatch):
    """Against ten, in a wind, backstay hauled: tensions within 0.1 % of the largest, shape within 0.3 mm."""
    from cringle.rig import model
    from cringle.rig.base import base_tune
    from cringle.rig.turns import Setting, solve_setting
    from cringle.rig.wind_load import upwind_load

    load = upwind_load(files.class_file, 14.0, crew_kg=320.0)
    found = []
    for pieces in (model.PIECES, 10):
        monkeypatch.setattr(model, "PIECES", pieces)
        base = base_tune(files.class_file, files.boat_file)
        state = solve_setting(base, Setting({"cap_port": 1.0, "cap_starboard": 1.0}, 600.0, load)).state
        found.append((list(state.tensions_n.values()), [state.prebend_mm, state.rake_mm, state.sag_mm]))
    assert_allclose(found[0][0], found[1][0], atol=0.001 * max(found[1][0]))
    assert_allclose(found[0][1], found[1][1], atol=0.3)
