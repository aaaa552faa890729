"""What an arrangement of people is worth."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from cringle.boat.read import read_book_files
from cringle.errors import InputError, OutOfRangeError
from cringle.output.speed_deck import DeckPlan
from cringle.workflows.crew_edit import Sitting
from cringle.workflows.speed.places import price_places, priced_json, seats_drawn


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory, examples: Path) -> Path:
    own = tmp_path_factory.mktemp("places")
    for name in ("class.toml", "boat.toml", "crew.toml", "survey.toml"):
        shutil.copyfile(examples / name, own / name)
    return own


def test_the_usual_places_cost_nothing(folder: Path) -> None:
    found = price_places(folder, (), 12.0)
    assert found.s_per_mile == pytest.approx(0.0, abs=1e-9)
    assert (found.hiking_kg, found.legs_in_kg) == (181.0, 139.0)
    assert found.forward_m == pytest.approx(0.0)


def test_coming_in_costs_in_a_breeze(folder: Path) -> None:
    found = price_places(folder, [Sitting("tobias", "rail_2", "legs in")], 12.0)
    usual = price_places(folder, (), 12.0)
    assert found.s_per_mile > 1.0
    assert found.low <= found.s_per_mile <= found.high
    assert found.out_m < usual.out_m
    assert found.hiking_kg == 89.0


def test_coming_in_costs_nothing_in_light_air(folder: Path) -> None:
    found = price_places(folder, [Sitting("tobias", "rail_2", "legs in")], 5.0)
    assert abs(found.s_per_mile) < 0.5


def test_it_is_told_with_units(folder: Path) -> None:
    told = priced_json(price_places(folder, (), 12.0))
    assert told["schema"] == 1
    assert told["cost_s_per_mile_low"] <= told["cost_s_per_mile_high"]
    assert 5.0 < told["heel_deg"] < 25.0


def test_a_wind_or_place_that_is_none_is_refused(folder: Path) -> None:
    with pytest.raises(OutOfRangeError):
        price_places(folder, (), 90.0)
    with pytest.raises(InputError):
        price_places(folder, [Sitting("tobias", "moon", "hike")], 12.0)


def test_seats_lie_on_the_plan_windward_left_and_the_helm_reaches_the_tiller(folder: Path) -> None:
    files = read_book_files(folder)
    plan = DeckPlan(files.class_file.hull)
    seats = seats_drawn(files, plan)
    middle, _ = plan.at(0.0, 0.0)
    hiking = [one for one in seats["tobias"] if one.posture == "hike"]
    assert hiking
    assert all(one.x < middle for one in hiking)
    assert {one.station for one in seats["ines"]} == {"rail_4"}
