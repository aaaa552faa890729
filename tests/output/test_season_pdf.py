"""A season on paper."""

from __future__ import annotations

from pathlib import Path

from pypdfium2 import PdfDocument
from season_views import season_view

from cringle.output.season_pdf import season_markup, write_season_pdf
from cringle.output.season_words import SeasonView


def test_paper_says_the_same(tmp_path: Path) -> None:
    view, path = season_view(), tmp_path / "season.pdf"
    write_season_pdf(view, path)
    again = tmp_path / "again.pdf"
    write_season_pdf(view, again)
    assert path.read_bytes() == again.read_bytes()
    document = PdfDocument(path)
    text = "\n".join(page.get_textpage().get_text_range() for page in document)
    for words in ("Season of Brindle & co", "What went together", "Who was aboard", "Every leg", "no <log>"):
        assert words in text
    markup, pictures = season_markup(view)
    assert "tack_loss_m-days.svg" in pictures
    assert markup.count("image(") == len(pictures)
    write_season_pdf(SeasonView(None, [], [], [], []), tmp_path / "empty.pdf")
