from __future__ import annotations

import tempfile
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import settings as hypothesis_settings
from hypothesis import strategies as st

from cringle.errors import CringleError
from cringle.output.typst_pdf import compile_pdf, page_count, picture_fault
from cringle.output.wording import typst_string

AT = datetime(2026, 6, 3, 17, 30, tzinfo=UTC)


def test_the_same_input_gives_the_same_bytes() -> None:
    markup = f"#{typst_string('hello')}"
    first = compile_pdf(markup, AT)
    assert first.startswith(b"%PDF")
    assert compile_pdf(markup, AT) == first
    assert compile_pdf(markup, AT.astimezone(timezone(timedelta(hours=2)))) == first
    assert compile_pdf(markup, AT + timedelta(days=1)) != first


def test_markup_the_typesetter_refuses_says_so() -> None:
    with pytest.raises(CringleError, match="could not be typeset"):
        compile_pdf("#nothing-of-that-name()", AT)


@hypothesis_settings(max_examples=60)
@given(st.text(max_size=80))
def test_any_text_from_a_person_is_only_a_text(text: str) -> None:
    assert compile_pdf(f"#{typst_string(text)}", AT).startswith(b"%PDF")


def test_pages_are_counted() -> None:
    assert page_count("one") == 1
    assert page_count("one #pagebreak() two #pagebreak() three") == 3


def test_a_picture_that_cannot_be_printed_says_why() -> None:
    good = (
        b'<svg xmlns="http://www.w3.org/2000/svg" width="10" height="10"><rect width="9" height="9"/></svg>'
    )
    assert picture_fault("good.svg", good) is None
    for name, data in (("bad.svg", b"<svg"), ("bad.jpg", b"no picture"), ("bad.png", good)):
        fault = picture_fault(name, data)
        assert fault is not None
        assert "\n" not in fault


def test_pictures_stand_on_the_page_and_leave_nothing_behind(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    good = (
        b'<svg xmlns="http://www.w3.org/2000/svg" width="10" height="10"><rect width="9" height="9"/></svg>'
    )
    assert compile_pdf('#image("good.svg")', AT, {"good.svg": good}).startswith(b"%PDF")
    assert list(tmp_path.iterdir()) == []
