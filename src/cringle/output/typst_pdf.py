"""From typesetter markup to a PDF: the same markup and date always give the same bytes."""

from __future__ import annotations

import tempfile
from collections.abc import Mapping
from datetime import UTC, datetime
from pathlib import Path

from cringle.errors import CringleError
from cringle.output.wording import typst_string

FIGURES_FONT = "DejaVu Sans Mono"
WORDS_FONT = "Libertinus Serif"
"""Both come with the typesetter, so that a card looks the same on every machine."""

FIGURE_HEIGHT = 0.729
"""Height of a figure in `FIGURES_FONT` as a share of the size (1493 of 2048 units in its own metrics)."""


def compile_pdf(markup: str, made: datetime, pictures: Mapping[str, bytes] | None = None) -> bytes:
    """Return a PDF.

    Parameters
    ----------
    markup : str
        The whole document. Texts from people must have gone through `typst_string`.
    made : datetime
        Date written into the file, with its time zone.
    pictures : mapping, optional
        Name to the bytes of a picture; the markup calls it by that name.

    Raises
    ------
    CringleError
        The typesetter refused the markup; this is a fault of the program, not of the input.
    """
    import typst

    stamp = int(made.astimezone(UTC).timestamp())
    try:
        with tempfile.TemporaryDirectory(prefix="cringle-") as folder:
            page = Path(folder) / "page.typ"
            for name, data in {page.name: markup.encode("utf-8"), **(pictures or {})}.items():
                page.with_name(name).write_bytes(data)
            return bytes(
                typst.compile(page, root=page.parent, format="pdf", ignore_system_fonts=True, timestamp=stamp)
            )
    except typst.TypstError as error:
        raise CringleError(
            f"the page could not be typeset: {error.message}",
            next_step="report this with the command you ran; the records are untouched",
        ) from error


def page_count(markup: str) -> int:
    """Return on how many pages a document without pictures stands."""
    import typst

    whole = f"{markup}\n#context [#metadata(counter(page).final().first()) <pages>]"
    return int(
        typst.query(whole.encode("utf-8"), "<pages>", field="value", one=True, ignore_system_fonts=True)
    )


def picture_fault(name: str, data: bytes) -> str | None:
    """Return what keeps a picture from being printed, None when it can be.

    Parameters
    ----------
    name : str
        A plain file name with its ending, which says the format.
    data : bytes
        The picture.
    """
    try:
        compile_pdf(
            f"#image({typst_string(name)}, width: 10mm)", datetime(2000, 1, 1, tzinfo=UTC), {name: data}
        )
    except CringleError as error:
        return error.message.removeprefix("the page could not be typeset: ").splitlines()[0]
    return None
