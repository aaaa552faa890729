from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pypdfium2
import pytest

from cringle.book.store import Book
from cringle.errors import BookError, InputError
from cringle.settings.records import TonightRequest
from cringle.workflows.numbers.csv import import_csv
from cringle.workflows.round.card import CardRequest, make_card

AT = datetime(2026, 6, 3, 17, 30, tzinfo=UTC)
WIND = TonightRequest(wind_kn=11.0)


@pytest.fixture
def folder(book_folder: Path, examples: Path) -> Path:
    with Book.open(book_folder, create=True, who="coach"):
        pass
    import_csv(book_folder, examples / "table.csv", examples / "cues.csv", who="Ines")
    return book_folder


def texts(path: Path) -> list[str]:
    document = pypdfium2.PdfDocument(path.read_bytes())
    try:
        return [" ".join(page.get_textpage().get_text_bounded().split()) for page in document]
    finally:
        document.close()


def test_a_card_for_everybody_with_the_run_behind(folder: Path, tmp_path: Path) -> None:
    made = make_card(folder, WIND, tmp_path / "card.pdf", wanted=CardRequest(at=AT))
    front, back = texts(made.path)
    assert made.cards == ("everybody",)
    assert "2026-06-03 18:30" in front
    assert "soak, main and kite" in back
    assert "wing, main, kite and jib" in back


def test_each_and_one(folder: Path, tmp_path: Path) -> None:
    out = tmp_path / "card.pdf"
    made = make_card(folder, WIND, out, wanted=CardRequest(each=True, at=AT))
    assert made.cards[0] == "everybody"
    assert set(made.cards[1:]) == {"Marit", "Keo", "Tobias", "Ines"}
    assert len(texts(out)) == 2 * len(made.cards)
    assert make_card(folder, WIND, out, wanted=CardRequest(person="Keo", at=AT)).cards == ("Keo",)
    assert "Brindle · Keo" in texts(out)[0]


def test_the_same_records_and_date_give_the_same_bytes(folder: Path, tmp_path: Path) -> None:
    one, two = tmp_path / "1.pdf", tmp_path / "2.pdf"
    for out in (one, two):
        make_card(folder, WIND, out, wanted=CardRequest(at=AT))
    assert one.read_bytes() == two.read_bytes()


def test_a_card_for_the_run_has_the_run_in_front(folder: Path, tmp_path: Path) -> None:
    run = TonightRequest(wind_kn=11.0, sail_set="main+kite")
    front, _ = texts(make_card(folder, run, tmp_path / "c.pdf", wanted=CardRequest(at=AT)).path)
    assert "Kite sheet, leeward" in front


def test_the_helm_sets_nothing_and_sees_everybodys_moves(folder: Path, tmp_path: Path) -> None:
    front, back = texts(make_card(folder, WIND, tmp_path / "c.pdf", wanted=CardRequest("Ines", at=AT)).path)
    assert "You set no line tonight" in front
    assert "Tobias:" in back
    assert "kite sheet, leeward" in back


def test_a_stranger_gets_no_card(folder: Path, tmp_path: Path) -> None:
    out = tmp_path / "c.pdf"
    with pytest.raises(InputError, match="person aboard 'Kéo'"):
        make_card(folder, WIND, out, wanted=CardRequest(person="Kéo"))
    assert not out.exists()


def test_a_folder_that_is_not_there_is_said(folder: Path, tmp_path: Path) -> None:
    with pytest.raises(BookError, match="could not be written"):
        make_card(folder, WIND, tmp_path / "no" / "c.pdf", wanted=CardRequest(at=AT))
