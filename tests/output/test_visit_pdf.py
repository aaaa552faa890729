"""Two pages at most: the limit is looked for, and the annex follows on a page of its own."""

from __future__ import annotations

import io
from datetime import UTC, datetime

from PIL import Image

from cringle.output.sheet import Section, Sheet
from cringle.output.visit_pdf import LIMITS, Pages, Picture, fitted, visit_markup, visit_pdf

MADE = datetime(2026, 6, 17, tzinfo=UTC)
LONG = "a sentence of a report that is as long as a sentence of a report may be, and then some. " * 2


def pages_of(sections: int) -> tuple[list[int], object]:
    asked: list[int] = []

    def make(most: int) -> Pages:
        asked.append(most)
        whole = tuple(Section(f"Part {place}", (LONG,) * most) for place in range(sections))
        return Pages(Sheet("Report", "today", whole, ("Caution.",)), ())

    return asked, make


def test_a_short_report_is_not_cut() -> None:
    asked, make = pages_of(2)
    assert len(fitted(make).body.sections[0].lines) == LIMITS[0]  # type: ignore[arg-type]
    assert asked == [LIMITS[0]]


def test_a_long_one_is_cut_until_it_fits() -> None:
    asked, make = pages_of(12)
    found = fitted(make)  # type: ignore[arg-type]
    assert asked == list(LIMITS[: len(asked)])
    assert 1 < len(asked) < len(LIMITS)
    assert len(found.body.sections[0].lines) == asked[-1]


def test_without_annex_and_photos_no_page_is_broken() -> None:
    body = Sheet("Report", "today", (Section("Found", ("x",)),))
    assert "pagebreak" not in visit_markup(Pages(body, ()), ())
    assert "pagebreak" not in visit_markup(Pages(body, (Section("Empty"),)), ())
    assert "Annex" in visit_markup(Pages(body, (Section("More", ("y",)),)), ())


def test_what_the_camera_wrote_does_not_reach_the_owner() -> None:
    out, exif = io.BytesIO(), Image.Exif()
    exif[0x010F] = "Cameramaker"
    Image.new("RGB", (30, 20), (180, 150, 90)).save(out, "JPEG", exif=exif)
    body = Sheet("Report", "today", (Section("Found", ("x",)),))
    assert b"Cameramaker" in out.getvalue()
    made = visit_pdf(lambda _: Pages(body, ()), [Picture("photo1.jpg", out.getvalue(), "Leech")], MADE)
    assert b"/DCTDecode" in made, "the picture is in the file as it is"
    assert b"Cameramaker" not in made


def test_words_of_a_photo_are_only_words() -> None:
    body = Sheet("Report", "today", (Section("Found", ("x",)),))
    out = io.BytesIO()
    Image.new("RGB", (10, 10)).save(out, "PNG")
    picture = Picture("photo1.png", out.getvalue(), '#panic() "quoted"')
    assert visit_pdf(lambda _: Pages(body, ()), [picture], MADE).startswith(b"%PDF")
