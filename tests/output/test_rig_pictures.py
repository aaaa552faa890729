from __future__ import annotations

import xml.etree.ElementTree as ET

import pytest

from cringle.errors import InputError
from cringle.output.palette import DARK
from cringle.output.rig_pictures import geometry_svg, picture, sheet_svg, travel_svg
from cringle.rig.backstay import TravelRow, WindPlace
from cringle.rig.sheet import SheetRow
from cringle.rig.state import RigState

ROWS = [
    TravelRow(p, 10.0 * p, p, 10.0 * p, p, 0.3 * p, 8.0, p, 20.0 + p, 90.0 - 0.5 * p)
    for p in (0.0, 50.0, 100.0)
]
PLACES = [WindPlace(8.0, 100.0, 10.0, 0.0, 0.0, True), WindPlace(20.0, 500.0, 40.0, 300.0, 5.0, False)]
STATE = RigState({"cap_port": 2600.0, "cap_starboard": 2600.0}, 25.0, 0.0, 80.0, 0.0, {}, {}, 7000.0, ())


def words(svg: str) -> str:
    return " ".join(ET.fromstring(svg).itertext())


def test_travel_has_units_and_winds():
    found = words(travel_svg(ROWS, PLACES, "Backstay of Brindle, upwind in 12 kn"))
    for text in (
        "upper leg (N)",
        "hand (N)",
        "masthead aft (mm)",
        "forestay sag (mm)",
        "travel of the puller",
        "by wind in kn",
    ):
        assert text in found, text
    assert "by wind in kn" not in words(travel_svg(ROWS, [], "Backstay"))


def test_sheet_names_every_line():
    rows = [
        SheetRow(wind, {"cap_shrouds": turns}, {}, 0.0, STATE, STATE, 20.0, "computed", ())
        for wind, turns in ((8.0, -0.5), (14.0, 2.0))
    ]
    found = words(sheet_svg(rows, "Tune sheet, Brindle"))
    for text in (
        "turns from base",
        "tension on the dock (N)",
        "forestay sag (mm)",
        "true wind (kn)",
        "cap shrouds",
        "cap",
    ):
        assert text in found, text


def test_geometry_takes_nothing_as_markup():
    points = {
        "apex": (0.0, 2.0),
        "ring": (0.0, 1.4),
        "hauled_apex": (0.0, 1.95),
        "half_width": (0.7, 0.0),
        "top": (0.0, 2.7),
    }
    svg = geometry_svg(points, ["a <b> & c"], "Tarrow <Water>", theme=DARK)
    assert "a <b> & c" in words(svg)
    assert DARK.ground in svg


def test_formats():
    svg = '<svg xmlns="http://www.w3.org/2000/svg" width="10" height="10"/>'
    assert picture(svg, ".SVG") == svg.encode()
    assert picture(svg, ".png").startswith(b"\x89PNG")
    with pytest.raises(InputError, match="name the file"):
        picture(svg, ".gif")
