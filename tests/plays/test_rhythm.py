"""What RRS 42 forbids is refused, with the rule and the line."""

from __future__ import annotations

import pytest

from cringle.errors import RuleError
from cringle.plays.read import read_play
from cringle.plays.rhythm import faster_after_turn, require_no_rhythm

INSIDE = {"station": "rail_3", "posture": "legs in"}
OUT = {"station": "rail_2", "posture": "hike"}


def refuse(play, as_text):
    with pytest.raises(RuleError) as caught:
        require_no_rhythm(play, as_text(play).toml)
    return caught.value


@pytest.mark.parametrize(("motion", "part"), [("body", "42.2(b)"), ("trim", "42.2(a)"), ("helm", "42.2(d)")])
def test_repeats_are_refused_with_their_part_of_the_rule(make, act, as_text, motion, part):
    play = make([act("a", motion=motion, times=4, line="mainsheet")])
    assert part in str(refuse(play, as_text))


def test_hauling_hand_over_hand_is_no_rhythm(make, act, as_text):
    play = make([act("hoist", motion="gear", times=12)])
    require_no_rhythm(play, as_text(play).toml)


def test_out_and_back_once_is_allowed_and_again_is_not(make, act, as_text):
    moves = [
        act("out", motion="body", at=INSIDE, to=OUT),
        act("back", motion="body", at=OUT, to=INSIDE, after=["out"]),
    ]
    require_no_rhythm(make(moves), as_text(make(moves)).toml)
    again = [*moves, act("out_again", motion="body", at=INSIDE, to=OUT, after=["back"])]
    assert "out_again is the third body motion" in str(refuse(make(again), as_text))


def test_two_people_trimming_two_sheets_is_no_rhythm(make, act, as_text):
    play = make(
        [
            act("a", motion="trim", line="mainsheet"),
            act("b", motion="trim", line="mainsheet"),
            act("c", "jib", motion="trim", line="jib_sheet"),
            act("d", "jib", motion="trim", line="jib_sheet"),
        ]
    )
    require_no_rhythm(play, as_text(play).toml)


@pytest.mark.parametrize("words", ["Pump the main", "keep rocking her", "ooch forward", "scull round"])
def test_words_that_ask_for_it_are_refused(make, act, as_text, words):
    assert "RRS 42.2" in str(refuse(make([act("a", do=words)]), as_text))


@pytest.mark.parametrize("words", ["sheet once; no pumping", "do not scull", "mind the rocks"])
def test_words_that_forbid_it_are_allowed(make, act, as_text, words):
    play = make([act("a", do=words)])
    require_no_rhythm(play, as_text(play).toml)


def test_a_file_is_refused_with_its_line(write_play):
    path = write_play("press_low", ('motion = "body"', 'motion = "body"\ntimes = 5'))
    with pytest.raises(RuleError, match=r"press_low\.toml:\d+: .*refused.*42\.2\(b\)"):
        read_play(path)


def test_leaving_a_tack_faster_is_flagged(make, act):
    fast = make([act("a")], kind="tack", speed_after_share=1.05)
    assert "RRS 42.3(b)" in faster_after_turn(fast)
    assert "105%" in faster_after_turn(fast)
    assert faster_after_turn(make([act("a")], kind="tack", speed_after_share=0.9)) is None
    assert faster_after_turn(make([act("a")], kind="set", speed_after_share=1.5)) is None
    assert faster_after_turn(make([act("a")], kind="gybe")) is None


def test_no_play_of_the_library_repeats_itself(library):
    for text in library.values():
        require_no_rhythm(text.play, text.toml)
        assert faster_after_turn(text.play) is None
