from __future__ import annotations

import re
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from cringle.book.store import Book
from cringle.cli.tonight_text import MOST_LINES, clipped, dock_text
from cringle.settings.records import TonightRequest
from cringle.workflows.numbers.csv import import_csv
from cringle.workflows.outings.goals import set_goal
from cringle.workflows.outings.moments import set_signal
from cringle.workflows.outings.outing import Door, start_outing
from cringle.workflows.round.dock import Changed, Dock, dock

ORDER = ["RIG NOW", "FIRST", "MARIT", "Changed", "Heel", "Places", "Run", "If ", "Goal", "Ready", "Print"]
RICH = TonightRequest(wind_kn=11.0, low_kn=9.0, high_kn=13.0, gust_kn=15.0, height_m=2.0)


def now() -> datetime:
    """Return the evening's instant."""
    return datetime(2026, 6, 17, 17, 30, tzinfo=UTC)


@pytest.fixture
def folder(book_folder: Path, examples: Path) -> Path:
    Book.open(book_folder, create=True).close()
    import_csv(book_folder, examples / "table.csv", examples / "cues.csv", who="coach", why="first")
    start_outing(Door(book_folder))
    set_goal(Door(book_folder), "heel within two degrees of the target upwind")
    return book_folder


def full(folder: Path) -> Dock:
    change = Changed("backstay", "backstay", 4.0, 4.5, "Tobias", "the leech hung in every lull " * 6)
    found = dock(folder, RICH, clock=now)
    cautions = (*found.tonight.cautions, *(f"caution number {one} that takes some words" for one in range(9)))
    return replace(found, changed=(change,), tonight=replace(found.tonight, cautions=cautions))


@pytest.mark.parametrize("wind_kn", [0.0, 3.0, 8.0, 10.5, 14.0, 19.0, 26.0])
@pytest.mark.parametrize("sail_set", [None, "main+kite", "main+jib+kite"])
def test_it_reads_in_a_minute(folder: Path, wind_kn: float, sail_set: str | None) -> None:
    found = dock(folder, TonightRequest(wind_kn=wind_kn, gust_kn=wind_kn + 4.0, sail_set=sail_set), clock=now)
    lines = dock_text(found).splitlines()
    assert len(lines) <= MOST_LINES
    assert max(map(len, lines)) <= 80


@given(
    low=st.floats(3.0, 25.0),
    span=st.floats(0.0, 6.0),
    gust=st.floats(0.0, 8.0),
    aboard=st.sampled_from([(), ("Ines", "Tobias", "Marit")]),
    sail_set=st.sampled_from([None, "main+kite"]),
)
@settings(max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_any_wind_and_three_or_four_people_fit_the_page(
    folder: Path, low: float, span: float, gust: float, aboard: tuple[str, ...], sail_set: str | None
) -> None:
    low, high = round(low, 1), round(min(low + span, 25.0), 1)
    request = TonightRequest(
        wind_kn=round((low + high) / 2.0, 1),
        low_kn=low,
        high_kn=max(low, high),
        gust_kn=round(high + gust, 1),
        aboard=aboard,
        sail_set=sail_set,
    )
    lines = dock_text(dock(folder, request, clock=now)).splitlines()
    assert len(lines) <= MOST_LINES
    assert max(map(len, lines)) <= 80


def test_the_fullest_page_still_fits_and_keeps_its_order(folder: Path) -> None:
    lines = dock_text(full(folder)).splitlines()
    assert len(lines) <= MOST_LINES
    assert max(map(len, lines)) <= 80
    starts = [next(place for place, line in enumerate(lines) if line.startswith(word)) for word in ORDER]
    assert starts == sorted(starts)


def test_no_decimal_is_finer_than_a_mark(folder: Path) -> None:
    page = dock_text(full(folder))
    body = page[: page.index("Print")]
    assert re.findall(r"\d\.\d", body.split("\n", 1)[1].split("RIG NOW")[1]) == []


def test_it_says_until_when_the_rig_may_change(folder: Path) -> None:
    assert "until the preparatory signal" in " ".join(dock_text(dock(folder, RICH, clock=now)).split())
    set_signal(folder, "18:55", who="Ines", clock=now)
    assert "until the signal at 18:55" in " ".join(dock_text(dock(folder, RICH, clock=now)).split())


def test_a_change_says_who_and_why(folder: Path) -> None:
    assert "backstay 4½ (was 4; Tobias: the leech hung" in " ".join(dock_text(full(folder)).split())


def test_an_empty_table_says_so(book_folder: Path) -> None:
    Book.open(book_folder, create=True).close()
    page = dock_text(dock(book_folder, TonightRequest(wind_kn=10.0), clock=now))
    assert "none in the table" in page


def test_long_words_end_in_an_ellipsis() -> None:
    lines = clipped("Label", "word " * 100, most=2)
    assert len(lines) == 2
    assert lines[-1].endswith("…")
