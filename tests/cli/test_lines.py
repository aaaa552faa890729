from __future__ import annotations

import io

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.console import Console

from cringle.cli.lines import print_answer, print_lines, wrapped


def test_a_long_line_goes_on_two_columns_further_in() -> None:
    found = wrapped("    " + "word " * 20, 44)
    assert found[0].startswith("    word")
    assert all(line.startswith("      word") for line in found[1:])
    assert all(len(line) <= 44 for line in found)


def test_an_empty_line_stays() -> None:
    assert wrapped("", 80) == [""]


@given(st.text(alphabet="ab ½-", max_size=200))
def test_no_word_is_lost_or_cut(text: str) -> None:
    assert " ".join(" ".join(wrapped(text, 40)).split()) == " ".join(text.split())


def test_brackets_are_not_markup() -> None:
    out = io.StringIO()
    print_lines(Console(file=out, width=60), ["[bold]x[/bold] [x] Radio"])
    assert out.getvalue() == "[bold]x[/bold] [x] Radio\n"


def test_an_answer_keeps_its_tables_and_wraps_its_sentences(capsys: pytest.CaptureFixture[str]) -> None:
    row = "10 kn" + "   -3 mm" * 12
    print_answer([row, "  " + "a sentence longer than the screen is wide " * 3])
    first, *rest = capsys.readouterr().out.splitlines()
    assert first == row.replace("-", "−")
    assert len(rest) > 1
    assert all(len(line) <= 80 for line in rest)
