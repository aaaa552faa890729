from __future__ import annotations

import pytest

from cringle.boat.base import RuleState
from cringle.findings import Number, Source
from cringle.settings.roles import RoleScale
from cringle.settings.start_numbers import start_numbers
from cringle.settings.table import Cell, Table


def scale(role, low=0.0, high=12.0, unit="mark", state=RuleState.ANY_TIME):
    return RoleScale(role, role.replace("_", " "), unit, low, high, 0.5, "main", "harder", state)


SCALES = {
    "vang": scale("vang"),
    "backstay": scale("backstay", high=6.0),
    "cap_shrouds": scale("cap_shrouds", -4, 6, "turn", RuleState.BETWEEN_RACES),
}


def cell(wind_kn, role, value, gear="settled", sail_set="main+jib", source=Source.ENTERED):
    return Cell(sail_set, "chop", wind_kn, gear, role, Number(value, "mark", source))


TABLE = Table.of(
    [
        cell(8, "vang", 1.0),
        cell(12, "vang", 2.2),
        cell(8, "vang", 0.5, "build", source=Source.GUESS),
        cell(8, "backstay", 4.0),
        cell(12, "backstay", 7.0),
        cell(8, "cap_shrouds", 0.0),
        cell(12, "cap_shrouds", 2.0),
        cell(8, "old_winch", 3.0),
        cell(4, "vang", 0.0, "soak", "main+kite"),
        cell(12, "vang", 1.0, "soak", "main+kite"),
        cell(12, "vang", 4.0, "plane", "main+kite"),
        cell(20, "vang", 6.0, "plane", "main+kite"),
    ]
)


def at(wind_kn, sail_set="main+jib"):
    return start_numbers(TABLE, SCALES, sail_set=sail_set, sea="chop", wind_kn=wind_kn)


def test_numbers_stand_on_a_step_and_keep_what_the_table_said():
    found = at(10).find("settled", "vang")
    assert found.value == 1.5
    assert found.exact == pytest.approx(1.6)
    assert found.rows_kn == (8, 12)
    assert found.number.unit == "mark"


def test_off_the_scale_is_cut_with_a_word():
    found = at(12).find("settled", "backstay")
    assert found.value == 6.0
    assert found.exact == 7.0
    assert at(12).notes == (
        "backstay: 7 is off the scale, kept at its top, 6",
        "12 kn is beyond the last row: held at 8 kn",
    )


def test_screws_stand_at_one_row():
    assert at(9.9).find("settled", "cap_shrouds").value == 0.0
    assert at(10.1).find("settled", "cap_shrouds").value == 2.0


def test_gears_and_roles_in_order():
    found = at(8)
    assert found.gears == ("settled", "build")
    assert found.roles == ("vang", "backstay", "cap_shrouds")
    assert found.provenance("vang").source is Source.GUESS
    assert found.find("build", "backstay") is None


def test_a_role_the_boat_no_longer_has_is_named():
    assert at(8).left_out == ("the table has numbers for 'old_winch', which the boat file no longer has",)


def test_a_technique_that_does_not_reach_the_wind_is_left_out_with_a_word():
    assert at(6, "main+kite").gears == ("soak",)
    assert at(6, "main+kite").left_out == ("plane: its rows go from 12 to 20 kn",)
    assert at(12, "main+kite").gears == ("soak", "plane")
    beyond = at(25, "main+kite")
    assert beyond.gears == ("soak", "plane")
    assert all(one.held for one in beyond.numbers)


def test_no_rows_give_no_numbers():
    found = at(8, "main")
    assert found.numbers == ()
    assert found.notes == ()
