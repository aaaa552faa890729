"""The page of any debrief is well formed, whatever is missing."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from lxml import etree

from cringle.output.report import report_html
from cringle.track.debrief.debrief import Debrief

PARTS = ("wind", "heel", "manoeuvres", "refused", "boat")


@pytest.mark.parametrize("missing", PARTS)
def test_any_part_may_be_missing(evening: Debrief, missing: str) -> None:
    bare = replace(evening, **{missing: None})
    if missing == "manoeuvres":
        bare = replace(bare, picture=replace(bare.picture, marks=bare.picture.marks[:1] * len(bare.turns)))
    page = report_html(bare)
    assert page.endswith("</html>\n")
    assert "None" not in page
    assert "nan" not in page.replace("nance", "")


@given(st.text(max_size=60))
def test_any_name_is_shown_as_text(evening: Debrief, name: str) -> None:
    page = report_html(replace(evening, boat=name, log=replace(evening.log, name=name)))
    root = etree.fromstring(page.encode("utf-8"), etree.HTMLParser(encoding="utf-8"))
    assert root.findall(".//script") == []
    assert len(root.findall(".//h1")) == 1
