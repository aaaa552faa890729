from __future__ import annotations

import re
from xml.etree import ElementTree as ET

import numpy as np
import pytest

from cringle.boat.read import read_book_files
from cringle.output.palette import DARK, LIGHT
from cringle.output.speed_polar import polar_svg
from cringle.speed.model import SpeedModel
from cringle.speed.polar import polar

SVG = "{http://www.w3.org/2000/svg}"
ANGLES = np.arange(20.0, 181.0, 20.0)


@pytest.fixture(scope="module")
def model(examples):
    files = read_book_files(examples)
    return SpeedModel.from_files(files.class_file, files.crew_file)


@pytest.fixture(scope="module")
def up(model):
    return polar(model, np.arange(6.0, 16.0, 1.0), ANGLES, case=model.upwind)


def curves(svg):
    return [one for one in ET.fromstring(svg).iter(f"{SVG}path") if one.get("stroke-width") == "2"]


def points(path):
    return [(float(x), float(y)) for x, y in re.findall(r"[ML]([-\d.]+) ([-\d.]+)", path.get("d"))]


def test_at_most_seven_winds_are_drawn_the_first_and_last_among_them(up):
    svg = polar_svg([up], "Polar")
    assert len(curves(svg)) == 7
    for words in (">6<", ">15<"):
        assert words in svg


def test_a_curve_keeps_angle_and_speed(up):
    path = points(curves(polar_svg([up], "Polar"))[-1])
    x, y = np.array(path).T
    centre_x, centre_y = 80.0, 96.0 + 380.0
    angle = np.degrees(np.arctan2(x - centre_x, centre_y - y))
    speed = np.hypot(x - centre_x, centre_y - y)
    known = np.isfinite(up.cells.boat_speed_kn[-1])
    np.testing.assert_allclose(angle, ANGLES[known], atol=0.05)
    ratio = speed / up.cells.boat_speed_kn[-1][known]
    np.testing.assert_allclose(ratio, ratio.mean(), rtol=2e-3)


def test_where_the_boat_cannot_sail_there_is_a_gap_and_no_number(up):
    svg = polar_svg([up], "Polar")
    assert not np.isfinite(up.cells.boat_speed_kn).all()
    assert "nan" not in svg


def test_of_several_cases_the_fastest_is_drawn(model, up):
    wing = polar(model, up.wind_kn, ANGLES, case=model.run[0])
    both = points(curves(polar_svg([up, wing], "Polar"))[-1])
    fastest = np.fmax(up.cells.boat_speed_kn[-1], wing.cells.boat_speed_kn[-1])
    assert len(both) == int(np.isfinite(fastest).sum())
    assert polar_svg([up, wing], "Polar") == polar_svg([wing, up], "Polar")


@pytest.mark.parametrize("theme", [LIGHT, DARK])
def test_the_theme_gives_ground_and_ink(up, theme):
    root = ET.fromstring(polar_svg([up], "A & B", theme))
    assert next(root.iter(f"{SVG}rect")).get("fill") == theme.ground
    assert root.get("aria-label") == "A & B"
