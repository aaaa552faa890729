from __future__ import annotations

from datetime import UTC, datetime

import pypdfium2
import pytest

from cringle.errors import InputError
from cringle.workflows.rig.backstay import BackstayRequest, rig_backstay
from cringle.workflows.rig.print import geometry_picture, print_backstay, print_sheet
from cringle.workflows.rig.rig import rig_sheet

AT = datetime(2026, 6, 3, 17, 0, tzinfo=UTC)


def text_of(path):
    with pypdfium2.PdfDocument(path) as document:
        return [" ".join(page.get_textpage().get_text_range().split()) for page in document]


def test_tune_sheet_on_one_page_with_every_word(book_folder, tmp_path):
    found = rig_sheet(book_folder)
    written = print_sheet(found, pdf=tmp_path / "tune.pdf", picture=tmp_path / "tune.svg", made=AT)
    assert [path.name for path in written] == ["tune.pdf", "tune.svg"]
    pages = text_of(tmp_path / "tune.pdf")
    assert len(pages) == 1
    for words in (
        "Tune sheet, Brindle",
        "2026-06-03",
        "between races, class rule C.9.4 (2026)",
        "ashore",
        "qualified rigger",
        "Warning: no lock is on record",
        "RRS 41",
    ):
        assert words in pages[0], words


def test_same_sheet_same_bytes(book_folder, tmp_path):
    found = rig_sheet(book_folder, winds_kn=[10.0])
    for name in ("a.pdf", "b.pdf"):
        print_sheet(found, pdf=tmp_path / name, made=AT)
    assert (tmp_path / "a.pdf").read_bytes() == (tmp_path / "b.pdf").read_bytes()


def test_pictures_of_the_backstay(book_folder, tmp_path):
    found = rig_backstay(book_folder, BackstayRequest(points=5))
    written = print_backstay(found, travel=tmp_path / "travel.png", geometry=tmp_path / "geometry.svg")
    assert written[0].read_bytes().startswith(b"\x89PNG")
    assert "puller" in written[1].read_text(encoding="utf-8")
    assert "seen from astern" in geometry_picture(found)


def test_nothing_asked_nothing_written(book_folder):
    assert print_sheet(rig_sheet(book_folder, winds_kn=[10.0])) == []


def test_other_formats_are_refused(book_folder, tmp_path):
    with pytest.raises(InputError, match=r"name the file \.svg or \.png"):
        print_backstay(rig_backstay(book_folder, BackstayRequest(points=3)), travel=tmp_path / "travel.gif")
    assert not list(tmp_path.glob("*.gif"))
