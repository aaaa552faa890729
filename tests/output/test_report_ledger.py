"""The ledger as bars: every label fits, intervals are drawn, small causes stand together."""

from __future__ import annotations

import re
from dataclasses import replace
from xml.etree import ElementTree

from cringle.output.report_ledger import SHORT, WIDTH, ledger_svg
from cringle.output.report_race_words import CAUSES
from cringle.track.ledger.interval import Ledger, LedgerPart
from cringle.track.ledger.ledger import PARTS

WIDEST_PX = 7.2
"""A letter of the page's type at 14 px is this wide on average."""


def ledger(**seconds: float) -> Ledger:
    parts = tuple(
        LedgerPart(name, seconds.get(name, 0.0), 0.8 * seconds.get(name, 0.0), 1.2 * seconds.get(name, 0.0))
        for name in PARTS
    )
    total = sum(seconds.values())
    return Ledger(parts, LedgerPart("total", total, 0.8 * total, 1.2 * total), "model target", 1800.0, True)


def labels(svg: str) -> list[str]:
    return re.findall(r"<text[^>]*>([^<]+)</text>", svg)


def test_every_label_fits_a_phone() -> None:
    svg = ledger_svg(ledger(**dict.fromkeys((one for one in PARTS if one != "unknown"), 145.0)))
    ElementTree.fromstring(svg)
    found = labels(svg)
    assert len(found) == len(PARTS) - 1
    assert max(len(one) for one in found) * WIDEST_PX < WIDTH
    assert set(SHORT) < set(CAUSES)


def test_longest_first_with_a_whisker_each() -> None:
    svg = ledger_svg(ledger(tack=60.0, trim=98.0, heel=18.0))
    assert [one.split(":")[0] for one in labels(svg)] == ["trim", "tacks", "heel off its target"]
    assert svg.count('class="whisker"') == 3
    widths = [float(one) for one in re.findall(r'class="cost"[^>]* width="([\d.]+)"', svg)]
    assert widths == sorted(widths, reverse=True)


def test_a_gain_goes_the_other_way_and_small_causes_stand_together() -> None:
    both = ledger(tack=60.0, trim=-75.0, gybe=3.0)
    wide = tuple(replace(one, low=-9.0, high=9.0) if one.name == "gybe" else one for one in both.parts)
    wide = tuple(replace(one, low=-90.0, high=-60.0) if one.name == "trim" else one for one in wide)
    svg = ledger_svg(replace(both, parts=wide))
    assert 'class="gain"' in svg
    assert "not told apart, together: 3 s" in svg
    assert 'class="hollow"' in svg
