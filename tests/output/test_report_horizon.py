import math
import re

from lxml import etree
from numpy.testing import assert_allclose

from cringle.output.report_horizon import horizon_svg
from cringle.track.sailing.heel import HeelBand, HeelPart

BAND = HeelBand(13.0, 17.0, "given")


def part(mean: float, band: HeelBand | None = None) -> HeelPart:
    return HeelPart(600, mean, 2.0, mean - 3.0, mean + 3.0, band, None if band is None else 0.5)


def deck_angle(svg: str) -> float:
    found = re.search(r'class="deck" d="M([-\d.]+) ([-\d.]+)L([-\d.]+) ([-\d.]+)"', svg)
    assert found
    x0, y0, x1, y1 = (float(one) for one in found.groups())
    return math.degrees(math.atan2(y1 - y0, x1 - x0))


def test_the_deck_lies_at_the_heel_true_to_angle() -> None:
    for heel in (-5.0, 0.0, 14.0, 25.0):
        assert_allclose(deck_angle(horizon_svg("upwind", part(heel))), heel, atol=0.1)


def test_the_band_is_drawn_only_when_there_is_one() -> None:
    assert 'class="band"' in horizon_svg("upwind", part(14.0, BAND))
    assert 'class="band"' not in horizon_svg("upwind", part(14.0))


def test_it_is_well_formed_and_says_itself_in_words() -> None:
    root = etree.fromstring(horizon_svg("upwind", part(14.0, BAND)))
    assert root.get("aria-label") == "upwind: heel 14.0 degrees, mostly 11.0 to 17.0"
