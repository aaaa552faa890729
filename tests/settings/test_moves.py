from __future__ import annotations

from pathlib import Path

import pytest

from cringle.boat.base import RuleState
from cringle.boat.read import read_book_files
from cringle.findings import Number, Source
from cringle.settings.moves import NOBODY, moves_between, moves_gear, neighbour_winds
from cringle.settings.roles import role_scales
from cringle.settings.start_numbers import StartNumber, StartNumbers

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture(scope="module")
def files():
    return read_book_files(EXAMPLES)


def numbers(wind_kn, gear="settled", **values):
    found = [
        StartNumber(gear, role, Number(value, "mark", Source.ENTERED), value)
        for role, value in values.items()
    ]
    return StartNumbers("main+jib", "chop", wind_kn, tuple(found))


def moves(files, now, then, **more):
    people = more.pop("aboard", files.crew_file.people)
    return moves_between(now, then, role_scales(files.boat_file), aboard=people, **more)


def test_says_who_does_what_in_whole_steps(files):
    found = moves(
        files, numbers(10, jib_sheet_leeward=4.0, vang=1.0), numbers(14, jib_sheet_leeward=3.0, vang=1.0)
    )
    assert len(found) == 1
    move = found[0]
    assert (move.who, move.role, move.start, move.end, move.steps) == (
        "Marit",
        "jib_sheet_leeward",
        4.0,
        3.0,
        -2,
    )
    assert (move.word, move.to_wind_kn) == ("trim", 14)
    assert move.while_racing


def test_groups_by_person(files):
    now = numbers(10, vang=1.0, jib_halyard=2.0, backstay=3.0)
    then = numbers(14, vang=2.0, jib_halyard=3.0, backstay=4.0)
    assert [move.who for move in moves(files, now, then)] == ["Tobias", "Tobias", "Keo"]


def test_back_again_is_the_opposite(files):
    now, then = numbers(10, vang=1.0, traveller=3.0), numbers(14, vang=2.0, traveller=0.0)
    there = {move.role: move.steps for move in moves(files, now, then)}
    back = {move.role: -move.steps for move in moves(files, then, now)}
    assert there == back == {"vang": 2, "traveller": -6}


def test_what_may_not_be_changed_while_racing_is_marked(files):
    found = moves(files, numbers(10, cap_shrouds=0.0), numbers(14, cap_shrouds=2.0))[0]
    assert found.rule_state is RuleState.BETWEEN_RACES
    assert not found.while_racing
    assert found.word == "tighten"


def test_a_missing_person_leaves_the_job_to_who_can_do_it_or_to_nobody(files):
    now, then = numbers(10, mainsheet=2.0), numbers(14, mainsheet=3.0)
    without = [one for one in files.crew_file.people if one.name != "Tobias"]
    assert moves(files, now, then, aboard=without)[0].who == "Ines"
    only = [one for one in files.crew_file.people if one.name == "Keo"]
    assert moves(files, now, then, aboard=only)[0].who == NOBODY


def test_names_the_wind_it_is_for_even_when_another_row_was_read(files):
    assert moves(files, numbers(10, vang=1.0), numbers(15.2, vang=2.0), to_wind_kn=14.0)[0].to_wind_kn == 14.0


def test_a_role_without_a_number_there_does_not_move(files):
    assert moves(files, numbers(10, vang=1.0), numbers(14, backstay=1.0)) == ()


def test_which_gear():
    assert moves_gear(numbers(10, gear="build", vang=1.0)) == "build"
    assert moves_gear(numbers(10, vang=1.0)) == "settled"
    assert moves_gear(numbers(10)) is None
    assert moves_between(numbers(10), numbers(14), {}, aboard=()) == ()


@pytest.mark.parametrize(
    ("wind_kn", "expected"), [(9, (8, 10)), (10, (8, 12)), (2, (4,)), (30, (12,)), (12, (10,))]
)
def test_neighbouring_rows(wind_kn, expected):
    assert neighbour_winds([12, 4, 8, 10], wind_kn) == expected
