from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

from numpy.testing import assert_allclose

from cringle.boat.read import read_book_files
from cringle.boat.survey_file import SurveyFile
from cringle.output.work_list_pdf import CAUTIONS, DEPARTURE_CAUTIONS, departure_pdf, work_list_pdf
from cringle.settings.work_list import rank_items, tick_items

AT = datetime(2026, 6, 3, 17, 30, tzinfo=UTC)
Pages = Callable[[bytes], list[tuple[float, float, str]]]


def survey(examples: Path) -> SurveyFile:
    return read_book_files(examples).survey_file


def words(text: str) -> str:
    return " ".join(text.split())


def test_the_list_in_order_on_a4(examples: Path, pages: Pages) -> None:
    items = survey(examples).items
    work = rank_items(items, {"marks": "done"})
    found = pages(work_list_pdf(work, "Brindle", "EUR", AT))
    assert_allclose(found[0][:2], [210.0, 297.0], atol=0.2)
    text = words(" ".join(page[2] for page in found))
    places = [text.index(words(one.item.what)) for one in work.ranked]
    assert places == sorted(places)
    forbidden = text.index("The class forbids it: not advice")
    assert max(places) < forbidden < text.index("Reshape the keel")
    assert "Number every line" in text[text.index("Behind us") :]
    for caution in (*CAUTIONS, "Caution: standing rigging", "cost not known"):
        assert (words(caution) in text) == (caution != "cost not known")


def test_an_unknown_cost_says_so(examples: Path, pages: Pages) -> None:
    item = survey(examples).items[0].model_copy(update={"cost": None, "hours": None, "what": '#panic("x")'})
    text = words(pages(work_list_pdf(rank_items([item], {}), "Brindle", "EUR", AT))[0][2])
    assert "hours not known · cost not known" in text
    assert "1 without cost or hours" in text
    assert '#panic("x")' in text


def test_a_long_list_goes_over_pages(examples: Path, pages: Pages) -> None:
    items = [
        one.model_copy(update={"id": f"{one.id}_{n}"}) for n in range(5) for one in survey(examples).items
    ]
    found = pages(work_list_pdf(rank_items(items, {}), "Brindle", "EUR", AT))
    assert len(found) > 2
    assert f"1 / {len(found)}" in found[0][2]


def test_the_departure_check_on_one_page(examples: Path, pages: Pages) -> None:
    checks = survey(examples).departure
    ticks = tick_items(checks, {"radio": ("2026-06-03", "Keo")}, "2026-06-03")
    made = departure_pdf(ticks, "Brindle", "2026-06-03", AT)
    found = pages(made)
    assert len(found) == 1
    text = words(found[0][2])
    for one in checks:
        assert words(one.check) in text
    assert "1 of 8 ticked" in text
    assert "ticked by Keo" in text
    for caution in DEPARTURE_CAUTIONS:
        assert words(caution) in text
    assert departure_pdf(ticks, "Brindle", "2026-06-03", AT) == made


def test_an_empty_list_is_a_page_too(pages: Pages) -> None:
    text = pages(work_list_pdf(rank_items([], {}), "Brindle", "", AT))[0][2]
    assert "0 to do" in text
