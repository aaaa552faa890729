"""Mistakes between the parts of a play file, with file, line and field."""

from __future__ import annotations

import pytest

from cringle.errors import BookFileError
from cringle.plays.check_file import check_against_class, check_play
from cringle.plays.read import read_play


def mistakes(path):
    with pytest.raises(BookFileError) as caught:
        read_play(path)
    return caught.value.findings


def line_of(path, text):
    return path.read_text(encoding="utf-8")[: path.read_text(encoding="utf-8").index(text)].count("\n") + 1


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ('after = ["call"]', 'after = ["cal"]', "no such action"),
        ('after = ["call"]', 'after = ["look"]', "cannot wait for itself"),
        ('role = "jib"', 'role = "jibb"', "no such role of this play"),
        ('not_before_cue = "through"', 'not_before_cue = "thru"', "no such cue"),
        ('before_cue = "through"', 'before_cue = "thru"', "no such cue"),
        ('on = "turn_up.end"', 'on = "turn_upp.end"', "no such action"),
        ('done_by = "speed_due"', 'done_by = "speed_dew"', "no such cue"),
        ('flips_at = "through"', 'flips_at = "thru"', "no such cue"),
        ('ends_with = ["settle_jib"]', 'ends_with = ["settle_jibe"]', "no such action"),
        ("duration_s = [0.5, 0.8, 1.5]", "duration_s = [-0.5, 0.8, 1.5]", "negative"),
        ("duration_s = [0.5, 0.8, 1.5]", "duration_s = [1.5, 0.8, 0.5]", "not in the order"),
        ('id = "look"', 'id = "call"', "this id is there already"),
        ('id = "look"', 'id = "through"', "a cue has this id"),
        ("hands = 2", "hands = 3", "less than or equal to 2"),
        ('kind = "tack"', 'kind = "tak"', "not a word this field knows"),
        ('title = "Tack"', 'titel = "Tack"', "no such field"),
    ],
)
def test_each_mistake_names_its_line(write_play, old, new, message):
    wanted = line_of(write_play("tack"), old)
    path = write_play("tack", (old, new))
    found = mistakes(path)
    assert any(message in one.message and one.line == wanted for one in found), [str(one) for one in found]
    assert all(one.path == path for one in found)


def test_a_near_miss_is_offered(write_play):
    found = mistakes(write_play("tack", ('after = ["call"]', 'after = ["cal"]')))
    assert found[0].nearest == "call"


def test_several_mistakes_come_at_once_in_order_of_lines(write_play):
    path = write_play("tack", ('role = "jib"', 'role = "job"'), ('after = ["look"]', 'after = ["lock"]'))
    lines = [one.line for one in mistakes(path)]
    assert len(lines) == 2
    assert lines == sorted(lines)


def test_two_ends_tied_to_different_cues(make, act, as_text):
    cues = [
        {"id": "due", "words": "Due", "at_s": [9, 9, 9]},
        {"id": "other", "words": "Other", "at_s": [12, 12, 12]},
    ]
    actions = [
        act("hoist", ends_with=["pole"], ends_at_cue="due"),
        act("pole", "forward", ends_at_cue="other"),
    ]
    play = make(actions, cues=cues)
    (found,) = check_play(play, as_text(play).toml)
    assert "pole and hoist end together but are tied to different cues: other and due" in found.message


def test_ends_tied_to_one_cue_are_well(make, act, as_text):
    actions = [act("hoist", ends_with=["pole"], ends_at_cue="due"), act("pole", "forward", ends_at_cue="due")]
    play = make(actions)
    assert check_play(play, as_text(play).toml) == []


def test_three_hundred_actions_are_too_many(write_play):
    path = write_play("tack")
    more = "".join(
        f'\n[[actions]]\nid = "extra_{n}"\ndo = "x"\nrole = "main"\nduration_s = [1, 1, 1]\n'
        for n in range(286)
    )
    text = path.read_text(encoding="utf-8").replace("\n[[faults]]", more + "\n[[faults]]", 1)
    path.write_text(text, encoding="utf-8")
    (found,) = mistakes(path)
    assert found.found == "300"
    assert found.accepted == "at most 100"
    assert found.line is not None
    assert found.line > 100


def test_stations_and_postures_of_the_class(make, act, as_text, files):
    postures = {one.id: [p.value for p in one.postures] for one in files.class_file.stations}
    good = make([act("a", at={"station": "rail_2", "posture": "hike"})])
    assert list(check_against_class(good, as_text(good).toml, postures)) == []
    bad = make(
        [
            act("a", at={"station": "rail_2", "posture": "hatch"}),
            act("b", at={"station": "rail_9", "posture": "hike"}),
        ]
    )
    messages = [str(one) for one in check_against_class(bad, as_text(bad).toml, postures)]
    assert "rail_2 has no such posture" in messages[0]
    assert "no such station" in messages[1]


def test_the_ends_table_names_actions(make, act, as_text):
    play = make([act("a")], ends={"tack": "a", "head": "hoist"})
    (found,) = check_play(play, as_text(play).toml)
    assert found.field == "ends.head"
