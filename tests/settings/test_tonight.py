from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from cringle.boat.base import RuleState
from cringle.findings import Number, Source
from cringle.settings.moves import Move
from cringle.settings.places import Place
from cringle.settings.roles import RoleScale
from cringle.settings.start_numbers import StartNumber, StartNumbers
from cringle.settings.tonight import Call, RigTonight, Tonight, TonightWind, tonight_json

KEYS = {
    "schema", "wind_kn", "wind_reference", "gust_kn", "sea", "sail_set", "gears", "units", "source",
    "heel_target_deg", "heel_targets_deg", "moves", "crew", "call", "rig", "goal", "trial", "cautions",
}  # fmt: skip
AT = datetime(2026, 5, 1, tzinfo=UTC)


@pytest.fixture
def answer():
    number = Number(2.5, "mark", Source.TRIAL, by="Ines", at=AT)
    numbers = (
        StartNumber("build", "vang", replace(number, value=2.0, source=Source.ENTERED), 2.0, observations=3),
        StartNumber("settled", "vang", number, 2.4, observations=9),
    )
    return Tonight(
        boat="Brindle",
        wind=TonightWind(11.0, 10.0, 9.4, 2.0, 11.3),
        sea="chop",
        sail_set="main+jib",
        sail_set_name="main and jib",
        point="up",
        numbers=StartNumbers("main+jib", "chop", 11.3, numbers),
        scales={"vang": RoleScale("vang", "vang", "mark", 0, 12, 0.5, "main", "harder", RuleState.ANY_TIME)},
        workers={"vang": "Tobias"},
        moves=(Move(12.0, "Tobias", "vang", "vang", "mark", 2.5, 3.0, 1, "harder", RuleState.ANY_TIME),),
        crew=(Place("Ines", "rail_4", "legs in"),),
        rig=RigTonight(10.0, {"cap_shrouds": 0.0}, {"cap_shrouds": RuleState.BETWEEN_RACES}, ("lock it",)),
    )


def test_json_has_exactly_the_published_keys_and_null_for_unknown(answer):
    found = tonight_json(answer)
    assert set(found) == KEYS
    assert found["schema"] == 1
    assert found["gust_kn"] is None
    assert found["heel_target_deg"] is None
    assert found["heel_targets_deg"] == {"up": None, "down": None}
    assert found["call"] is found["goal"] is found["trial"] is None
    assert found["cautions"] == []


def test_json_of_numbers_moves_and_rig(answer):
    found = tonight_json(answer)
    assert found["gears"] == {"build": {"vang": 2.0}, "settled": {"vang": 2.5}}
    assert found["units"] == {"vang": "mark"}
    assert found["source"] == {"vang": {"kind": "entered", "by": "Ines", "at": AT.isoformat(), "n": 3}}
    assert found["moves"] == [
        {"to_wind_kn": 12.0, "who": "Tobias", "role": "vang", "from": 2.5, "to": 3.0, "steps": 1}
    ]
    assert found["crew"] == [{"person": "Ines", "station": "rail_4", "posture": "legs in"}]
    assert found["rig"] == {
        "row": {"wind_kn": 10.0, "turns": {"cap_shrouds": 0.0}},
        "rule_state": {"cap_shrouds": "between races"},
        "warnings": ["lock it"],
    }


def test_json_of_a_call_and_heel(answer):
    heel = Number(14.0, "deg", Source.COMPUTED)
    found = tonight_json(replace(answer, call=Call(technique="soak", flips_at_kn=13.0), heel_up=heel))
    assert set(found["call"]) == {"lane", "technique", "jib", "margin_m_per_min", "why", "flips_at_kn"}
    assert found["heel_target_deg"] == 14.0
    assert replace(answer, point="down", heel_up=heel).heel is None


def test_an_unknown_count_stays_unknown(answer):
    numbers = (replace(answer.numbers.numbers[0], observations=None), answer.numbers.numbers[1])
    unknown = replace(answer, numbers=replace(answer.numbers, numbers=numbers))
    assert tonight_json(unknown)["source"]["vang"]["n"] is None


def test_by_person(answer):
    assert answer.people == ("Tobias",)
    assert answer.roles_of("Tobias") == ("vang",)
    assert answer.roles_of("Ines") == ()


def test_the_thing_to_do_first(answer):
    assert answer.first == "lock it"
    assert replace(answer, rig=RigTonight()).first.startswith("set the numbers")
    empty = replace(answer, rig=RigTonight(), numbers=StartNumbers("main+jib", "chop", 11, ()))
    assert "no numbers for these sails yet" in empty.first
