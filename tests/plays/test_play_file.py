"""The play file's own fields."""

from __future__ import annotations

import pytest
from pydantic import ValidationError

from cringle.plays.play_file import Action, Cue, PlayFile, checked_three_point


def test_three_times_in_order():
    assert checked_three_point((1.0, 2.0, 2.0)) == (1.0, 2.0, 2.0)


@pytest.mark.parametrize(
    ("times", "said"),
    [
        ((-1.0, 2.0, 3.0), "negative"),
        ((3.0, 2.0, 4.0), "not in the order"),
        ((1.0, 2.0, 700.0), "too long"),
    ],
)
def test_times_that_cannot_be(times, said):
    with pytest.raises(ValueError, match=said):
        checked_three_point(times)


def test_an_action_needs_a_role_or_a_skill(act):
    with pytest.raises(ValidationError, match="role, or the skill"):
        Action.model_validate(act("a", None))
    assert Action.model_validate(act("a", None, skill="packs")).skill == "packs"


def test_to_needs_at(act):
    with pytest.raises(ValidationError, match="where the person comes from"):
        Action.model_validate(act("a", to={"station": "centre", "posture": "centreline"}))


def test_a_cue_comes_from_the_water_or_from_an_action():
    with pytest.raises(ValidationError, match="not both"):
        Cue.model_validate({"id": "a", "words": "A", "at_s": [0, 0, 0], "on": "b.end"})
    with pytest.raises(ValidationError, match="not both"):
        Cue.model_validate({"id": "a", "words": "A"})
    with pytest.raises(ValidationError):
        Cue.model_validate({"id": "a", "words": "A", "on": "b.middle"})


def test_with_is_written_as_with(act):
    assert Action.model_validate(act("a", **{"with": ["b"]})).starts_with == ("b",)


def test_words_fall_back_on_the_deed(act):
    assert Action.model_validate(act("a")).words == "do a"
    assert Action.model_validate(act("a", say="Now")).words == "Now"


def test_where_a_person_is_afterwards(act):
    spot = {"station": "rail_2", "posture": "hike"}
    there = {"station": "centre", "posture": "centreline"}
    assert Action.model_validate(act("a", at=spot)).leaves_at.station == "rail_2"
    assert Action.model_validate(act("a", at=spot, to=there)).leaves_at.station == "centre"
    assert Action.model_validate(act("a")).leaves_at is None


@pytest.mark.parametrize("count", [1, 7])
def test_two_to_six_roles(make, act, count):
    roles = [{"id": f"r{n}", "at": {"station": "rail_1", "posture": "hike"}} for n in range(count)]
    with pytest.raises(ValidationError, match="roles"):
        make([act("a")], roles=roles)


def test_winds_in_order(make, act):
    with pytest.raises(ValidationError, match="wind_low_kn"):
        make([act("a")], wind_low_kn=12, wind_high_kn=8)


def test_unknown_fields_are_mistakes(make, act):
    with pytest.raises(ValidationError, match="Extra inputs"):
        make([act("a", colour="red")])


def test_look_ups(make, act):
    play: PlayFile = make([act("a")])
    assert play.action("a").id == "a"
    assert play.cue("due").words == "Due"
    assert play.starting_spot("jib").station == "rail_3"
    assert play.starting_spot("spare") is None
