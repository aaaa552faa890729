from __future__ import annotations

from lxml import html

from cringle.findings import Number, Source
from cringle.output.palette import LIGHT
from cringle.output.person_block import (
    ControlRow,
    PersonBlock,
    number_typst,
    person_block_html,
    row_typst,
)

MEASURED = Number(4.5, "mark", Source.MEASURED)
GUESS = Number(3.0, "mark", Source.GUESS)
ROW = ControlRow("jib_sheet_leeward", "mark", 0.0, 12.0, (GUESS, MEASURED), 5.0)


def test_the_rule_shows_the_last_gear_that_has_a_number() -> None:
    assert ROW.rule.number is MEASURED
    assert ControlRow("vang", "mark", 0, 1, (GUESS, None)).rule.number is GUESS
    assert ControlRow("vang", "mark", 0, 1, (None, None)).rule.number is None


def test_a_block_as_html() -> None:
    block = PersonBlock(
        "Marit <b>", "jib", (ROW, ControlRow("vang", "mark", 0, 9, (None, None), remark="held"))
    )
    root = html.fromstring(person_block_html(block, ("build", "settled"), LIGHT))
    assert root.find("h3").text_content() == "Marit <b> jib"
    assert [one.text for one in root.iter("dt")] == ["build", "settled"] * 2
    numbers = [one.find("span") for one in root.iter("dd")]
    assert [(one.get("class"), one.text) for one in numbers] == [
        ("guess", "3"),
        ("number", "4½"),
        ("blank", "no number yet"),
        ("blank", "no number yet"),
    ]
    assert root.xpath("string(.//p[@class='remark'])") == "held"


def test_numbers_on_paper() -> None:
    assert "fill: white, stroke" in number_typst(GUESS, size_pt=20.0)
    assert "fill: white, stroke: 0.5pt, " not in number_typst(MEASURED, size_pt=20.0)
    assert "–" in number_typst(None, size_pt=20.0)


def test_a_row_on_paper_has_a_cell_for_each_gear() -> None:
    cells = row_typst(ROW, size_pt=20.0, height_mm=6.5)
    assert len(cells) == 4
    assert '"Jib sheet, leeward"' in cells[0]


def test_turns_are_said() -> None:
    turns = ControlRow("cap_shrouds", "turn", -4.0, 6.0, (Number(1.5, "turn", Source.ENTERED),))
    assert '"Cap shrouds (turns)"' in row_typst(turns, size_pt=20.0, height_mm=6.5)[0]
