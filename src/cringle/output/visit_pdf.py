"""The report of a visit on paper: two pages at most for the owner, and an annex with the rest and photos."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from cringle.output.picture_bare import bare_picture
from cringle.output.sheet import Section, Sheet, sections_markup, sheet_markup
from cringle.output.typst_pdf import compile_pdf, page_count
from cringle.output.wording import typst_string

MOST_PAGES: Final = 2
LIMITS: Final = (16, 12, 10, 8, 6, 5, 4, 3, 2, 1)
"""Rows and sentences of one section tried in turn, until the body fits its pages."""

PHOTO_COLUMNS: Final = 2
PHOTO_HEIGHT_MM: Final = 68


@dataclass(frozen=True)
class Pages:
    """The report cut to a length: the body, and the annex with everything that was cut."""

    body: Sheet
    annex: tuple[Section, ...]


@dataclass(frozen=True)
class Picture:
    """A photo for the annex: a plain name with its ending, its bytes, and what it shows."""

    name: str
    data: bytes
    caption: str


def visit_pdf(pages_of: Callable[[int], Pages], pictures: Sequence[Picture], made: datetime) -> bytes:
    """Return the report as an A4 PDF whose body stands on two pages at most.

    Parameters
    ----------
    pages_of : callable
        Gives the report with so many rows and sentences a section.
    pictures : sequence of Picture
        Photos; what a camera wrote into them does not come into the PDF.
    made : datetime
        Date in the file.
    """
    fitting = fitted(pages_of)
    files = {one.name: bare_picture(one.data) for one in pictures}
    return compile_pdf(visit_markup(fitting, pictures), made, files)


def fitted(pages_of: Callable[[int], Pages]) -> Pages:
    """Return the longest report whose body stands on two pages; the shortest where none does."""
    for limit in LIMITS:
        found = pages_of(limit)
        if page_count(sheet_markup(found.body)) <= MOST_PAGES:
            break
    return found


def visit_markup(pages: Pages, pictures: Sequence[Picture]) -> str:
    """Return the markup of body and annex."""
    out = [sheet_markup(pages.body)]
    filled = [one for one in pages.annex if one.lines or one.rows]
    if filled or pictures:
        out.append(f'#pagebreak()\n#text(size: 14pt, weight: "bold", {typst_string("Annex")})\n')
    out.append(sections_markup(filled))
    if pictures:
        out.append(f"#heading({typst_string('Photos')})\n")
        cells = ", ".join(_picture(place, one) for place, one in enumerate(pictures, start=1))
        out.append(f"#grid(columns: {PHOTO_COLUMNS}, gutter: 5mm, {cells})\n")
    return "".join(out)


def _picture(place: int, one: Picture) -> str:
    return (
        f"block(breakable: false, width: 100%, [#image({typst_string(one.name)}, width: 100%, "
        f'height: {PHOTO_HEIGHT_MM}mm, fit: "contain")#par({typst_string(f"{place}. {one.caption}")})])'
    )
