from __future__ import annotations

from pathlib import Path

import pytest

from cringle.boat.read import read_book_files
from cringle.book.store import Book
from cringle.errors import ConflictError, RuleError
from cringle.settings.records import TonightRequest
from cringle.workflows.numbers.csv import import_csv
from cringle.workflows.numbers.tonight import tonight
from cringle.workflows.outings.evening import (
    NOWHERE_KN,
    Evening,
    begin_racing,
    differences,
    end_racing,
    evening_of,
    share_conditions,
)
from cringle.workflows.outings.notes import WindSaid, note_sea, note_wind
from cringle.workflows.outings.outing import Door, end_outing, start_outing

ASKED = TonightRequest(
    wind_kn=11.0,
    low_kn=9.0,
    high_kn=13.0,
    gust_kn=15.0,
    height_m=2.0,
    sea="flat",
    aboard=("Ines", "Guest=70"),
)


def standing(folder: Path, middle_kn: float | None = None) -> Evening:
    with Book.open(folder, create=True) as book:
        return evening_of(book, middle_kn)


def test_nobody_has_said_anything(book_folder: Path) -> None:
    assert standing(book_folder) == Evening(TonightRequest(wind_kn=NOWHERE_KN))
    assert standing(book_folder, 12.0).request.mean_kn == 12.0


def test_the_wind_of_the_outing_that_goes_on_is_taken(book_folder: Path) -> None:
    start_outing(Door(book_folder))
    note_wind(Door(book_folder), WindSaid(9.0, low_kn=7.0, high_kn=10.0, height_m=2.0))
    note_sea(Door(book_folder), "waves")
    assert standing(book_folder).request == TonightRequest(9.0, 7.0, 10.0, None, 2.0, "waves")
    end_outing(Door(book_folder))
    assert standing(book_folder).request.mean_kn == NOWHERE_KN


def test_what_is_shared_comes_back_as_it_was(book_folder: Path) -> None:
    done = share_conditions(book_folder, ASKED, who="Ines", base_id=None)
    found = standing(book_folder)
    assert (found.request, found.said_by, found.entry_id) == (ASKED, "Ines", done.id)
    assert not found.is_racing


def test_two_do_not_write_over_each_other(book_folder: Path) -> None:
    share_conditions(book_folder, ASKED, who="Ines", base_id=None)
    with pytest.raises(ConflictError, match="Ines wrote 11 kn, flat"):
        share_conditions(book_folder, TonightRequest(wind_kn=8.0), who="Keo", base_id=None)


def test_racing_keeps_the_conditions_of_the_signal(book_folder: Path) -> None:
    first = share_conditions(book_folder, ASKED, who="Ines", base_id=None)
    begin_racing(book_folder, ASKED, who="Keo")
    begin_racing(book_folder, TonightRequest(wind_kn=20.0), who="Tobias")
    found = standing(book_folder)
    assert (found.is_racing, found.request, found.fixed_at, found.said_by) == (True, ASKED, first.id, "Keo")
    with pytest.raises(RuleError, match="RRS 41"):
        share_conditions(book_folder, TonightRequest(wind_kn=8.0), who="Keo", base_id=first.id)
    end_racing(book_folder, who="Keo")
    end_racing(book_folder, who="Keo")
    assert not standing(book_folder).is_racing
    begin_racing(book_folder, TonightRequest(wind_kn=20.0), who="Tobias")
    assert standing(book_folder).request.mean_kn == 20.0


def test_differences_have_the_screws_first_then_the_largest(book_folder: Path, examples: Path) -> None:
    with Book.open(book_folder, create=True):
        pass
    import_csv(book_folder, examples / "table.csv", examples / "cues.csv", who="coach")
    people = read_book_files(book_folder).crew_file.people
    before, now = (tonight(book_folder, TonightRequest(wind_kn=one)) for one in (8.0, 18.0))
    found = differences(before, now, people)
    screws = [one.role for one in found if before.scales[one.role].is_rig]
    assert screws == [one.role for one in found[: len(screws)]]
    assert screws
    sizes = [abs(one.steps) for one in found[len(screws) :]]
    assert sizes == sorted(sizes, reverse=True)
    assert differences(before, before, people) == ()
