from dataclasses import replace

import numpy as np
import pytest
from lxml import etree

from cringle.output.track_chart import TALLEST, WIDTH, Mark, track_chart_svg
from cringle.track.debrief.debrief import Debrief
from cringle.track.debrief.picture import TrackPicture


def picture(across: list[float], up: list[float], *, marks: int = 0, wind: bool = True) -> TrackPicture:
    line = (np.array(across), np.array(up))
    places = tuple((across[place], up[place]) for place in range(marks))
    return TrackPicture((line,), places, 235.0 if wind else 0.0, wind)


def points(svg: str) -> np.ndarray:
    (line,) = etree.fromstring(svg).iter("polyline")
    return np.array([[float(one) for one in pair.split(",")] for pair in line.get("points").split()])


def test_upwind_is_up_and_scales_are_equal() -> None:
    drawn = points(track_chart_svg(picture([0.0, 300.0, 300.0], [0.0, 0.0, 300.0]), []))
    right, up = drawn[1] - drawn[0], drawn[2] - drawn[1]
    assert right[0] > 0.0
    assert up[1] < 0.0
    np.testing.assert_allclose(right[0], -up[1], atol=0.2)


@pytest.mark.parametrize(("wide", "tall"), [(10.0, 5000.0), (5000.0, 10.0), (0.0, 0.0), (1e5, 1e5)])
def test_everything_stays_inside(wide: float, tall: float) -> None:
    svg = track_chart_svg(picture([0.0, wide], [0.0, tall]), [])
    height = float(etree.fromstring(svg).get("viewBox").split()[3])
    drawn = points(svg)
    assert height <= TALLEST + 1.0
    assert ((drawn[:, 0] >= 0) & (drawn[:, 0] <= WIDTH)).all()
    assert ((drawn[:, 1] >= 40) & (drawn[:, 1] <= height)).all()


def test_the_scale_bar_is_true() -> None:
    svg = track_chart_svg(picture([0.0, 1000.0], [0.0, 200.0]), [])
    root = etree.fromstring(svg)
    drawn = points(svg)
    per_metre = (drawn[1, 0] - drawn[0, 0]) / 1000.0
    bar = next(one for one in root.iter("path") if "H" in one.get("d"))
    length = float(bar.get("d").split("H")[1].split("V")[0]) - 8.0
    metres = next(float(text.text.split()[0]) for text in root.iter("text") if text.text.endswith(" m"))
    np.testing.assert_allclose(length / per_metre, metres, rtol=0.01)


def test_kinds_have_shapes_not_only_colours() -> None:
    marks = [Mark("1", "tack", "Tack 1"), Mark("2", "gybe", "Gybe 2"), Mark("3", "turn", "Turn 3")]
    svg = track_chart_svg(picture([0.0, 100.0, 200.0], [0.0, 300.0, 0.0], marks=3), marks)
    groups = list(etree.fromstring(svg).iter("g"))
    assert [one[1].tag for one in groups] == ["circle", "path", "circle"]
    assert [one.get("class") for one in groups] == ["mark tack", "mark gybe", "mark turn"]


def test_labels_do_not_cover_each_other() -> None:
    across = [0.0, 4.0, 8.0, 500.0]
    marks = [Mark(str(one), "tack", "") for one in range(3)]
    svg = track_chart_svg(picture(across, [0.0, 0.0, 0.0, 500.0], marks=3), marks)
    labels = [one.find("text") for one in etree.fromstring(svg).iter("g")]
    spots = {(round(float(one.get("x"))), round(float(one.get("y")))) for one in labels}
    assert len(spots) == 3


def test_a_mark_without_a_place_is_left_out() -> None:
    nowhere = replace(picture([0.0, 1.0], [0.0, 1.0]), marks=(None,))
    assert "<g" not in track_chart_svg(nowhere, [Mark("1", "tack", "")])


def test_words_are_escaped() -> None:
    svg = track_chart_svg(picture([0.0, 1.0], [0.0, 1.0], marks=1), [Mark("<1>", "tack", "a & b")])
    assert etree.fromstring(svg).find("g/title").text == "a & b"


def test_the_top_is_named(evening: Debrief, windless: Debrief) -> None:
    with_wind = track_chart_svg(evening.picture, [Mark("", "tack", "")] * 14)
    north = track_chart_svg(windless.picture, [Mark("", "turn", "")])
    assert "true wind 235°" in with_wind
    assert ">north<" in north
