"""Dots over a season."""

from __future__ import annotations

import re
from datetime import date
from itertools import pairwise
from xml.etree import ElementTree

import pytest
from numpy.testing import assert_allclose

from cringle.output.season_charts import HEIGHT, LEFT, WIDTH, Dots, day_number, dots_svg

DAYS = [day_number(date(2026, 5, one)) for one in (6, 13, 20, 27)]


def dots(**changed: object) -> Dots:
    parts = {
        "title": "Lost in a tack",
        "unit": "m",
        "across": "days",
        "x": DAYS,
        "y": [12.0, 14.0, 13.0, 9.0],
        "words": ["a", "b", "c & d", "e"],
    }
    return Dots(**{**parts, **changed})  # type: ignore[arg-type]  # what a test leaves out is above


def circles(svg: str) -> list[tuple[float, float]]:
    return [(float(a), float(b)) for a, b in re.findall(r'class="dot" cx="([\d.]+)" cy="([\d.]+)"', svg)]


def test_a_dot_for_each_day_in_its_place() -> None:
    svg = dots_svg(dots())
    ElementTree.fromstring(svg)
    found = circles(svg)
    assert len(found) == 4
    across = [one[0] for one in found]
    assert_allclose([across[1] - across[0], across[3] - across[2]], across[2] - across[1], atol=0.11)
    assert found[1][1] < found[2][1] < found[0][1] < found[3][1]
    assert all(LEFT < x < WIDTH and 0.0 < y < HEIGHT for x, y in found)
    assert "c &amp; d" in svg
    assert ">6 May<" in svg
    assert "Lost in a tack, m" in svg
    assert 'class="fit"' not in svg


def test_a_line_where_the_trend_is_clear() -> None:
    svg = dots_svg(dots(line=-0.15))
    x0, y0, x1, y1 = map(float, re.findall(r'class="fit" d="M([\d.]+) ([\d.]+)L([\d.]+) ([\d.]+)"', svg)[0])
    (first, *_, last) = circles(svg)
    assert (x0, x1) == (first[0], last[0])
    assert y1 > y0


def test_nothing_is_where_zero_is_and_below_it() -> None:
    svg = dots_svg(dots(y=[-2.0, 1.0, 0.0, 3.0]))
    zero = float(re.findall(r'class="axis" d="M[\d.]+ ([\d.]+)H', svg)[0])
    heights = [one[1] for one in circles(svg)]
    assert heights[0] > zero > heights[1]
    assert_allclose(heights[2], zero, atol=0.1)
    assert "−2" in svg


def test_one_day_alone_and_days_close_together() -> None:
    assert len(circles(dots_svg(dots(x=DAYS[:1], y=[5.0], words=["a"])))) == 1
    every = [day_number(date(2026, 5, one)) for one in range(1, 29)]
    svg = dots_svg(dots(x=every, y=[5.0] * 28, words=["a"] * 28))
    assert 2 <= svg.count(" May<") <= 6
    ticks = [float(one) for one in re.findall(r'd="M([\d.]+) [\d.]+v5"', svg)]
    assert min(b - a for a, b in pairwise(ticks)) >= 56.0 - 0.2


@pytest.mark.parametrize("winds", [[8.0, 12.0], [9.9, 10.1]])
def test_wind_across_has_its_name(winds: list[float]) -> None:
    svg = dots_svg(dots(across="true wind, kn", x=winds, y=[1.0, 2.0], words=["a", "b"]))
    assert "true wind, kn" in svg
    assert "May" not in svg
