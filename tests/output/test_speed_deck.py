from __future__ import annotations

from xml.etree import ElementTree as ET

import pytest

from cringle.boat.base import Posture
from cringle.boat.read import read_book_files
from cringle.output.palette import DARK, LIGHT
from cringle.output.speed_deck import OUTLINE, deck_svg
from cringle.speed.assign import Prices, Wanted, assign

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def files(examples):
    return read_book_files(examples)


def plan(files, side_kg_m=1e4, **more):
    found = assign(
        files.class_file, files.crew_file.people, Wanted(side_kg_m, 600.0), prices=Prices(hike=0.0)
    )
    return found, ET.fromstring(deck_svg(files.class_file.hull, files.class_file.stations, found, **more))


def discs(root):
    return [
        (float(one.get("cx")), float(one.get("cy")), float(one.get("r"))) for one in root.iter(f"{SVG}circle")
    ]


def test_every_posture_has_an_outline_of_its_own_kind():
    assert set(OUTLINE) == set(Posture)


def test_heavier_people_have_larger_discs(files):
    found, root = plan(files, title="Places")
    weights = [one.person.mass_kg for one in found.seated]
    radii = [radius for _, _, radius in discs(root)]
    order = sorted(range(len(weights)), key=weights.__getitem__)
    assert [radii[one] for one in order] == sorted(radii)


def test_the_windward_side_is_on_the_left_and_the_bow_up(files):
    found, root = plan(files, title="Places")
    middle = float(root.get("width")) / 2
    for one, (x, _, _) in zip(found.seated, discs(root), strict=True):
        assert (x < middle) == (one.seat.off_centre_m > 0.0)
    ahead = max(found.seated, key=lambda one: one.seat.forward_m)
    ys = [y for _, y, _ in discs(root)]
    assert ys[found.seated.index(ahead)] == min(ys)


def test_nobody_lies_on_another(files):
    _, root = plan(files, title="Places")
    places = [(x, y) for x, y, _ in discs(root)]
    assert len(set(places)) == len(places)


def test_a_title_is_read_out_and_cannot_break_the_picture(files):
    _, root = plan(files, title='Puffs & "lulls" <now>')
    assert root.get("aria-label") == 'Puffs & "lulls" <now>'
    assert root.get("role") == "img"


@pytest.mark.parametrize("theme", [LIGHT, DARK])
def test_the_theme_gives_ground_and_ink(files, theme):
    _, root = plan(files, title="Places", theme=theme)
    assert next(root.iter(f"{SVG}rect")).get("fill") == theme.ground
    assert {one.get("fill") for one in root.iter(f"{SVG}text")} == {theme.ink}
