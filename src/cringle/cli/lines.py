"""Lines of text on a screen: wrapped with their indent kept, never cut inside a word."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable

from rich.console import Console

FEWEST_COLUMNS = 40


def print_lines(console: Console, lines: Iterable[str]) -> None:
    """Print lines; one that is too long goes on below, two columns further in than it began."""
    for line in lines:
        for piece in wrapped(line, console.width):
            console.print(piece, markup=False, highlight=False, soft_wrap=True)


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
