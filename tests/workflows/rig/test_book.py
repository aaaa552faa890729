from __future__ import annotations

import pytest
from numpy.testing import assert_allclose

from cringle.book.entries import NewEntry
from cringle.book.store import Book
from cringle.workflows.numbers.csv import import_csv
from cringle.workflows.rig.book import SUBJECT, read_rig
from cringle.workflows.rig.record import BaseMeasured, record_base, record_locks, record_turns


def test_nothing_on_record_is_the_files(book_folder):
    found = read_rig(book_folder)
    assert (found.is_measured, dict(found.turns), dict(found.table)) == (False, {}, {})
    assert found.target.tensions_n["cap"] == 2600.0
    assert found.crew_kg == 320.0


def test_what_is_on_record_is_read_back(book_folder):
    record_turns(book_folder, {"cap_shrouds": 1.0}, who="Keo")
    record_locks(book_folder, ["all"], "locked", who="Keo")
    record_locks(book_folder, ["lower_port"], "unlocked", who="Keo")
    record_base(book_folder, BaseMeasured({"cap": 2750.0}, 28.0, temperature_c=14.0), who="Keo")
    found = read_rig(book_folder)
    assert found.turns == {"cap_port": 1.0, "cap_starboard": 1.0}
    assert found.locks["lower_port"] == "unlocked"
    assert found.is_measured
    assert (found.target.tensions_n["cap"], found.target.prebend_mm) == (2750.0, 28.0)
    assert found.warnings() == (
        "Lower shroud screw, port is on record as unlocked: a quarter turn makes these numbers useless",
    )
    assert_allclose(found.base().state.tensions_n["cap_port"], 2750.0, atol=0.1)


def test_fitted_factors_are_used(book_folder):
    with Book.open(book_folder, create=True) as book:
        book.write([NewEntry("rig_fit", SUBJECT, {"wire": 0.9, "mast": 1.1, "sag": 1.2})], why="test")
    found = read_rig(book_folder)
    assert (found.factors.wire, found.factors.mast, found.factors.sag) == (0.9, 1.1, 1.2)
    assert found.base().model.factors == found.factors


@pytest.mark.parametrize(("wind", "pull"), [(4.0, 0.0), (14.0, 325.0), (13.2, 325.0), (30.0, 575.0)])
def test_backstay_from_the_nearest_row(book_folder, examples, wind, pull):
    with Book.open(book_folder, create=True):
        pass
    import_csv(book_folder, examples / "table.csv", examples / "cues.csv", who="Ines")
    assert read_rig(book_folder).backstay_pull_mm(wind) == pull
