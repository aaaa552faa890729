"""Charts and cards written to files."""

from __future__ import annotations

from datetime import UTC, datetime

import pypdfium2
import pytest

from cringle.errors import InputError
from cringle.workflows.plays.output import timeline_of, write_cards, write_chart
from cringle.workflows.plays.play import check_play

AT = datetime(2026, 6, 17, 18, 0, tzinfo=UTC)


@pytest.mark.parametrize(("suffix", "head"), [(".svg", b"<svg"), (".png", b"\x89PNG")])
def test_charts(book_folder, tmp_path, suffix, head):
    out = write_chart(book_folder, "set_straight", tmp_path / f"set{suffix}")
    assert out.read_bytes().startswith(head)


def test_an_svg_has_the_words_of_everybody(book_folder, tmp_path):
    text = write_chart(book_folder, "set_straight", tmp_path / "set.svg").read_text(encoding="utf-8")
    for words in (
        "Ines",
        "Tobias",
        "Marit",
        "Keo",
        "Hoist",
        "Pole",
        "Sheeting",
        "Tack and head home",
        "heel [°]",
    ):
        assert words in text
    assert "seconds from the call" in text


def test_another_suffix_is_refused_before_anything_is_made(book_folder, tmp_path):
    with pytest.raises(InputError, match=r"\.svg or \.png"):
        write_chart(book_folder, "tack", tmp_path / "tack.gif")
    assert list(tmp_path.glob("tack*")) == []


def test_a_long_play_has_more_room_for_words(book_folder):
    short = timeline_of(check_play(book_folder, "tack"))
    long = timeline_of(check_play(book_folder, "man_overboard"))
    assert long.lanes.until_s > short.lanes.until_s
    assert long.subtitle.endswith("done in 118.0 s")


def test_cards_of_everybody(book_folder, tmp_path):
    out = tmp_path / "cards.pdf"
    cards = write_cards(book_folder, out, names=("tack", "set_straight"), at=AT)
    assert [one.person for one in cards] == ["Ines", "Tobias", "Marit", "Keo"]
    pdf = pypdfium2.PdfDocument(out)
    width, height = pdf[0].get_size()
    assert (round(width / 72 * 25.4), round(height / 72 * 25.4)) == (105, 148)
    words = "".join(page.get_textpage().get_text_bounded() for page in pdf)
    for wanted in ("Ines", "Keo", "Tack", "Straight set", "RRS 42", "People first"):
        assert wanted in words


def test_one_card_with_all_plays(book_folder, tmp_path):
    (card,) = write_cards(book_folder, tmp_path / "keo.pdf", person="keo", at=AT)
    assert len(card.plays) == 21
    straight = next(one for one in card.plays if one.title == "Straight set")
    pole = next(one for one in straight.steps if one.say == "Pole")
    assert pole.critical
    assert pole.line == "pole_line"
    assert "after" in pole.when


def test_the_same_input_gives_the_same_bytes(book_folder, tmp_path):
    files = [tmp_path / f"{n}.pdf" for n in range(2)]
    for one in files:
        write_cards(book_folder, one, names=("tack",), person="ines", at=AT)
    assert files[0].read_bytes() == files[1].read_bytes()


def test_nobody_of_that_name(book_folder, tmp_path):
    with pytest.raises(InputError, match="nobody 'nemo'"):
        write_cards(book_folder, tmp_path / "x.pdf", person="nemo")
    assert not (tmp_path / "x.pdf").exists()
