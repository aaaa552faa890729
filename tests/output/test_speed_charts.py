from __future__ import annotations

import json

import numpy as np
import pytest

from cringle.boat.read import read_book_files
from cringle.errors import InputError
from cringle.output.palette import DARK, LIGHT
from cringle.output.speed_charts import chart_bytes, depower_spec, heel_spec, targets_spec, techniques_spec
from cringle.output.speed_deck import deck_svg
from cringle.output.speed_polar import polar_svg
from cringle.speed.assign import Prices, Wanted, assign
from cringle.speed.cases import upwind_case
from cringle.speed.depower_order import Step
from cringle.speed.ensemble import Interval
from cringle.speed.heel import HeelCost
from cringle.speed.model import SpeedModel
from cringle.speed.polar import polar
from cringle.speed.techniques import Window

COLUMNS = {
    "wind": [8.0, 12.0], "made_good": [3.0, 4.0], "made_good_low": [2.8, 3.7], "made_good_high": [3.1, 4.2],
    "angle": [48.0, 43.0], "angle_low": [46.0, 41.0], "angle_high": [50.0, 45.0],
    "heel": [2.0, 10.0], "heel_low": [0.0, 8.0], "heel_high": [4.0, 12.0],
}  # fmt: skip


@pytest.fixture(scope="module")
def files(examples):
    return read_book_files(examples)


def texts(spec):
    return chart_bytes(spec, ".svg").decode("utf-8")


def test_targets_name_units_and_both_lines():
    svg = texts(targets_spec({"up": COLUMNS, "down": COLUMNS}, "Targets"))
    for words in ("made good [kn]", "wind angle [°]", "heel [°]", "true wind [kn]", "90 % intervals"):
        assert words in svg
    assert LIGHT.ground.lower() in svg.lower()


def test_gaps_are_left_out_and_never_drawn_as_numbers():
    holed = {**COLUMNS, "heel": [float("nan"), 10.0]}
    assert "NaN" not in json.dumps(targets_spec({"up": holed}, "Targets"))


def test_an_empty_line_still_makes_a_chart():
    empty = {key: [] for key in COLUMNS}
    assert texts(targets_spec({"up": COLUMNS, "down": empty}, "Targets")).startswith("<svg")


def test_windows_stand_on_a_ruler():
    case = upwind_case()
    windows = [Window(case, 4.0, 9.0, 4.0, 9.5, 2.0, 5.0, None)]
    svg = texts(techniques_spec([], windows, "Techniques"))
    assert ">up<" in svg


def test_price_of_heel_has_a_panel_for_each_offset():
    numbers = np.array([[5.0, 7.0], [6.0, 8.0]])
    cost = HeelCost(
        upwind_case(), np.array([10.0, 14.0]), np.array([5.0, 12.0]), np.array([-2.0, 2.0]), numbers,
        Interval(numbers - 1.0, numbers + 1.0),
    )  # fmt: skip
    spec = heel_spec([cost], "Price")
    assert len(spec["vconcat"]) == 2
    assert "s a mile" in texts(spec)


def test_steps_and_unused_moment_share_the_wind():
    step = Step("hike", 9.0, 10.0, "hike", (), 100.0, 0.05, 3.0, 1.0, 2.0, (1.0, 4.0))
    svg = texts(depower_spec([step], "Order", DARK))
    assert ">hike<" in svg
    assert "moment unused [%]" in svg


def test_formats():
    spec = targets_spec({"up": COLUMNS}, "Targets")
    assert chart_bytes(spec, ".png")[:4] == b"\x89PNG"
    with pytest.raises(InputError, match=r"\.svg or \.png"):
        chart_bytes(spec, ".txt")


def test_the_polar_labels_winds_angles_and_speeds(files):
    model = SpeedModel.from_files(files.class_file, files.crew_file)
    found = polar(model, [8.0, 12.0], np.arange(40.0, 181.0, 20.0), case=model.upwind)
    svg = polar_svg([found], "Polar & more")
    assert "Polar &amp; more" in svg
    for words in (">8<", ">12<", ">90°<", ">4<"):
        assert words in svg
    assert "nan" not in svg


def test_the_deck_plan_shows_people_by_weight_and_posture(files):
    prices = Prices(hike=0.0)
    found = assign(files.class_file, files.crew_file.people, Wanted(1e4, 600.0), prices=prices)
    svg = deck_svg(files.class_file.hull, files.class_file.stations, found, title="Places")
    for person in files.crew_file.people:
        assert f"{person.name}, {person.role}" in svg
        assert f">{person.mass_kg:.0f}<" in svg
    assert svg.count("<circle") == 4
    assert "181 kg hiking, 139 kg legs in" in svg
