"""One page of words and small tables, as a PDF and as an HTML page that needs nothing else."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from cringle.output.palette import DARK, LIGHT, css_variables
from cringle.output.typst_pdf import FIGURES_FONT, WORDS_FONT, compile_pdf
from cringle.output.wording import html_text, typst_string

SCREEN_WIDTH: Final = 80
GAP: Final = "  "


@dataclass(frozen=True)
class Section:
    """A heading with sentences and, where there is one, a table under its heads.

    `widths` are the columns' shares of the paper; without them all but the last are as wide as their words.
    """

    title: str
    lines: tuple[str, ...] = ()
    heads: tuple[str, ...] = ()
    rows: tuple[tuple[str, ...], ...] = ()
    widths: tuple[int, ...] = ()


@dataclass(frozen=True)
class Sheet:
    """A whole page.

    Parameters
    ----------
    title, under : str
        The heading and the line below it.
    sections : tuple of Section
        In order; one without lines and rows is left out.
    cautions : tuple of str
        At the foot.
    """

    title: str
    under: str
    sections: tuple[Section, ...]
    cautions: tuple[str, ...] = ()

    @property
    def filled(self) -> tuple[Section, ...]:
        """Sections that say something."""
        return tuple(one for one in self.sections if one.lines or one.rows)


_PREAMBLE: Final = f"""#set page(paper: "a4", margin: (x: 18mm, y: 15mm), footer: context align(right,
  text(size: 8pt, counter(page).display("1 / 1", both: true))))
#set text(font: "{WORDS_FONT}", size: 10pt, fill: black, hyphenate: false, lang: "en")
#set par(leading: 0.45em, spacing: 0.55em, justify: false)
#show heading: set text(size: 11.5pt)
#show heading: set block(above: 3.4mm, below: 1.8mm)
#set table(stroke: 0.4pt + luma(160), inset: (x: 1.6mm, y: 0.9mm))
#let fig(words) = text(font: "{FIGURES_FONT}", size: 8.5pt, words)
"""

_CSS: Final = (
    f":root{{{css_variables(LIGHT)}}}@media(prefers-color-scheme:dark){{:root{{{css_variables(DARK)}}}}}"
    "body{font:1rem/1.45 system-ui,sans-serif;font-variant-numeric:tabular-nums;max-width:46rem;"
    "margin:1rem auto;padding:0 1rem;color:var(--ink);background:var(--ground)}"
    "h1{font-size:1.4rem;margin:0}h2{font-size:1.1rem;margin:1.2rem 0 .3rem}p{margin:.25rem 0}"
    "table{border-collapse:collapse;width:100%}"
    "th,td{border:1px solid var(--fog);padding:.2rem .5rem;text-align:left;vertical-align:top}"
    "footer{border-top:1px solid var(--fog);margin-top:1.2rem;font-size:.9rem}"
)


def sheet_pdf(sheet: Sheet, made: datetime) -> bytes:
    """Return the page as an A4 PDF."""
    return compile_pdf(sheet_markup(sheet), made)


def sheet_markup(sheet: Sheet) -> str:
    """Return the page as markup of the typesetter."""
    out = [_PREAMBLE, f'#text(size: 16pt, weight: "bold", {typst_string(sheet.title)})\n\n']
    out.append(f"#fig({typst_string(sheet.under)})\n")
    out.append(sections_markup(sheet.filled))
    if sheet.cautions:
        out.append("#v(2mm)\n#line(length: 100%, stroke: 0.4pt)\n")
        out += [f"#par(text(size: 8.5pt, {typst_string(line)}))\n" for line in sheet.cautions]
    return "".join(out)


def sections_markup(sections: Sequence[Section]) -> str:
    """Return sections as markup of the typesetter, without the page they stand on."""
    out = []
    for one in sections:
        out.append(f"#heading({typst_string(one.title)})\n")
        out += [f"#par({typst_string(line)})\n" for line in one.lines]
        if one.rows:
            out.append(_table(one))
    return "".join(out)


def _table(one: Section) -> str:
    widths = [f"{share}fr" for share in one.widths] or ["auto"] * (len(one.heads) - 1) + ["1fr"]
    columns = ", ".join(widths)
    heads = ", ".join(f'text(weight: "bold", {typst_string(head)})' for head in one.heads)
    cells = ", ".join(typst_string(cell) for row in one.rows for cell in row)
    return f"#table(columns: ({columns},), table.header({heads}), {cells})\n"


def sheet_html(sheet: Sheet) -> str:
    """Return the page as HTML; nothing is loaded from anywhere."""
    body = [f"<h1>{html_text(sheet.title)}</h1><p>{html_text(sheet.under)}</p>"]
    for one in sheet.filled:
        lines = "".join(f"<p>{html_text(line)}</p>" for line in one.lines)
        body.append(f"<section><h2>{html_text(one.title)}</h2>{lines}{_html_table(one)}</section>")
    if sheet.cautions:
        body.append(f"<footer>{''.join(f'<p>{html_text(one)}</p>' for one in sheet.cautions)}</footer>")
    return (
        '<!doctype html><html lang="en"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width,initial-scale=1">'
        f"<title>{html_text(sheet.title)}</title><style>{_CSS}</style></head>"
        f"<body><main>{''.join(body)}</main></body></html>\n"
    )


def _html_table(one: Section) -> str:
    if not one.rows:
        return ""
    heads = "".join(f'<th scope="col">{html_text(head)}</th>' for head in one.heads)
    rows = "".join(f"<tr>{''.join(f'<td>{html_text(cell)}</td>' for cell in row)}</tr>" for row in one.rows)
    return f"<table><thead><tr>{heads}</tr></thead><tbody>{rows}</tbody></table>"


def sheet_lines(sheet: Sheet, width: int = SCREEN_WIDTH) -> Sequence[str]:
    """Return the page as lines of text: tables no wider than the screen, sentences unwrapped."""
    lines = [sheet.title, sheet.under]
    for one in sheet.filled:
        lines += ["", one.title.upper(), *one.lines]
        if one.rows:
            widths = _columns(one, width)
            lines += [line for row in (one.heads, *one.rows) for line in _row_lines(row, widths)]
    return [*lines, *(["", *sheet.cautions] if sheet.cautions else [])]


def _columns(one: Section, width: int) -> list[int]:
    """Return the width of each column: as its words where all fit, else by its share, the last the rest."""
    natural = [max(len(row[place]) for row in (one.heads, *one.rows)) for place in range(len(one.heads))]
    room = width - len(GAP) * (len(natural) - 1)
    if sum(natural) <= room:
        return natural
    shares = one.widths or (*[1] * (len(natural) - 1), len(natural))
    wanted = [room * share // sum(shares) for share in shares]
    narrow = [max(min(most, words), 1) for most, words in zip(wanted, natural, strict=True)][:-1]
    return [*narrow, room - sum(narrow)]


def _row_lines(row: Sequence[str], widths: Sequence[int]) -> Iterator[str]:
    """Yield one row of a table, each cell wrapped within its column."""
    cells = [
        textwrap.wrap(cell, max(width, 1), break_on_hyphens=False)
        for cell, width in zip(row, widths, strict=True)
    ]
    for place in range(max(len(one) for one in cells)):
        parts = (one[place] if place < len(one) else "" for one in cells)
        yield GAP.join(f"{part:<{width}}" for part, width in zip(parts, widths, strict=True)).rstrip()
