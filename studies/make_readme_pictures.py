"""Make the README's pictures from the demo book: ``python studies/make_readme_pictures.py``."""

from __future__ import annotations

import tempfile
from datetime import UTC, datetime
from pathlib import Path

import pypdfium2

from cringle.workflows.round.card import CardRequest, make_card
from cringle.workflows.round.demo import TONIGHT, run_demo

IMAGES = Path(__file__).parents[1] / "docs" / "images"
PRINTED = datetime(2026, 6, 17, 17, 30, tzinfo=UTC)
PIXELS_PER_POINT = 1.6


def main() -> None:
    """Write the card's two sides beside each other."""
    with tempfile.TemporaryDirectory() as scratch:
        book = run_demo(Path(scratch) / "book").folder
        card = Path(scratch) / "card.pdf"
        make_card(book, TONIGHT, card, wanted=CardRequest(at=PRINTED))
        document = pypdfium2.PdfDocument(card)
        sides = [document[place].render(scale=PIXELS_PER_POINT).to_pil().convert("L") for place in (0, 1)]
        document.close()
    width, height = sides[0].size
    both = sides[0].resize((2 * width + 24, height))
    both.paste(200, (0, 0, *both.size))
    both.paste(sides[0], (0, 0))
    both.paste(sides[1], (width + 24, 0))
    both.quantize(16).save(IMAGES / "card.png", optimize=True)


if __name__ == "__main__":
    main()
