"""Role cards."""

from __future__ import annotations

from datetime import UTC, datetime

import pypdfium2

from cringle.output.play_cards import CardPlay, CardStep, RoleCard, cards_markup, cards_pdf

AT = datetime(2026, 6, 17, tzinfo=UTC)


STEPS = (CardStep("after “Made”", "Sheet", "until it fills", "kite_sheet", True),)


def card(person="Keo", steps=STEPS):
    play = CardPlay("Set #panic()", "soak, 4 to 20 kn", "rail 1, hike", steps, ("Fingers clear.",))
    return RoleCard(person, "forward", "Brindle", (play,))


def words(pdf):
    return "".join(page.get_textpage().get_text_bounded() for page in pypdfium2.PdfDocument(pdf))


def test_a_card_says_what_when_and_on_which_line():
    text = words(cards_pdf([card()], AT))
    for part in (
        "Keo",
        "forward",
        "Set #panic()",
        "soak, 4 to 20 kn",
        "rail 1, hike",
        "Sheet",
        "kite sheet",
        "Made",
    ):
        assert part in text
    assert "Caution: Fingers clear." in text


def test_each_person_begins_a_page_and_counts_from_one():
    pdf = pypdfium2.PdfDocument(cards_pdf([card("Ines"), card("Keo")], AT))
    assert len(pdf) == 2
    assert "Ines" in pdf[0].get_textpage().get_text_bounded()
    assert pdf[1].get_textpage().get_text_bounded().rstrip().endswith("1")


def test_somebody_without_work_is_told_so():
    assert "Nothing to handle" in words(cards_pdf([card(steps=())], AT))


def test_words_from_people_are_never_markup():
    assert '"Set #panic()"' in cards_markup([card()], AT)


def test_the_rules_stand_on_every_card():
    assert "RRS 42" in words(cards_pdf([card()], AT))
