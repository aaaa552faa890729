from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from cringle.book.store import Book
from cringle.errors import BookError, InputError
from cringle.workflows.outings import departure
from cringle.workflows.outings.outing import Door, end_outing, start_outing

AT = datetime(2026, 6, 3, 23, 30, tzinfo=UTC)


def test_ticks_belong_to_one_outing(book_folder: Path) -> None:
    found = departure.departure_tick(book_folder, ["radio", "radio"], who="Keo", outing="2026-06-03")
    assert [one.item.id for one in found.ticks if one.ticked] == ["radio"]
    departure.departure_tick(book_folder, ["radio"], who="Keo", outing="2026-06-03")
    other = departure.departure_check(book_folder, outing="2026-06-10")
    assert [one for one in other.ticks if one.ticked] == []
    with Book.open(book_folder) as book:
        assert len(book.history("departure_tick")) == 1


def test_without_an_outing_the_local_date_counts(book_folder: Path) -> None:
    assert departure.departure_check(book_folder, at=AT).outing == "2026-06-04"


def test_the_outing_that_goes_on_counts(book_folder: Path) -> None:
    begun = start_outing(Door(book_folder, who="Keo"))
    assert departure.departure_check(book_folder, at=AT).outing == begun.id


def test_an_unknown_check_is_refused_with_the_nearest_name(book_folder: Path) -> None:
    with pytest.raises(InputError, match="did you mean 'radio'"):
        departure.departure_tick(book_folder, ["tow_line", "rado"], who="Keo")
    assert not any(one.ticked for one in departure.departure_check(book_folder).ticks)


def test_an_outing_that_ended_no_longer_counts(book_folder: Path) -> None:
    start_outing(Door(book_folder, who="Keo"))
    departure.departure_tick(book_folder, ["radio"], who="Keo")
    end_outing(Door(book_folder, who="Keo"))
    found = departure.departure_check(book_folder, at=AT)
    assert found.outing == "2026-06-04"
    assert not any(one.ticked for one in found.ticks)


def test_the_check_on_paper(book_folder: Path, tmp_path: Path) -> None:
    one, two = tmp_path / "1.pdf", tmp_path / "2.pdf"
    for out in (one, two):
        departure.departure_print(book_folder, out, at=AT)
    assert one.read_bytes().startswith(b"%PDF")
    assert one.read_bytes() == two.read_bytes()
    with pytest.raises(BookError, match="could not be written"):
        departure.departure_print(book_folder, tmp_path / "no" / "d.pdf", at=AT)


def test_json_says_who_ticked(book_folder: Path) -> None:
    departure.departure_tick(book_folder, ["radio"], who="Keo", outing="2026-06-03")
    found = departure.departure_json(departure.departure_check(book_folder, outing="2026-06-03"))
    by = {one["id"]: one["by"] for one in found["checks"]}
    assert (by["radio"], by["tow_line"]) == ("Keo", None)
