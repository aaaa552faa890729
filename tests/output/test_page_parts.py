"""Sections, sentences and tables of a page."""

from __future__ import annotations

from cringle.output.page_parts import ARROW, section, sentences, table


def test_texts_are_escaped_and_bodies_are_not() -> None:
    assert section("Wind & sea", "<p>x</p>") == "<section><h2>Wind &amp; sea</h2><p>x</p></section>\n"
    assert sentences(["a < b", "c"]) == "<ul><li>a &lt; b</li><li>c</li></ul>"


def test_cells_repeat_their_heading_for_a_phone() -> None:
    found = table("turns", "A & b", ("", "Heading", "Speed"), [("1. tack", f"010° {ARROW} 100°", "<4")])
    assert '<caption>A &amp; b</caption><thead><tr><th scope="col"></th>' in found
    assert '<td class="head" data-label="">1. tack</td>' in found
    assert f'<td class="wide" data-label="Heading">010° {ARROW} 100°</td>' in found
    assert '<td class="narrow" data-label="Speed">&lt;4</td>' in found
