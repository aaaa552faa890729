from __future__ import annotations

import gzip
from datetime import UTC, datetime
from pathlib import Path

import pytest
from jinja2 import UndefinedError
from starlette.testclient import TestClient

from cringle.findings import PROVENANCE_LETTER, Number, Source
from cringle.output.line_rule import LineRule
from cringle.web.render import TEMPLATES, environment, error_page, fragment, letter, rule_svg, sure

AT = datetime(2026, 6, 3, 17, 30, tzinfo=UTC)


@pytest.mark.parametrize("source", list(Source))
def test_every_source_has_a_letter_and_a_sentence(source: Source) -> None:
    number = Number(3.5, "mark", source, by="Ines", at=AT)
    assert letter(number) == PROVENANCE_LETTER[source]
    assert "Ines" in sure(number)
    assert "3 June 2026" in sure(number)


def test_an_interval_is_said_in_marks() -> None:
    assert "90 % between 3 and 4½" in sure(Number(3.5, "mark", Source.TRIAL, low=3.0, high=4.5))
    assert "90 %" not in sure(Number(3.5, "mark", Source.GUESS))


def test_a_line_keeps_to_the_policy_and_the_theme() -> None:
    svg = rule_svg(LineRule(0.0, 10.0, Number(4.0, "mark", Source.TRIAL), None, "vang"))
    assert "style=" not in svg
    assert "#" not in svg
    assert "var(--tape)" in svg


def test_what_is_put_into_a_page_is_escaped() -> None:
    body = error_page(404, "<script>x</script>", 'go "back"', {}).body
    assert b"<script>x" not in bytes(body)
    assert b"&lt;script&gt;x" in bytes(body)


def test_a_value_that_is_missing_is_an_error_and_not_a_gap() -> None:
    with pytest.raises(UndefinedError):
        fragment("error.html", status=404)


@pytest.mark.parametrize("path", sorted(TEMPLATES.glob("*.html")), ids=lambda path: path.name)
def test_every_template_can_be_read(path: Path) -> None:
    assert environment().get_template(path.name)
    assert "|safe" not in path.read_text(encoding="utf-8").replace(" ", "")


def test_a_page_is_packed_only_for_who_can_unpack_it(here: TestClient) -> None:
    packed = here.get("/", headers={"accept-encoding": "gzip"})
    plain = here.get("/", headers={"accept-encoding": "identity"})
    assert packed.headers["content-encoding"] == "gzip"
    assert "content-encoding" not in plain.headers
    assert packed.text == plain.text
    assert len(gzip.compress(plain.content)) < len(plain.content)


def test_a_session_is_handed_out_once_and_kept_from_scripts(here: TestClient, stranger: TestClient) -> None:
    assert "set-cookie" not in here.get("/").headers
    fresh = stranger.get("/join")
    for said in (one for name, one in fresh.headers.items() if name == "set-cookie"):
        assert "httponly" in said.lower()
        assert "samesite=strict" in said.lower()
