from __future__ import annotations

from pathlib import Path

import pytest

from cringle.boat.base import RuleState
from cringle.boat.read import read_book_files
from cringle.findings import Number, Source
from cringle.settings.records import Records
from cringle.settings.rig_row import rig_tonight
from cringle.settings.roles import role_scales
from cringle.settings.start_numbers import StartNumbers, start_numbers
from cringle.settings.table import Cell, Table

EXAMPLES = Path(__file__).parents[2] / "examples"
SCREWS = ("cap_port", "cap_starboard", "lower_port", "lower_starboard", "forestay_screw")
LOCKED = dict.fromkeys(SCREWS, "locked")


@pytest.fixture(scope="module")
def boat():
    return read_book_files(EXAMPLES).boat_file


def cell(wind_kn, role, value):
    return Cell("main+jib", "chop", wind_kn, "settled", role, Number(value, "turn", Source.MEASURED))


TABLE = Table.of([cell(10, "cap_shrouds", 0.0), cell(14, "cap_shrouds", 2.0), cell(10, "vang", 1.0)])


def rig(boat, wind_kn=13.0, **records):
    scales = role_scales(boat)
    numbers = start_numbers(TABLE, scales, sail_set="main+jib", sea="chop", wind_kn=wind_kn)
    return rig_tonight(boat, Records(TABLE, **records), numbers, scales)


def test_names_the_row_and_until_when_it_may_change(boat):
    found = rig(boat, locks=LOCKED, turns={"cap_port": 2.0, "cap_starboard": 2.0})
    assert found.row_kn == 14
    assert found.turns == {"cap_shrouds": 2.0}
    assert found.rule_state == {"cap_shrouds": RuleState.BETWEEN_RACES}
    assert found.warnings == ()


def test_locks_never_recorded_come_first(boat):
    found = rig(boat)
    assert found.warnings[0] == "check and lock every rigging screw: no lock is on record for 5 screws"
    assert "none are on record for Cap shroud screw, port, Cap shroud screw, starboard" in found.warnings[1]


def test_an_open_lock_is_named(boat):
    found = rig(boat, locks={**LOCKED, "cap_port": "open"}, turns={"cap_port": 2.0, "cap_starboard": 2.0})
    assert found.warnings == ("lock the Cap shroud screw, port: it is on record as open",)


def test_turns_that_differ_from_the_row_say_what_to_do(boat):
    found = rig(boat, locks=LOCKED, turns={"cap_port": 0.5, "cap_starboard": 2.0})
    assert found.warnings == (
        "turn the Cap shroud screw, port by +1.5: on record at +0.5, the 14 kn row says +2 (between races)",
    )


def test_screws_that_stand_alike_are_told_once(boat):
    found = rig(boat, 10.0, locks=LOCKED, turns={"cap_port": 1.0, "cap_starboard": 1.0})
    assert found.warnings == (
        "turn each of the cap shrouds by -1: on record at +1, the 10 kn row says 0 (between races)",
    )
    apart = rig(boat, 10.0, locks=LOCKED, turns={"cap_port": 1.0, "cap_starboard": -0.5})
    assert [one.split(" by ")[1].split(":")[0] for one in apart.warnings] == ["-1", "+0.5"]


def test_less_than_half_a_step_off_is_nothing_to_do(boat):
    found = rig(boat, 10.0, locks=LOCKED, turns={"cap_port": 0.2, "cap_starboard": -0.2})
    assert found.warnings == ()


def test_without_a_rig_row_there_is_nothing_to_compare(boat):
    empty = rig_tonight(boat, Records(Table(), locks=LOCKED), StartNumbers("main", "chop", 8, ()), {})
    assert empty.row_kn is None
    assert empty.warnings == ()
