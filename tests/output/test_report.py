import re
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path

import pytest

from cringle.errors import BookError
from cringle.output.report import report_html, write_report
from cringle.track.debrief.debrief import Debrief

VOID = {"meta", "br"}


class Checker(HTMLParser):
    """Collects text and attributes, and checks that every element is closed where it should be."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.text: list[str] = []
        self.attributes: list[tuple[str, str | None]] = []
        self.tags: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.attributes += attrs
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.attributes += attrs

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        self.text.append(data)


def checked(html: str) -> Checker:
    parser = Checker()
    parser.feed(html)
    parser.close()
    assert parser.open == []
    return parser


def test_the_page_is_well_formed_and_needs_nothing_else(evening: Debrief) -> None:
    page = report_html(evening)
    parser = checked(page)
    assert not {"script", "link", "img", "iframe", "object"} & set(parser.tags)
    assert not re.search(r"https?://|url\(|@import", page)
    assert "Content-Security-Policy" in page
    assert {"src", "href"}.isdisjoint(name for name, _ in parser.attributes)


def test_it_begins_with_what_the_data_cannot_tell(evening: Debrief) -> None:
    page = report_html(evening)
    order = [
        page.index(f"<h2>{title}")
        for title in ("What the data cannot tell", "What happened", "Track", "Heel")
    ]
    assert order == sorted(order)
    assert page.index("<li>") < page.index("<svg")


def test_it_holds_what_was_found(evening: Debrief) -> None:
    text = " ".join(checked(report_html(evening)).text)
    assert "Debrief of Brindle" in text
    assert "You made 8 tacks and 6 gybes." in text
    assert "1. tack 18:35:21" in text
    assert "14. gybe" in text
    assert "17 June 2026, 18:30 to 19:06 (Europe/London time)" in text


def test_names_from_outside_are_escaped(windless: Debrief) -> None:
    page = report_html(replace(windless, boat="<b>Brindle</b>"))
    parser = checked(page)
    assert "<script>" not in page
    assert "<b>" not in page
    assert "<script>alert('x')</script> & co.gpx" in parser.text


def test_without_wind_it_lists_turns_and_says_that_heel_is_unknown(windless: Debrief) -> None:
    text = " ".join(checked(report_html(windless)).text)
    assert "1. turn 17:31:" in text
    assert "90° to the right" in text
    assert "Nothing is known about heel" in text
    assert "North is at the top." in text


def test_under_engine_it_lists_nothing(motoring: Debrief) -> None:
    text = " ".join(checked(report_html(motoring)).text)
    assert "No tack and no gybe was found." in text


def test_without_positions_there_is_no_drawing(windless: Debrief) -> None:
    bare = replace(windless, picture=replace(windless.picture, lines=(), marks=(None,)), turns=())
    text = " ".join(checked(report_html(bare)).text)
    assert "The log has no positions." in text
    assert "No turn of 60° or more was found." in text


def test_nothing_missing_is_said(windless: Debrief) -> None:
    assert "nothing had to be worked out" in report_html(replace(windless, unknown=()))


def test_both_themes_and_print(evening: Debrief) -> None:
    page = report_html(evening)
    assert "#F7F3E9" in page
    assert "#0C1719" in page
    assert "@media (prefers-color-scheme: dark)" in page
    assert "@media print" in page
    assert "LIGHT" not in page
    assert "DARK" not in page


def test_writing_is_whole_or_not_at_all(evening: Debrief, tmp_path: Path) -> None:
    target = tmp_path / "report.html"
    write_report(evening, target)
    assert target.read_text(encoding="utf-8") == report_html(evening)
    assert list(tmp_path.iterdir()) == [target]
    with pytest.raises(BookError):
        write_report(evening, tmp_path / "absent" / "report.html")
