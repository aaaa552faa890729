from __future__ import annotations

import pytest
from lxml import etree

from cringle.findings import PROVENANCE_LETTER, Source
from cringle.output.palette import LIGHT
from cringle.output.provenance_mark import EXPLAINED, LEGEND, provenance_svg, provenance_typst


@pytest.mark.parametrize("source", Source)
def test_the_ring_has_the_letter_and_explains_itself(source: Source) -> None:
    root = etree.fromstring(provenance_svg(source, LIGHT))
    assert root.findtext("text") == PROVENANCE_LETTER[source]
    assert root.findtext("title") == EXPLAINED[source] == root.get("aria-label")
    assert f'"{PROVENANCE_LETTER[source]}"' in provenance_typst(source)


def test_only_a_guess_has_a_broken_ring() -> None:
    broken = [one for one in Source if "dasharray" in provenance_svg(one, LIGHT)]
    assert broken == [Source.GUESS]
    assert [one for one in Source if '"dashed"' in provenance_typst(one)] == [Source.GUESS]


def test_the_legend_has_every_letter() -> None:
    for source in Source:
        assert f"{PROVENANCE_LETTER[source]} " in LEGEND
