from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from lxml import etree
from numpy.testing import assert_allclose

from cringle.errors import InputError
from cringle.findings import Number, Source
from cringle.output.line_rule import MOST_TICKS, LineRule, line_rule_svg, line_rule_typst
from cringle.output.palette import DARK, GLARE, LIGHT

NS = "{http://www.w3.org/2000/svg}"
NUMBER = Number(4.5, "mark", Source.MEASURED, low=4.0, high=5.5)
RULE = LineRule(0.0, 12.0, NUMBER, 6.0, "Jib sheet, leeward")


def drawn(rule: LineRule, theme=LIGHT) -> etree._Element:
    return etree.fromstring(line_rule_svg(rule, theme))


def by_class(root: etree._Element, name: str) -> list[etree._Element]:
    return [one for one in root.iter() if one.get("class") == name]


def test_ends_upside_down_are_refused() -> None:
    with pytest.raises(InputError, match="low 3"):
        LineRule(3.0, 3.0)


def test_places_from_end_to_end() -> None:
    assert [RULE.place(one) for one in (-5.0, 0.0, 6.0, 12.0, 99.0)] == [0.0, 0.0, 0.5, 1.0, 1.0]


def test_whole_and_half_marks() -> None:
    ticks = RULE.ticks()
    assert len(ticks) == 25
    assert [whole for _, whole in ticks[:4]] == [True, False, True, False]
    assert_allclose([place for place, _ in ticks], [n / 24 for n in range(25)])


@given(st.floats(-50, 0), st.floats(0.5, 4000))
def test_ticks_never_crowd(low: float, length: float) -> None:
    ticks = LineRule(low, low + length).ticks()
    assert len(ticks) <= MOST_TICKS + 1
    assert all(0.0 <= place <= 1.0 for place, _ in ticks)


def test_the_tape_lies_at_the_number_and_says_it() -> None:
    root = drawn(RULE)
    (tape,) = by_class(root, "tape")
    middle = float(tape.get("x")) + float(tape.get("width")) / 2
    assert_allclose(middle, 16 + 208 * 4.5 / 12, atol=0.06)
    assert "4½" in [text.text for text in root.iter(f"{NS}text")]


def test_the_next_wind_is_hollow_with_an_arrow_its_way() -> None:
    root = drawn(RULE)
    (hollow,) = by_class(root, "next")
    assert hollow.get("fill") == LIGHT.ground
    (arrow,) = by_class(root, "arrow")
    assert "l6 5l-6 5z" in arrow.get("d")
    down = drawn(replace(RULE, next_number=1.0))
    assert "l-6 5l6 5z" in by_class(down, "arrow")[0].get("d")


def test_no_move_no_hollow_tape() -> None:
    for rule in (replace(RULE, next_number=4.5), replace(RULE, next_number=None), replace(RULE, number=None)):
        assert by_class(drawn(rule), "next") == []
        assert "polygon" not in line_rule_typst(rule)


def test_the_band_is_dashed() -> None:
    (band,) = by_class(drawn(RULE), "band")
    assert band.get("stroke-dasharray")
    assert_allclose(float(band.get("width")), 208 * 1.5 / 12, atol=0.06)


def test_a_guess_never_looks_like_a_measurement() -> None:
    guess = drawn(replace(RULE, number=replace(NUMBER, source=Source.GUESS)))
    (tape,) = by_class(guess, "tape")
    assert tape.get("fill") == LIGHT.ground
    assert tape.get("stroke-dasharray")
    sizes = {text.get("font-size") for text in guess.iter(f"{NS}text")}
    assert sizes == {"14"}
    assert "densely-dotted" in line_rule_typst(replace(RULE, number=replace(NUMBER, source=Source.GUESS)))


def test_high_glare_is_a_black_band_with_white_figures() -> None:
    root = drawn(RULE, GLARE)
    (tape,) = by_class(root, "tape")
    assert tape.get("fill") == "#000000"
    assert [text.get("fill") for text in root.iter(f"{NS}text")] == ["#FFFFFF"]


def test_words_for_who_cannot_see_it() -> None:
    root = drawn(RULE, DARK)
    assert root.get("aria-label") == "Jib sheet, leeward: 4½ mark on a scale from 0 to 12, next wind 6"


def test_a_label_cannot_break_out() -> None:
    root = drawn(replace(RULE, label='"><script>alert(1)</script>'))
    assert root.find(f".//{NS}script") is None


def test_the_paper_form_has_the_same_places() -> None:
    markup = line_rule_typst(RULE, width_mm=21.0, height_mm=5.0)
    assert f"dx: {1.2 + 18.6 * 4.5 / 12 - 0.8:.2f}mm" in markup
    assert markup.count("angle: 90deg") == 25
