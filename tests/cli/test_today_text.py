from __future__ import annotations

from dataclasses import replace

import pytest

from cringle.boat.base import RuleState
from cringle.cli.today_text import LAST_WORD, move_text, today_text
from cringle.findings import Number, Source
from cringle.settings.moves import Move
from cringle.settings.places import Place
from cringle.settings.roles import RoleScale
from cringle.settings.start_numbers import StartNumber, StartNumbers
from cringle.settings.tonight import Call, RigTonight, Tonight, TonightWind


def scale(role):
    return RoleScale(role, role.replace("_", " "), "mark", 0, 12, 0.5, "main", "harder", RuleState.ANY_TIME)


def joined(text):
    return " ".join(text.split())


def numbers(gears=("build", "settled"), role="vang"):
    found = [StartNumber(gear, role, Number(2.5, "mark", Source.ENTERED), 2.5) for gear in gears]
    return StartNumbers("main+jib", "chop", 11, tuple(found))


@pytest.fixture
def answer():
    return Tonight(
        boat="Brindle",
        wind=TonightWind(11.0, 10.0, 11.0, 10.0, 11.0),
        sea="chop",
        sail_set="main+jib",
        sail_set_name="main and jib",
        point="up",
        numbers=numbers(),
        scales={"vang": scale("vang")},
        workers={"vang": "Tobias"},
        moves=(Move(14.0, "Tobias", "vang", "vang", "mark", 2.5, 4.0, 3, "harder", RuleState.ANY_TIME),),
        crew=(Place("Ines", "rail_4", "legs in", "rail, aft"),),
        rig=RigTonight(),
    )


def test_the_page_of_a_small_book(answer):
    assert today_text(answer).splitlines() == [
        "Brindle tonight: 11 kn at 10 m, chop, main and jib",
        "=" * 80,
        "FIRST    set the numbers below, then sail and look at the cues.",
        "",
        "                       build     settled",
        "TOBIAS, main",
        "  vang                 2½ (E)    2½ (E)    o┼─┼─┼█┼─>─┼─┼─┼─┼─┼─┼─┼─┼o 0 to 12",
        "",
        "Places   Ines rail, aft, legs in.",
        "Heel     no target on record yet.",
        "",
        "If it builds to 14 kn",
        "  Tobias   vang: harder by 1½ to 4.",
        "",
        "Sure?    (E) entered. █ tonight, < > at the next wind up.",
        "The class rules, the sailing instructions and a qualified rigger have the last",
        "word.",
    ]
    assert LAST_WORD.endswith("last word.")


def test_heel_call_and_range_are_said(answer):
    more = replace(
        answer,
        wind=replace(answer.wind, low_kn=9.0, high_kn=13.0, gust_kn=16.0),
        heel_up=Number(14.0, "deg", Source.COMPUTED),
        call=Call("left", "soak", "furled", 12.4, "less wind on the right", 13.2),
    )
    text = joined(today_text(more))
    assert "11 kn (9 to 13), gusts 16 at 10 m" in text
    assert "Heel 14° (C), positive to leeward." in text
    assert "(C) computed" in text
    assert (
        "Run soak, jib furled, left, worth 12 m a minute; changes at 13 kn. less wind on the right." in text
    )


@pytest.mark.parametrize("gears", [("a",), ("a", "b", "c"), ("a" * 30, "b", "c", "d", "e", "f", "g")])
def test_any_number_of_gears_fits(answer, gears):
    text = today_text(replace(answer, numbers=numbers(gears)))
    assert max(len(line) for line in text.splitlines()) <= 80


def test_a_long_name_never_runs_into_its_number(answer):
    role = "second_reef_line_at_the_boom_end_leeward"
    long = replace(
        answer, numbers=numbers(role=role), scales={role: scale(role)}, workers={role: "Tobias"}, moves=()
    )
    row = next(line for line in today_text(long).splitlines() if line.startswith("  second"))
    assert " 2½ (E)" in row
    assert len(row) <= 80


def test_no_numbers_still_make_a_page(answer):
    empty = replace(answer, numbers=StartNumbers("main+jib", "chop", 11, ()), moves=())
    text = joined(today_text(empty))
    assert "no numbers for these sails yet" in text
    assert "Sure?" not in text


def test_rig_block_is_first_and_says_when(answer):
    turns = StartNumber("settled", "cap_shrouds", Number(0.5, "turn", Source.MEASURED), 0.5)
    rig = RigTonight(
        12.0, {"cap_shrouds": 0.5}, {"cap_shrouds": RuleState.BETWEEN_RACES}, ("lock it", "count it")
    )
    found = replace(
        answer,
        numbers=replace(answer.numbers, numbers=(*answer.numbers.numbers, turns)),
        scales={**answer.scales, "cap_shrouds": scale("cap_shrouds")},
        workers={"vang": "Tobias", "cap_shrouds": "Keo"},
        rig=rig,
    )
    lines = today_text(found).splitlines()
    assert lines[2] == "FIRST    lock it."
    assert lines[3] == "Rig      count it."
    assert "  cap shrouds             +½ (M)  may change: between races" in lines
    assert not any(line.startswith("KEO") for line in lines)


def test_a_move_in_words(answer):
    assert move_text(answer.moves[0]) == "vang: harder by 1½ to 4"
