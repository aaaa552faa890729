from __future__ import annotations

import xml.etree.ElementTree as ET

import pytest

from cringle.errors import InputError
from cringle.output.palette import DARK, LIGHT
from cringle.output.speed_lanes import lane_picture, lane_svg
from cringle.speed.lanes import LaneAnswer, Track

ANSWER = LaneAnswer(
    question="beside_target",
    words="4° lower: 5 m lost <in 60 s> & more",
    gain_m=-5.0,
    break_even=1.0,
    break_even_unit="percent",
    break_even_words="more",
    numbers=(),
    tracks=(Track("target", (0.0, -50.0), (0.0, 50.0)), Track("4° lower", (0.0, -60.0), (0.0, 45.0))),
)
SVG = "{http://www.w3.org/2000/svg}"


def test_the_wind_is_at_the_top_and_up_is_up():
    root = ET.fromstring(lane_svg(ANSWER, 11.0))
    words = [one.text for one in root.iter(f"{SVG}text")]
    assert words[0] == "true wind 11 kn"
    assert "target" in words
    line = next(root.iter(f"{SVG}polyline")).get("points").split()
    start, end = (float(one.split(",")[1]) for one in (line[0], line[-1]))
    assert end < start


def test_words_cannot_become_markup():
    assert "<in 60 s>" not in lane_svg(ANSWER, 11.0)
    assert "&lt;in 60 s&gt;" in lane_svg(ANSWER, 11.0)


def test_the_choice_asked_about_is_taped_in_any_theme():
    for theme in (LIGHT, DARK):
        assert lane_svg(ANSWER, 11.0, theme).count(theme.tape) >= 1
        assert theme.ground in lane_svg(ANSWER, 11.0, theme)


def test_lines_are_told_apart_by_dashes_and_names_do_not_lie_on_each_other():
    root = ET.fromstring(lane_svg(ANSWER, 11.0))
    assert [one.get("stroke-dasharray") for one in root.iter(f"{SVG}polyline")] == [None, "7 4"]
    places = {one.text: float(one.get("y")) for one in root.iter(f"{SVG}text")}
    assert abs(places["target"] - places["4° lower"]) >= 18.0


def test_a_single_place_is_a_disc_and_scale_is_a_round_length():
    answer = LaneAnswer("q", "w", 0.0, 0.0, "m", "", (), (Track("you", (3.0,), (4.0,)),))
    svg = lane_svg(answer, 9.5)
    assert 'r="5"' in svg
    assert " m</text>" in svg


def test_formats():
    assert lane_picture(ANSWER, 11.0, ".png")[:4] == b"\x89PNG"
    with pytest.raises(InputError, match=r"\.svg or \.png"):
        lane_picture(ANSWER, 11.0, ".pdf")
