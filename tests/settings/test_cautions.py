from __future__ import annotations

import pytest

from cringle.boat.base import RuleState
from cringle.boat.read import read_book_files
from cringle.findings import Number, Source
from cringle.settings.cautions import cautions, limit_cautions, unknown_rules
from cringle.settings.roles import RoleScale
from cringle.settings.start_numbers import StartNumber, StartNumbers
from cringle.settings.winds import Winds


@pytest.fixture(scope="module")
def files(examples):
    return read_book_files(examples)


def limits(files, mean_kn=11.0, *, high_kn=None, gust_kn=None, people=None):
    aboard = files.crew_file.people if people is None else people
    return list(limit_cautions(files.class_file, aboard, Winds(mean_kn, None, high_kn, gust_kn)))


def test_an_ordinary_evening_has_none(files):
    assert limits(files) == []
    assert limits(files, 25.0) == []


def test_mean_wind_above_the_limit_names_the_rule(files):
    assert limits(files, 25.5) == ["25.5 kn is above the class limit of 25 kn, rule A.9 (2026)"]


@pytest.mark.parametrize("more", [{"gust_kn": 28.0}, {"high_kn": 28.0}, {"high_kn": 26.0, "gust_kn": 28.0}])
def test_puffs_above_the_limit_are_a_decision_ashore(files, more):
    assert limits(files, 20.0, **more) == [
        "28 kn in the puffs is above the class limit of 25 kn for the mean: decide ashore"
    ]


def test_weight_and_number_of_people(files):
    people = files.crew_file.people
    heavy = [one.model_copy(update={"mass_kg": 90.0}) for one in people]
    assert limits(files, people=heavy) == ["360 kg aboard, the class allows 345 kg, rule C.3.1 (2026)"]
    assert limits(files, people=people[:2]) == ["2 aboard, the class asks for 3 to 5, rule C.3.1 (2026)"]
    crowd = [one.model_copy(update={"mass_kg": 50.0}) for one in (*people, *people)]
    assert len(limits(files, people=crowd)) == 2


def numbers(*roles):
    found = (StartNumber("settled", role, Number(1.0, "mark", Source.ENTERED), 1.0) for role in roles)
    return StartNumbers("main+jib", "chop", 11.0, tuple(found))


def scale(role, state):
    return RoleScale(role, role.replace("_", " "), "mark", 0, 12, 0.5, "main", "harder", state)


def test_rules_nobody_knows_are_a_question(files):
    scales = {
        "vang": scale("vang", RuleState.UNKNOWN),
        "tack_line": scale("tack_line", RuleState.UNKNOWN),
        "backstay": scale("backstay", RuleState.ANY_TIME),
    }
    asked = list(unknown_rules(scales, numbers("vang", "backstay")))
    assert asked == ["when may these be changed? ask the class before you race: vang"]
    assert list(unknown_rules(scales, numbers("backstay"))) == []
    everything = cautions(
        files.class_file, files.crew_file.people, Winds(26.0, None, None, None), numbers("vang"), scales
    )
    assert [one.split()[0] for one in everything] == ["26", "when"]
