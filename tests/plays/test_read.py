"""Reading play files, and what the library must hold to."""

from __future__ import annotations

import pytest

from cringle.errors import BookFileError, InputError
from cringle.plays.play_file import PlayKind
from cringle.plays.read import find_play, play_paths, read_play

WANTED = {
    "tack", "windward_mark_offset", "set_straight", "set_wing", "set_after_gybe", "gybe_kite", "soak_to_wing",
    "wing_to_soak", "wing_gybe", "plane_jib_out", "plane_gybe", "drop_windward", "drop_leeward", "puff_lull",
    "press_low", "bad_set", "speed_build", "broach", "kite_in_water", "wrap", "man_overboard",
}  # fmt: skip
SETS = ("set_straight", "set_wing", "set_after_gybe")


def test_the_library_has_every_play(library):
    assert set(library) == WANTED


def test_the_name_of_the_file_is_the_id(write_play):
    path = write_play("tack", ('id = "tack"', 'id = "tacking"'))
    with pytest.raises(BookFileError, match="a play's id is its file's name"):
        read_play(path)


def test_find_by_id_path_or_not_at_all(examples, tmp_path):
    paths = play_paths(examples / "plays")
    assert "duties" not in paths
    assert find_play("tack", paths) == paths["tack"]
    assert find_play("x/y.toml", paths).name == "y.toml"
    with pytest.raises(InputError, match=r"no play 'takc'; accepted: .*did you mean 'tack'"):
        find_play("takc", paths)
    assert play_paths(tmp_path / "nothing") == {}


def test_a_file_that_is_not_there(tmp_path):
    with pytest.raises(InputError, match="no such file"):
        read_play(tmp_path / "gone.toml")


def test_broken_toml_names_its_line(write_play):
    with pytest.raises(BookFileError, match=r"tack\.toml:\d+: not valid TOML"):
        read_play(write_play("tack", ('title = "Tack"', 'title = "Tack')))


@pytest.mark.parametrize("name", SETS)
def test_tack_and_head_reach_their_ends_together_and_the_kite_is_sheeted_after_both(library, name):
    play = library[name].play
    hoist, pole = play.action("hoist"), play.action("pole_out")
    assert "pole_out" in hoist.ends_with
    assert play.ends is not None
    assert {play.ends.tack, play.ends.head} == {"pole_out", "hoist"}
    sheet = next(one for one in play.actions if one.id in ("sheet_kite", "wing_sheet"))
    assert {"hoist", "pole_out"} <= set(sheet.after)
    assert pole.line == "pole_line"


@pytest.mark.parametrize("name", SETS)
def test_the_tack_is_drawn_to_its_mark_from_the_rail(library, name):
    drawn = library[name].play.action("tack_forward")
    assert drawn.to is None
    assert drawn.at.station.startswith("rail_")
    assert "25 mm" in drawn.do
    assert drawn.before_cue == "at_mark"


@pytest.mark.parametrize("name", ["windward_mark_offset", *SETS])
def test_somebody_hikes_until_the_boat_is_past_the_mark(library, name):
    hike = library[name].play.action("hike_on")
    assert hike.hold
    assert set(hike.not_until) <= {"past_mark", "at_mark"}


@pytest.mark.parametrize("name", ["gybe_kite", "plane_gybe", "wing_gybe"])
def test_the_jib_is_furled_before_every_gybe_under_kite(library, name):
    play = library[name].play
    assert play.action("furl").line == "jib_furler"
    assert "furl" in play.action("gybe_call").after
    assert "gybe_call" in play.action("turn").after


def test_planing_sheets_the_jib_only_once_it_draws(library):
    play = library["plane_jib_out"].play
    assert "starve" in play.action("unroll").do
    assert play.action("jib_sheet").after == ("unroll",)
    assert "slightly open" in play.action("jib_sheet").do


def test_lane_and_technique_are_called_before_the_mark(library):
    play = library["windward_mark_offset"].play
    assert play.action("lane").before_cue == "three_lengths"
    assert play.action("technique").before_cue == "three_lengths"


def test_weight_moves_once_and_the_helm_stays_still_when_pressing_low(library):
    play = library["press_low"].play
    assert [one.id for one in play.actions if one.motion.value == "body"] == ["weight_over"]
    assert "still" in play.action("hold_helm").do


def test_a_puff_is_answered_weight_sheet_bow(library):
    play = library["puff_lull"].play
    first, second, third = (play.action(f"{one}_hand") for one in ("first", "second", "third"))
    assert [one.motion.value for one in (first, second, third)] == ["body", "trim", "helm"]
    assert "feather" in third.do
    assert "heel" in play.cue("puff").words.lower()


def test_trouble_puts_people_first(library):
    for name, text in library.items():
        if text.play.kind is PlayKind.TROUBLE:
            assert text.play.cautions, name
    overboard = " ".join(library["man_overboard"].play.cautions)
    for words in ("People first", "training", "local rules", "RRS 1.1", "Cold water"):
        assert words in overboard


def test_every_play_has_faults_with_cause_and_cure(library):
    for name, text in library.items():
        assert len(text.play.faults) >= 2, name
    symptoms = {one.symptom: one.cause for one in library["set_straight"].play.faults}
    assert "sheeted before" in symptoms["No acceleration after the hoist"]
