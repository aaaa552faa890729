"""What every page of a report is made of: a section with its heading, a list of sentences, a table."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final

from cringle.output.wording import html_text

ARROW: Final = "→"
"""Between before and after."""


def section(title: str, body: str) -> str:
    """Return a section; the title is escaped here, the body is markup."""
    return f"<section><h2>{html_text(title)}</h2>{body}</section>\n"


def sentences(said: Iterable[str]) -> str:
    """Return sentences as a list, escaped."""
    return "<ul>" + "".join(f"<li>{html_text(one)}</li>" for one in said) + "</ul>"


def table(kind: str, caption: str, head: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """Return a table; every cell repeats its heading, so that it can be read as a list on a phone.

    Parameters
    ----------
    kind : str
        Class of the table in the style sheet.
    caption : str
        Above it.
    head : sequence of str
        Headings of the columns.
    rows : iterable of sequence of str
        Cells, escaped here; the first of a row is its heading.
    """
    cells = "".join(f'<th scope="col">{html_text(one)}</th>' for one in head)
    lines = "".join(f"<tr>{_cells(head, row)}</tr>" for row in rows)
    return (
        f'<table class="{kind}"><caption>{html_text(caption)}</caption>'
        f"<thead><tr>{cells}</tr></thead><tbody>{lines}</tbody></table>"
    )


def _cells(head: Sequence[str], row: Sequence[str]) -> str:
    classes = ["head", *("wide" if ARROW in value else "narrow" for value in row[1:])]
    return "".join(
        f'<td class="{kind}" data-label="{html_text(name)}">{html_text(value)}</td>'
        for kind, name, value in zip(classes, head, row, strict=True)
    )
