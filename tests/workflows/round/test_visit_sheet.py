"""The report's order and limits: two pages for the owner whatever the book holds, all of it in the annex."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path

import pypdfium2
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pictures import png

from cringle.errors import InputError
from cringle.output.visit_pdf import LIMITS, fitted
from cringle.settings.work_list import rank_items
from cringle.workflows.numbers.gauge_said import GaugeSaid
from cringle.workflows.round import visit as visits
from cringle.workflows.round.visit import MarkStage, Said, VisitReport, note_visit, visit_report
from cringle.workflows.round.visit_photos import Photo
from cringle.workflows.round.visit_sheet import SCREEN_ROWS, print_visit, visit_json, visit_pages
from cringle.workflows.round.visit_since import Deed
from cringle.workflows.speed.worth import Improves

ORDER = [
    "Found",
    "Done today",
    "Done before today, since the visit before",
    "Next, by worth",
    "Cost",
    "What it should improve",
    "Marks",
    "Can the crew set it? Gauge study",
    "Still open from outings",
    "The class forbids it: not advice",
    "Photos, in the annex",
    "Not entered",
]
PRICED = (
    Improves("rail", "the heaviest on the rail", 5.5, 1.6, 8.6, ("rail_sheeting",)),
    Improves("heel", "heel on its number", 4.2, -0.4, 9.0),
    Improves("hull_surface", "a faired bottom", 3.6, -2.4, 9.0),
)


@pytest.fixture
def report(book_folder: Path, monkeypatch: pytest.MonkeyPatch) -> VisitReport:
    """Return the report of a visit to the demo boat, priced with figures of this test."""
    monkeypatch.setattr(visits, "improves", lambda *_, **__: PRICED)
    note_visit(book_folder, Said(("The vang cleat slips",), ("Marked the vang",), ("Splice",)), who="coach")
    return visit_report(book_folder, visits.VisitAsked(wind_kn=11.0))


def whole(report: VisitReport) -> VisitReport:
    """Return a report with something in every section."""
    deed = Deed(date(2026, 6, 16), "Base tune measured and kept", "Keo")
    gauge = GaugeSaid("vang", date(2026, 6, 1), "good", "The crew can set this step.", "Better.")
    since = replace(report.since, earlier=(deed,), today=(deed,), gauges=(gauge,), seen=("helm light",))
    photo = Photo(Path("leech.png"), "0" * 64, "Leech")
    return replace(report, since=since, actions=("drill: tacks",), photos=(photo,))


def test_the_order_is_the_one_it_is_talked_through(report: VisitReport) -> None:
    body = visit_pages(whole(report), SCREEN_ROWS).body
    assert [one.title for one in body.filled] == ORDER
    assert body.title == "Visit report, Brindle"
    assert body.cautions
    assert body.cautions[-1].endswith("(RRS 41, 2025-2028).")


def test_the_work_list_is_by_worth_with_cost_why_and_what_it_brings(report: VisitReport) -> None:
    section = next(one for one in visit_pages(report, 20).body.sections if one.title == "Next, by worth")
    assert section.lines == ("Splice",)
    assert [row[0] for row in section.rows] == [str(place) for place in range(1, 12)]
    rail = next(row for row in section.rows if row[1].startswith("Lead the jib"))
    assert rail[2:4] == ("4 h, 120 EUR", "6 (2 to 9)")
    assert all(row[3] == "–" for row in section.rows if row is not rail), "silence where the model has no say"
    backstay = next(row for row in section.rows if row[1].startswith("Shorten the upper"))
    assert "Ask the class first, rule C.9.6" in backstay[4]
    assert "Caution: standing rigging" in backstay[4]


def test_what_is_not_clear_says_so(report: VisitReport) -> None:
    section = next(one for one in visit_pages(report, 20).body.sections if "improve" in one.title)
    assert section.rows[0][1:] == ("6", "2 to 9", "item 6")
    assert section.rows[1][2] == "0 to 9: not clear"
    assert section.rows[2][0] == "A faired bottom"
    assert section.rows[2][2] == "−2 to 9: not clear"


def test_without_wind_nothing_is_priced(report: VisitReport) -> None:
    bare = replace(report, priced_in=None, improves=())
    titles = [one.title for one in visit_pages(bare, 20).body.filled]
    assert "What it should improve" not in titles


def test_nothing_on_it_is_finer_than_a_second_a_mile(report: VisitReport) -> None:
    section = next(one for one in visit_pages(report, 20).body.sections if "improve" in one.title)
    assert not any("." in cell for row in section.rows for cell in row[1:3])


def test_what_is_cut_is_counted_and_stands_in_the_annex(report: VisitReport) -> None:
    pages = visit_pages(report, 5)
    cut = next(one for one in pages.body.sections if one.title == "Next, by worth")
    assert len(cut.rows) == 5
    assert cut.lines[-1] == "And 6 more in the annex of the PDF."
    annexed = next(one for one in pages.annex if one.title == "Next, by worth")
    assert len(annexed.rows) == 11
    assert "Found" not in [one.title for one in pages.annex], "what is whole is not said twice"


WORDS = st.text(st.characters(codec="utf-8", exclude_categories=["C"]), min_size=1, max_size=240)


@settings(max_examples=12)
@given(words=WORDS, count=st.integers(1, 12))
def test_two_pages_whatever_is_said(words: str, count: int) -> None:
    report = invented(tuple(f"{place} {words}" for place in range(count)))
    fitting = fitted(lambda most: visit_pages(report, most))
    from cringle.output.sheet import sheet_markup
    from cringle.output.typst_pdf import page_count

    assert page_count(sheet_markup(fitting.body)) <= 2


def invented(said: tuple[str, ...]) -> VisitReport:
    """Return a report that is as long as a report can be."""
    from cringle.workflows.round.visit_since import Since

    day = date(2026, 6, 17)
    deeds = tuple(Deed(day, one, "coach") for one in said)
    since = Since("2026-05-01", 0, deeds, deeds, frozenset(), said, 4, ())
    marks = tuple(
        MarkStage(f"c{place}", one[:30], "taped", "inked", None, one) for place, one in enumerate(said)
    )
    return VisitReport(
        "Brindle", day, datetime(2026, 6, 17, tzinfo=UTC), Said(said, said, said), since,
        rank_items((), {}), "EUR", said, (), None, marks, (), said,
    )  # fmt: skip


def test_the_longest_report_is_cut_and_still_whole() -> None:
    said = tuple(f"{place} " + "every word of this sentence is needed, " * 6 for place in range(12))
    report = invented(said)
    assert len(fitted(lambda most: visit_pages(report, most)).annex) > 3
    assert LIMITS[-1] == 1


def test_the_pdf_has_its_photos_in_the_annex(report: VisitReport, tmp_path: Path) -> None:
    photo = tmp_path / "leech.png"
    photo.write_bytes(png(120))
    out = tmp_path / "visit.pdf"
    print_visit(replace(report, photos=(Photo(photo, "0" * 64, "Leech & #luff"),)), out)
    pages = [page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(out)]
    assert len(pages) == 3
    assert "Found" in pages[0]
    assert "Annex" in pages[2]
    assert "1. Leech & #luff" in pages[2]
    assert "seconds" not in pages[2]
    print_visit(replace(report, photos=()), tmp_path / "again.pdf")
    print_visit(replace(report, photos=()), tmp_path / "twice.pdf")
    assert (tmp_path / "again.pdf").read_bytes() == (tmp_path / "twice.pdf").read_bytes()


def test_a_photo_that_is_gone_and_another_ending_are_refused(report: VisitReport, tmp_path: Path) -> None:
    gone = replace(report, photos=(Photo(tmp_path / "gone.png", "0" * 64, "x"),))
    with pytest.raises(InputError, match=r"gone\.png"):
        print_visit(gone, tmp_path / "visit.pdf")
    assert not (tmp_path / "visit.pdf").exists()
    with pytest.raises(InputError, match=r"\.pdf"):
        print_visit(report, tmp_path / "visit.doc")


def test_json_has_units_in_its_keys_and_null_for_unknown(report: VisitReport) -> None:
    data = json.loads(json.dumps(visit_json(whole(report)), allow_nan=False))
    assert data["schema"] == 1
    assert data["said"]["found"] == ["The vang cleat slips"]
    assert data["next"][0]["s_per_mile"] is None
    assert data["next"][5]["s_per_mile"] == 5.5
    assert data["cost"] == {
        "currency": "EUR",
        "to_do": 483.0,
        "to_do_h": 37.0,
        "unknown": 0,
        "done": 0,
        "done_h": 0,
    }
    assert data["gauge_studies"][0]["day"] == "2026-06-01"
    bare = visit_json(replace(report, priced_in=None))
    assert (bare["wind_kn"], bare["sea"]) == (None, None)
