from __future__ import annotations

from datetime import UTC, datetime

import numpy as np
from lxml import etree

from cringle.output.trial_charts import DrawnRow, Panel, evidence_svg, gain_svg
from cringle.trials.pair import GainSeries, PairWish, result_of

SVG = "{http://www.w3.org/2000/svg}"


def drawn(svg: str) -> etree._Element:
    return etree.fromstring(svg.encode("utf-8"))


def texts(svg: str) -> str:
    return " | ".join(drawn(svg).itertext())


def test_evidence_has_units_states_and_one_square_a_row() -> None:
    rows = (DrawnRow(8.0, 4.0, 4.0, 3.5, 4.5, "settled"), DrawnRow(12.0, 2.5, 3.0, 2.0, 4.0, "not known"))
    svg = evidence_svg([Panel("jib sheet, leeward", "mark", rows)])
    assert "wind, kn" in texts(svg)
    assert "jib sheet, leeward, marks" in texts(svg)
    assert "settled" in texts(svg)
    assert len(drawn(svg).findall(f"{SVG}circle")) == 1
    assert len([one for one in drawn(svg).findall(f"{SVG}rect") if one.get("width") == "12"]) == 2


def test_evidence_without_rows_says_so() -> None:
    assert "No trial counts" in texts(evidence_svg([]))


def test_names_are_escaped() -> None:
    svg = evidence_svg([Panel("<b>&", "mark", (DrawnRow(8.0, 4.0, 4.0, 3.5, 4.5, "flat"),))])
    assert "<b>&, marks" in texts(svg)


def test_gain_has_a_line_a_stretch_and_the_verdict() -> None:
    rng = np.random.default_rng(1)
    stretch = np.repeat([0, 1, 2], 20).astype(np.intp)
    part = rng.standard_normal(60)
    series = GainSeries(
        datetime(2026, 5, 1, tzinfo=UTC),
        np.arange(60) * 10.0,
        part,
        part / 2,
        part / 2,
        np.ones(60),
        np.full(60, 30.0),
        stretch,
        10.0,
    )
    found = result_of(series, PairWish())
    svg = gain_svg(found, "jib sheet 2.5 -> 3")
    assert len(drawn(svg).findall(f"{SVG}polyline")) == 3
    assert found.verdict.words in texts(svg)
    assert "gain, m a minute" in texts(svg)
    assert "-0" not in texts(svg).split(" | ")


def test_a_phones_pictures_are_narrow_and_say_nothing_beside() -> None:
    rows = (DrawnRow(8.0, 4.0, 4.0, 3.5, 4.5, "settled"),)
    svg = evidence_svg([Panel("backstay", "mark", rows)], width=360.0, worded=False)
    assert drawn(svg).get("viewBox") == "0 0 360 240"
    assert "What the trials say" not in texts(svg)
    ends = [float(one.get("x2", "0")) for one in drawn(svg).iter(f"{SVG}line")]
    assert max(ends) <= 360.0
