from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime

import numpy as np
import pytest
from hypothesis import given
from hypothesis import settings as hypothesis_settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from numpy.typing import NDArray

from cringle.findings import Number, Source
from cringle.output.card import (
    ALWAYS,
    FIGURES_PT,
    MOST_CAUTIONS,
    ROWS_MM,
    CardInput,
    card_markup,
    card_pdf,
    row_height_mm,
)
from cringle.output.card_rows import CardRows, card_rows
from cringle.output.person_block import ControlRow, PersonBlock, number_typst
from cringle.output.typst_pdf import FIGURE_HEIGHT, compile_pdf
from cringle.settings.tonight import Call, RigTonight, Tonight

AT = datetime(2026, 6, 3, 17, 30, tzinfo=UTC)
Made = Callable[..., Tonight]
Pages = Callable[[bytes], list[tuple[float, float, str]]]
Ink = Callable[..., NDArray[np.bool_]]
HOSTILE = '"] #panic("x") $ * _ ` \\ #read("/etc/passwd") <b>'


def card(tonight_for: Made, person: str | None = None, **changes: object) -> CardInput:
    up = replace(tonight_for(gust_kn=14.0), **changes)
    downs = tuple(tonight_for(sail_set=one) for one in ("main+kite", "main+jib+kite"))
    return CardInput(up, downs, AT, person)


def words(text: str) -> str:
    return " ".join(text.split())


def test_a_front_and_a_back_of_a6(tonight_for: Made, pages: Pages) -> None:
    found = pages(card_pdf([card(tonight_for)]))
    assert len(found) == 2
    for width, height, _ in found:
        assert_allclose([width, height], [105.0, 148.0], atol=0.1)


def test_a_card_for_each(tonight_for: Made, pages: Pages) -> None:
    cards = [card(tonight_for, person) for person in (None, "Marit", "Keo", "Tobias")]
    found = pages(card_pdf(cards))
    assert len(found) == 8
    assert "Brindle · Keo" in found[4][2]
    assert "Mainsheet" not in found[2][2]


def test_the_same_tonight_gives_the_same_bytes(tonight_for: Made) -> None:
    assert card_pdf([card(tonight_for)]) == card_pdf([card(tonight_for)])


def tall(figure: NDArray[np.bool_]) -> float:
    rows = np.flatnonzero(figure.any(axis=1))
    return float(rows[-1] - rows[0] + 1)


def test_figures_are_at_least_five_millimetres_tall(ink: Ink) -> None:
    number = number_typst(Number(1.0, "mark", Source.MEASURED), size_pt=FIGURES_PT)
    alone = number.partition("#h(")[0]
    page = '#set page(width: 40mm, height: 20mm, margin: 5mm)\n#set text(font: "DejaVu Sans Mono")\n'
    height_mm = tall(ink(compile_pdf(page + alone, AT), dpi=600)) / 600 * 25.4
    assert height_mm >= 5.0
    assert_allclose(height_mm, FIGURES_PT * FIGURE_HEIGHT / 72 * 25.4, atol=0.1)


def test_the_figures_on_the_card_itself_are_that_tall(tonight_for: Made, ink: Ink) -> None:
    black = ink(card_pdf([card(tonight_for)]), dpi=300)
    right = black[int(22 / 25.4 * 300) :, int(64 / 25.4 * 300) : int(76 / 25.4 * 300)]
    filled = right.any(axis=1)
    runs = np.diff(np.flatnonzero(np.diff(np.concatenate(([0], filled.astype(int), [0])))))[::2] / 300 * 25.4
    assert (runs >= 5.0).sum() >= 10


def test_the_front_says_wind_gears_people_and_what_was_left_out(tonight_for: Made, pages: Pages) -> None:
    front = words(pages(card_pdf([card(tonight_for)]))[0][2])
    for part in (
        "11 kn, gusts 14",
        "Brindle",
        "in marks, or as said build settled",
        "Cap shrouds (turns)",
        "Marit jib",
        "Not on this card",
        "2026-06-03",
    ):
        assert part in front


def test_the_back_says_heel_moves_run_cautions_and_provenance(tonight_for: Made, pages: Pages) -> None:
    heel = Number(12.0, "deg", Source.MEASURED, low=10.0, high=14.0)
    cues = {"helm": "two fingers"}
    back = words(pages(card_pdf([card(tonight_for, heel_up=heel, cues=cues)]))[1][2])
    for part in ("12°", "to leeward, 10 to 14", "helm: two fingers", "More wind: 12 kn", "Less wind: 10 kn"):
        assert part in back
    for part in ("Run", "Cautions", "RRS 41", "Where the numbers come from", "Hollow figures are guesses"):
        assert part in back
    for caution in ALWAYS:
        assert words(caution) in back


def test_without_a_heel_target_the_back_says_what_to_do(tonight_for: Made, pages: Pages) -> None:
    assert "No heel target yet" in pages(card_pdf([card(tonight_for)]))[1][2]


