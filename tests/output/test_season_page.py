"""A season on a page."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from pathlib import Path

import pytest
from season_views import season_view

from cringle.output.season_page import (
    DAY_HEAD,
    LEG_HEAD,
    day_row,
    dots_of,
    leg_row,
    season_html,
    settings_text,
    write_season_page,
)
from cringle.output.season_words import SeasonView


@pytest.fixture
def view() -> SeasonView:
    return season_view()


class Checked(HTMLParser):
    """Counts tags that are open; a page that is whole ends with none."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []

    def handle_starttag(self, tag: str, attrs: object) -> None:
        if tag not in {"meta", "br"}:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: object) -> None:
        return

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag


def test_the_page_is_whole_and_needs_nothing_else(view: SeasonView, tmp_path: Path) -> None:
    path = tmp_path / "season.html"
    write_season_page(view, path)
    page = path.read_text(encoding="utf-8")
    checked = Checked()
    checked.feed(page)
    assert checked.open == []
    assert not re.search(r'(src|href)="', page)
    assert "Season of Brindle &amp; co" in page
    assert "no &lt;log&gt;" in page
    assert "<w6>" not in page


def test_sections_in_the_order_a_coach_reads(view: SeasonView) -> None:
    heads = re.findall(r"<h2>([^<]+)</h2>", season_html(view))
    assert heads == [
        "What the data cannot tell",
        "What went together",
        "Day by day",
        "Where the time went, day by day",
        "Against the wind",
        "Who was aboard",
        "Sails, crew and settings",
        "Every leg",
        "Logs not used",
    ]


def test_what_nobody_measured_is_not_drawn(view: SeasonView) -> None:
    assert dots_of(view, "lost_stopped_s_per_min") is None
    assert dots_of(view, "lost_angle_s_per_min") is None
    tack = dots_of(view, "tack_loss_m")
    assert tack is not None
    assert len(tack.x) == 5
    assert tack.line is not None
    assert tack.line < 0.0
    share = dots_of(view, "heel_in_band_share", "wind_kn")
    assert share is not None
    assert (share.across, round(share.y[0])) == ("true wind, kn", 46)


def test_a_leg_and_a_day_as_cells(view: SeasonView) -> None:
    row = leg_row(view.rows[0])
    assert len(row) == len(LEG_HEAD)
    assert row == (
        "2026-05-06 beat 1, <w6>.csv",
        "8",
        "9.5 kn from 226°",
        "46 %",
        "6 of 14.8 m",
        "0",
        "64 s",
        "8.0 s",
    )
    none = leg_row(view.rows[-1])
    assert none == ("2026-05-30 no leg found, drift.csv", "15", "–", "–", "–", "–", "–", "–")
    assert day_row(view.means[0]) == (
        "2026-05-06",
        "9.5 kn",
        "16.0 h",
        "Ines, Keo",
        "Backstay 4½; Jib halyard 3",
    )
    assert len(DAY_HEAD) == 5
    assert settings_text({}) == "–"


def test_the_crews_of_two_days_or_more(view: SeasonView) -> None:
    page = season_html(view)
    assert re.search(r'data-label="Aboard">Ines, Keo</td><td class="narrow" data-label="Logs">5</td>', page)
    assert "Who was aboard" not in season_html(SeasonView(None, view.rows, view.means, [], []))


def test_an_empty_season(tmp_path: Path) -> None:
    page = season_html(SeasonView(None, [], [], [], [], ["a.nmea: empty"], 1))
    assert "1 log, no leg of a race in any." in page
    assert "Nothing is clear yet." in page
    assert "Day by day" not in page
