from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cringle.cli.text_rule import WIDTH, line_rule_text, number_text, ring, wrapped
from cringle.findings import Number, Source


def number(value, source=Source.ENTERED):
    return Number(value, "mark", source)


def test_knots_ticks_tape_and_the_next_number():
    assert line_rule_text(0, 4, number(1.0), following=3.0, width=11) == "o┼─█─┼─>─┼o"
    assert line_rule_text(0, 4, number(1.5), following=1.0, width=11) == "o┼─<█┼─┼─┼o"


def test_the_same_next_number_is_not_drawn_and_none_gives_the_bare_line():
    assert line_rule_text(0, 4, number(1.0), following=1.0, width=11) == "o┼─█─┼─┼─┼o"
    assert line_rule_text(0, 4, None, following=1.0, width=11) == "o┼─┼─┼─┼─┼o"


def test_a_guess_is_no_tape():
    assert "█" not in line_rule_text(0, 4, number(1.0, Source.GUESS), width=11)
    assert "?" in line_rule_text(0, 4, number(1.0, Source.GUESS), width=11)


@given(
    st.floats(-20, 10),
    st.floats(0.5, 60),
    st.floats(-100, 100),
    st.integers(9, 60),
)
def test_never_wider_than_asked_and_always_one_tape(low, span, value, width):
    drawn = line_rule_text(low, low + span, number(value), width=width)
    assert len(drawn) <= width
    assert drawn.count("█") == 1
    assert (drawn[0], drawn[-1]) == ("o", "o")


@given(st.floats(0, 12), st.floats(0, 12))
def test_a_larger_number_stands_further_along(first, second):
    low, high = sorted((first, second))
    assert line_rule_text(0, 12, number(low)).index("█") <= line_rule_text(0, 12, number(high)).index("█")


def test_numbers_carry_their_ring_and_guesses_a_wave():
    assert number_text(number(4.5)) == "4½ (E)"
    assert number_text(number(-0.5, Source.TRIAL)) == "−½ (T)"
    assert number_text(number(4.5, Source.GUESS)) == "~4½ (?)"
    assert [ring(number(1, one)) for one in Source] == ["(?)", "(E)", "(M)", "(C)", "(T)"]


@pytest.mark.parametrize("text", ["short", "word " * 60, "x" * 300])
def test_paragraphs_fit_the_page(text):
    lines = wrapped("Label", text).splitlines()
    assert all(len(line) <= WIDTH for line in lines)
    assert lines[0].startswith("Label    ")
    assert all(line.startswith(" " * 9) for line in lines[1:])
