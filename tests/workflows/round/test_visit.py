"""A coach's visit: what is said is kept, the rest comes from the book, and nothing is invented."""

from __future__ import annotations

from dataclasses import fields
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cringle.book.store import Book
from cringle.errors import BookFileError, InputError, RuleError
from cringle.workflows.numbers.marks import set_stage
from cringle.workflows.outings.moments import lock
from cringle.workflows.outings.notes import WindSaid, note_wind
from cringle.workflows.outings.outing import Door, end_outing, start_outing
from cringle.workflows.round import visit as visits
from cringle.workflows.round.visit import Said, VisitAsked, note_visit, read_visit_file, visit_report
from cringle.workflows.survey import survey_set_state


def at(text: str) -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=UTC)


@pytest.fixture
def book(book_folder: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return a book whose model has no answer: what is priced has tests of its own."""
    monkeypatch.setattr(visits, "improves", lambda *_, **__: ())
    Book.open(book_folder, create=True).close()
    return book_folder


def test_what_is_said_is_kept_and_grows_through_the_day(book: Path) -> None:
    name = note_visit(book, Said(found=("The vang cleat slips",)), who="coach")
    note_visit(
        book, Said(found=("The  vang cleat slips ", "One screw unlocked"), done=("Taped it",)), who="coach"
    )
    found = visit_report(book)
    assert found.day.isoformat() == name
    assert found.said == Said(("The vang cleat slips", "One screw unlocked"), ("Taped it",), ())


def test_the_same_again_writes_nothing(book: Path) -> None:
    said = Said(next=("Mark the vang",))
    note_visit(book, said, who="coach")
    with Book.open(book) as records:
        before = records.newest()
    note_visit(book, said, who="coach")
    with Book.open(book) as records:
        assert records.newest() == before


def test_an_empty_book_says_what_to_enter(book: Path) -> None:
    found = visit_report(book)
    assert found.said.is_empty
    assert found.priced_in is None
    assert found.improves == ()
    words = " ".join(found.notes)
    for option in ("--found", "--done", "--wind", "gauge", "--photo"):
        assert option in words


def test_the_report_stands_on_the_visit_before(book: Path) -> None:
    set_stage(book, "vang", "taped", who="coach")
    note_visit(book, Said(found=("first",)), who="coach", day=date(2026, 5, 1))
    set_stage(book, "vang", "inked", who="Keo")
    survey_set_state(book, "screw_locks", "done", who="Keo")
    note_visit(book, Said(found=("second",)), who="coach")
    found = visit_report(book)
    vang = next(one for one in found.marks if one.control == "vang")
    assert (vang.before, vang.now, vang.is_changed) == ("taped", "inked", True)
    assert found.since.before == "2026-05-01"
    assert found.since.items_done == {"screw_locks"}
    assert (found.done_cost, found.done_hours) == (8.0, 0.5)
    assert found.work.ranked[0].item.id == "safety_gear"
    assert visit_report(book, VisitAsked("2026-05-01")).said.found == ("first",)


def test_the_wind_is_the_one_asked_for_or_the_last_noted_at_the_tables_height(book: Path) -> None:
    assert visit_report(book, VisitAsked(wind_kn=14.0, sea="flat")).priced_in == (14.0, "flat")
    start_outing(Door(book, at="2026-06-17 18:25"))
    note_wind(Door(book, at="2026-06-17 18:28"), WindSaid(11.0))
    note_wind(Door(book, at="2026-06-17 18:40"), WindSaid(11.0, height_m=2.0))
    end_outing(Door(book, at="2026-06-17 19:20"))
    priced = visit_report(book).priced_in
    assert priced is not None
    assert 11.0 < priced[0] < 16.0, "two metres up is less wind than at the table's height"


@pytest.mark.parametrize(
    ("said", "match"),
    [
        (Said(), "nothing was said"),
        (Said(found=("",)), "letters"),
        (Said(found=("x" * 241,)), "241 letters"),
        (Said(done=tuple(f"thing {place}" for place in range(13))), "13 sentences"),
    ],
)
def test_bad_input_keeps_nothing(book: Path, said: Said, match: str) -> None:
    with pytest.raises(InputError, match=match):
        note_visit(book, said, who="coach")
    with Book.open(book) as records:
        assert records.newest() == 0


def test_days_to_come_and_unknown_visits_are_refused(book: Path) -> None:
    clock = lambda: at("2026-06-17 12:00")  # noqa: E731 - shorter than a function here
    with pytest.raises(InputError, match="still to come"):
        note_visit(book, Said(found=("x",)), who="coach", day=date(2026, 6, 18), clock=clock)
    with pytest.raises(InputError, match="none yet"):
        visit_report(book, VisitAsked("2026-06-18"))


def test_no_report_while_racing(book: Path) -> None:
    lock(book, who="coach")
    with pytest.raises(RuleError, match="RRS 41"):
        visit_report(book)


def test_a_visit_file_is_read_with_paths_beside_it(tmp_path: Path) -> None:
    path = tmp_path / "visit.toml"
    path.write_text(
        'found = ["a"]\nnext = ["b"]\n[[photos]]\nfile = "leech.jpg"\ncaption = "Leech"\n', encoding="utf-8"
    )
    said, photos = read_visit_file(path)
    assert said == Said(("a",), (), ("b",))
    assert photos == ((tmp_path / "leech.jpg", "Leech"),)
    path.write_text('fund = ["a"]\n', encoding="utf-8")
    with pytest.raises(BookFileError, match="fund"):
        read_visit_file(path)
    with pytest.raises(InputError, match="no such file") as caught:
        read_visit_file(tmp_path / "gone.toml")
    assert "visit file" in str(caught.value.next_step)


SENTENCE = st.text(st.characters(codec="utf-8", exclude_categories=["C", "Z"]), min_size=1, max_size=40)


@settings(max_examples=25)
@given(
    parts=st.lists(st.builds(Said, *[st.lists(SENTENCE, max_size=3).map(tuple)] * 3), min_size=1, max_size=4)
)
def test_saying_it_in_parts_is_saying_it_at_once(parts: list[Said]) -> None:
    whole = Said()
    for part in parts:
        whole = visits._together(whole, part)
    for one in fields(Said):
        told = [sentence for part in parts for sentence in getattr(part, one.name)]
        assert getattr(whole, one.name) == tuple(dict.fromkeys(told))
