"""The communication sheet."""

from __future__ import annotations

import pytest

from cringle.errors import BookFileError, InputError
from cringle.plays.duties import DutiesFile, read_duties, sheet_of

TOPIC = {"id": "puffs", "words": "puffs", "legs": ["beat"]}


def duty(role, kind, **more):
    base = {"role": role, "legs": ["beat"], "kind": kind, "what": f"{kind} it"}
    return {**base, **more}


def file_with(duties, **head):
    base = {"schema_version": 1, "legs": ["beat", "run"], "roles": ["helm", "main", "jib"], "topics": [TOPIC]}
    return DutiesFile.model_validate({**base, **head, "duties": duties})


def say(role, **more):
    return duty(role, "say", topic="puffs", to="all", **more)


def test_nobody_calls_puffs():
    assert sheet_of(file_with([duty("helm", "do")])).holes == ("beat: nobody calls puffs",)


def test_two_people_call_puffs():
    sheet = sheet_of(file_with([say("main"), say("jib"), duty("main", "watch", topic="puffs")]))
    assert sheet.overlaps == ("beat: main and jib call puffs",)
    assert sheet.holes == ()


def test_what_is_called_must_be_watched():
    assert "nobody watches it" in sheet_of(file_with([say("main")])).holes[0]
    felt = file_with([say("main")], topics=[{**TOPIC, "must_be_watched": False}])
    assert sheet_of(felt).holes == ()


def test_speaking_to_somebody_who_is_not_aboard():
    spoken = duty("main", "say", topic="puffs", to="jib")
    sheet = sheet_of(file_with([spoken, duty("main", "watch", topic="puffs")]), ["helm", "main"])
    assert "speaks to jib, who is not aboard" in sheet.holes[0]


def test_too_many_words_a_minute():
    sheet = sheet_of(file_with([say("main", every_s=3.0), duty("main", "watch", topic="puffs")]))
    assert sheet.loads == ("beat: main would speak 20 times a minute; give some of it away",)


def test_duties_of_a_role_in_the_order_do_watch_say():
    sheet = sheet_of(file_with([say("main"), duty("main", "watch", topic="puffs"), duty("main", "do")]))
    assert [one.kind.value for one in sheet.of("main", "beat")] == ["do", "watch", "say"]
    assert sheet.of("main", "run") == []


def test_the_library_sheet_has_no_hole_and_no_overlap(examples):
    sheet = read_duties(examples / "plays" / "duties.toml")
    assert (sheet.holes, sheet.overlaps, sheet.loads) == ((), (), ())
    words = " ".join(one.words for one in sheet.file.topics)
    for wanted in ("next minute's pressure", "nearest boat to windward", "heel", "helm's load"):
        assert wanted in words


def test_without_the_forward_hand_holes_appear(examples):
    sheet = read_duties(examples / "plays" / "duties.toml")
    short = sheet_of(sheet.file, ["helm", "main", "jib"])
    assert any("next minute's pressure" in one for one in short.holes)


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('role = "helm"\n', 'role = "hellm"\n', "no such role"),
        ('topic = "clock"', 'topic = "clok"', "no such topic"),
        ('to = "main"', 'to = "mainn"', "no such role"),
        ('legs = ["start"]', 'legs = ["strat"]', "no such leg"),
        ('topic = "helm_load"\n', "", "needs a topic"),
    ],
)
def test_mistakes_name_their_line(examples, tmp_path, old, new, said):
    text = (examples / "plays" / "duties.toml").read_text(encoding="utf-8")
    assert old in text
    path = tmp_path / "duties.toml"
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
    with pytest.raises(BookFileError) as caught:
        read_duties(path)
    assert any(said in one.message and one.line for one in caught.value.findings)


def test_a_file_that_is_not_there(tmp_path):
    with pytest.raises(InputError, match="no such file"):
        read_duties(tmp_path / "duties.toml")
