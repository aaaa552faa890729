from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import settings as hypothesis_settings
from hypothesis import strategies as st

from cringle.errors import CringleError
from cringle.output.typst_pdf import compile_pdf
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
