"""From typesetter markup to a PDF: the same markup and date always give the same bytes."""

from __future__ import annotations

from datetime import UTC, datetime

from cringle.errors import CringleError

FIGURES_FONT = "DejaVu Sans Mono"
WORDS_FONT = "Libertinus Serif"
"""Both come with the typesetter, so that a card looks the same on every machine."""

FIGURE_HEIGHT = 0.729
"""Height of a figure in `FIGURES_FONT` as a share of the size (1493 of 2048 units in its own metrics)."""


def compile_pdf(markup: str, made: datetime) -> bytes:
    """Return a PDF.

    Parameters
    ----------
    markup : str
        The whole document. Texts from people must have gone through `typst_string`.
    made : datetime
        Date written into the file, with its time zone.

    Raises
    ------
    CringleError
        The typesetter refused the markup; this is a fault of the program, not of the input.
    """
    import typst

    stamp = int(made.astimezone(UTC).timestamp())
    try:
        return bytes(
            typst.compile(markup.encode("utf-8"), format="pdf", ignore_system_fonts=True, timestamp=stamp)
        )
    except typst.TypstError as error:
        raise CringleError(
            f"the page could not be typeset: {error.message}",
            next_step="report this with the command you ran; the records are untouched",
        ) from error
