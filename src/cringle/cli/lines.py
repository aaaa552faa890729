"""Lines of text on a screen: wrapped with their indent kept, never cut inside a word."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable

from rich.console import Console

from cringle.cli.common import console
from cringle.output.wording import real_minus

FEWEST_COLUMNS = 40
GAP = "  "


def print_lines(console: Console, lines: Iterable[str]) -> None:
    """Print lines; one that is too long goes on below, two columns further in than it began."""
    for line in lines:
        for piece in wrapped(line, console.width):
            console.print(piece, markup=False, highlight=False, soft_wrap=True)


def print_answer(lines: Iterable[str]) -> None:
    """Print an answer with real minus signs; the rows of its tables (gaps between words) stay whole."""
    to = console()
    for line in map(real_minus, lines):
        if GAP in line.strip():
            to.print(line, markup=False, highlight=False, soft_wrap=True)
        else:
            print_lines(to, [line])


def wrapped(line: str, columns: int) -> list[str]:
    """Return a line as pieces that fit; the indent of the first is kept and the others go two further in."""
    indent = line[: len(line) - len(line.lstrip())]
    return textwrap.wrap(
        line.strip(),
        max(columns, FEWEST_COLUMNS),
        initial_indent=indent,
        subsequent_indent=indent + "  ",
        break_long_words=False,
        break_on_hyphens=False,
    ) or [""]