def test_the_call_says_what_why_and_when_it_flips(tonight_for: Made, pages: Pages) -> None:
    call = Call(lane="straight", technique="wing", jib="out", why="it is square", flips_at_kn=14.2)
    back = words(pages(card_pdf([card(tonight_for, call=call)]))[1][2])
    assert "Wing, jib out, lane: straight because it is square; the other way at 14 kn." in back
    assert "No call for the run" in words(pages(card_pdf([card(tonight_for)]))[1][2])


def test_one_persons_back_has_only_their_moves(tonight_for: Made, pages: Pages) -> None:
    back = words(pages(card_pdf([card(tonight_for, "Keo")]))[1][2])
    assert "Keo:" in back
    assert "Tobias:" not in back


def test_texts_from_people_stay_texts(tonight_for: Made, pages: Pages) -> None:
    made = card(
        tonight_for, boat=HOSTILE, cautions=(HOSTILE,), cues={HOSTILE: HOSTILE}, sail_set_name=HOSTILE
    )
    found = pages(card_pdf([made]))
    assert len(found) == 2
    assert words(HOSTILE) in words(found[1][2])


@pytest.mark.parametrize("count", [0, 10, 40])
def test_a_back_with_much_to_say_still_fits(tonight_for: Made, pages: Pages, count: int) -> None:
    cautions = tuple(f"caution number {n}: look at the rig before the start" for n in range(count))
    made = card(tonight_for, cautions=cautions, rig=RigTonight())
    made = replace(made, down=tuple(replace(one, cautions=()) for one in made.down))
    found = pages(card_pdf([made]))
    assert len(found) == 2
    for caution in cautions[:MOST_CAUTIONS]:
        assert caution in words(found[1][2])
    assert ("30 more cautions" in words(found[1][2])) == (count == 40)


def test_guesses_are_hollow(tonight_for: Made) -> None:
    up = tonight_for()
    guesses = tuple(
        replace(one, number=replace(one.number, source=Source.GUESS)) for one in up.numbers.numbers
    )
    markup = card_markup([card(tonight_for, numbers=replace(up.numbers, numbers=guesses))])
    front = markup.partition("#pagebreak()")[0]
    assert front.count("fill: white, stroke: 0.5pt") == 28
    assert "28 guess" in markup or f"{len(guesses)} guess" in markup


def test_an_empty_table_says_so(tonight_for: Made, pages: Pages) -> None:
    up = tonight_for()
    empty = replace(up, numbers=replace(up.numbers, numbers=()), moves=(), workers={})
    found = pages(card_pdf([CardInput(empty, (), AT)]))
    assert len(found) == 2
    assert "no numbers for these sails yet" in found[0][2]


def test_rows_fill_the_front_but_never_spill(tonight_for: Made) -> None:
    assert row_height_mm(card_rows(tonight_for())) >= ROWS_MM[0]
    number = Number(1.0, "mark", Source.GUESS)
    row = ControlRow("vang", "mark", 0.0, 9.0, (number, number))
    few = CardRows(("build", "settled"), (PersonBlock("Keo", "forward", (row,)),), ())
    assert row_height_mm(few) == ROWS_MM[1]
    assert row_height_mm(CardRows((), (), ())) == ROWS_MM[1]


def test_fourteen_rows_of_five_people_fit_on_one_front(tonight_for: Made, pages: Pages) -> None:
    up = tonight_for()
    names = ["Ines", "Tobias", "Marit", "Keo", "Guest"]
    workers = {role: names[index % 5] for index, role in enumerate(up.numbers.roles)}
    found = pages(card_pdf([CardInput(replace(up, workers=workers), (), AT)]))
    assert len(found) == 2
    assert "Not on this card" in found[0][2]


def test_a_long_title_stays_on_one_line(tonight_for: Made, ink: Ink) -> None:
    made = [
        CardInput(
            replace(tonight_for(low_kn=9.0, high_kn=13.0, gust_kn=15.0), boat="A boat of a long name"),
            (),
            AT,
            who,
        )
        for who in (None, "Keo")
    ]
    pdf = card_pdf(made)
    for page in (0, 2):
        heading = ink(pdf, page)[: int(10.5 / 25.4 * 300)]
        runs = np.flatnonzero(np.diff(np.concatenate(([0], heading.any(axis=1).astype(int), [0]))))
        assert (runs[1] - runs[0]) / 300 * 25.4 < 5.0
        assert len(runs) <= 4


MARKS = st.integers(-40, 80).map(lambda half: half / 2)
SOURCES = st.sampled_from(list(Source))


@hypothesis_settings(max_examples=25)
@given(st.data())
def test_any_numbers_and_any_words_make_two_sides(
    tonight_for: Made, pages: Pages, data: st.DataObject
) -> None:
    up = tonight_for()
    numbers = tuple(
        replace(one, number=Number(data.draw(MARKS), one.number.unit, data.draw(SOURCES)))
        for one in up.numbers.numbers
    )
    words_of_people = st.text(max_size=60)
    changed = replace(
        up,
        numbers=replace(up.numbers, numbers=numbers),
        boat=data.draw(words_of_people),
        cues={"feel": data.draw(words_of_people)},
        cautions=(data.draw(words_of_people),),
    )
    assert len(pages(card_pdf([CardInput(changed, (), AT)]))) == 2
