from __future__ import annotations

import itertools
import json

import numpy as np
import pytest
from numpy.testing import assert_allclose

from cringle.errors import InputError, OutOfRangeError
from cringle.workflows.speed.as_json import (
    number,
    polar_json,
    status_word,
    targets_json,
    techniques_json,
    with_ends,
)
from cringle.workflows.speed.open import SpeedAsked, open_speed
from cringle.workflows.speed.speed import (
    speed_polar,
    speed_targets,
    speed_techniques,
    targets_of_cases,
    winds_asked,
)

FEW = SpeedAsked(members=6)


@pytest.fixture(scope="module")
def found(examples):
    return speed_targets(examples, [6.0, 12.0, 16.0], asked=FEW)


def test_rows_have_the_published_keys(found):
    data = targets_json(found)
    row = data["rows"][0]
    keys = {"tws_kn", "point", "technique", "twa_deg", "speed_kn", "vmg_kn", "heel_deg"}
    assert keys | {"speed_kn_low", "speed_kn_high", "heel_deg_low", "vmg_kn_high"} <= set(row)
    assert [one["point"] for one in data["rows"]] == ["up", "down"] * 3
    assert row["technique"] is None
    assert data["rows"][1]["technique"] == "soak"
    json.dumps(data, allow_nan=False)


def test_intervals_enclose_their_numbers(found):
    for row in targets_json(found)["rows"]:
        for name in ("twa_deg", "speed_kn", "vmg_kn", "heel_deg"):
            assert row[f"{name}_low"] <= row[name] <= row[f"{name}_high"], (row["tws_kn"], name)


def test_the_other_gear_has_its_own_targets(examples, found):
    build = speed_targets(examples, [12.0], asked=FEW, gear="build")
    assert build.up.found.case.name == "up build"
    assert build.up.found.cells.angle_deg[0] != found.up.found.cells.angle_deg[1]


def test_intervals_between_the_drawn_winds_run_straight(examples):
    book = open_speed(examples, SpeedAsked(members=4))
    winds = np.arange(6.0, 17.0, 1.0)
    known = targets_of_cases(book, winds, [book.model.upwind])[0]
    assert np.isfinite(known.known.speed_kn.low).all()
    width = known.known.vmg_kn.high - known.known.vmg_kn.low
    assert (width > 0.0).all()


def test_winds_are_sorted_and_made_single():
    assert_allclose(winds_asked([12, 8, 8]), (8, 12))
    assert winds_asked([]).size == 21
    with pytest.raises(OutOfRangeError, match="true wind speed"):
        winds_asked([0.0])
    with pytest.raises(OutOfRangeError):
        winds_asked([60.0])


def test_techniques_have_rows_for_each_and_windows_without_gaps(examples):
    answer = speed_techniques(examples, [6.0, 10.0, 14.0, 18.0], asked=FEW)
    data = techniques_json(answer)
    assert {(one["technique"], one["jib"]) for one in data["rows"]} == {
        ("soak", "out"), ("soak", "furled"), ("wing", "furled"), ("plane", "out"), ("plane", "furled"),
    }  # fmt: skip
    windows = data["windows"]
    assert {"technique", "jib", "from_kn", "to_kn"} <= set(windows[0])
    for before, after in itertools.pairwise(windows):
        assert_allclose(before["to_kn"], after["from_kn"], atol=0.01)
    assert windows[0]["technique"] == "soak"
    json.dumps(data, allow_nan=False)


def test_one_wind_still_has_a_window(examples):
    assert speed_techniques(examples, [11.0], asked=FEW).windows


def test_the_polar_flags_what_cannot_be_sailed(examples):
    answer = speed_polar(examples, [8.0, 16.0], step_deg=20.0, cases=["up", "wing furled"])
    rows = polar_json(answer)["rows"]
    assert {one["case"] for one in rows} == {"up", "wing furled"}
    for row in rows:
        assert (row["speed_kn"] is None) == (row["status"] != "converged")
    with pytest.raises(OutOfRangeError, match="step of the angle"):
        speed_polar(examples, [8.0], step_deg=0.0)
    with pytest.raises(InputError, match="no case"):
        speed_polar(examples, [8.0], cases=["sideways"])


def test_sea_people_and_gear_that_are_none_are_refused(examples):
    with pytest.raises(InputError, match="sea"):
        open_speed(examples, SpeedAsked(sea="mountainous"))
    with pytest.raises(InputError, match="nobody of the crew"):
        open_speed(examples, SpeedAsked(aboard=("Zoe",)))
    with pytest.raises(InputError, match="gear"):
        speed_targets(examples, [10.0], gear="reverse")


def test_fewer_people_change_the_targets(examples, found):
    light = speed_targets(examples, [16.0], asked=SpeedAsked(aboard=("Ines", "Tobias", "Marit"), members=2))
    assert light.book.crew.mass_kg == 231.0
    assert light.up.found.made_good_kn[0] != found.up.found.made_good_kn[2]


def test_numbers_for_json_are_rounded_and_null_when_unknown():
    assert number(float("nan")) is None
    assert str(number(-0.0001, 2)) == "0.0"
    assert with_ends("gain", "m", (1.0, float("nan"), 2.0)) == {
        "gain_m": 1.0, "gain_m_low": None, "gain_m_high": 2.0,
    }  # fmt: skip
    assert status_word(1) == "over-powered"
