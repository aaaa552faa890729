from __future__ import annotations

from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cringle.boat.read import read_book_files
from cringle.findings import Number, Source
from cringle.settings.heel import heel_at, heel_targets
from cringle.settings.table import RowNote
from cringle.settings.tonight import ModelAnswers

AT = datetime(2026, 5, 1, tzinfo=UTC)


@pytest.fixture(scope="module")
def class_file(examples):
    return read_book_files(examples).class_file


def note(wind_kn, heel, *, sail_set="main+jib", gear="settled", source=Source.ENTERED, posture=None):
    number = None if heel is None else Number(heel, "deg", source, by="Ines", at=AT)
    return RowNote(sail_set, None, wind_kn, gear, posture=posture, heel=number)


def test_on_a_row_between_rows_and_beyond():
    rows = [note(8, 10.0), note(12, 14.0)]
    assert heel_at(rows, 8).value == 10
    assert heel_at(rows, 10).value == 12
    assert heel_at(rows, 4).value == 10
    assert heel_at(rows, 30).value == 14


def test_provenance_is_that_of_the_less_sure_row():
    rows = [note(8, 10.0, source=Source.MEASURED), note(12, 14.0, source=Source.GUESS), note(16, 15.0)]
    assert heel_at(rows, 8).source is Source.MEASURED
    assert heel_at(rows, 10).source is Source.GUESS
    assert heel_at(rows, 14).source is Source.GUESS
    assert heel_at(rows, 20).source is Source.ENTERED
    assert heel_at(rows, 8).by == "Ines"


def test_rows_of_two_gears_are_never_mixed():
    rows = [note(8, 10.0), note(12, 14.0), note(8, 2.0, gear="build"), note(12, 4.0, gear="build")]
    assert heel_at(rows, 10).value == 12
    run = [
        note(6, 7.0, sail_set="main+kite", gear="soak"),
        note(16, 2.0, sail_set="main+jib+kite", gear="plane"),
    ]
    assert heel_at(run, 8).value == 7
    assert heel_at(run, 14).value == 2


def test_a_row_nearer_than_the_last_kept_heel_ends_it():
    rows = [note(6, None), note(8, None), note(10, 12.0), note(14, 13.0), note(16, None)]
    assert heel_at(rows, 9.5).value == 12
    assert heel_at(rows, 9) is None
    assert heel_at(rows, 4) is None
    assert heel_at(rows, 14.9).value == 13
    assert heel_at(rows, 20) is None


def test_never_across_a_change_of_posture():
    rows = [note(8, 4.0, posture="legs in"), note(12, 14.0, posture="hike")]
    assert heel_at(rows, 9.9).value == 4
    assert heel_at(rows, 10.1).value == 14


def test_nothing_kept_is_nothing_known(class_file):
    assert heel_at([], 10) is None
    assert heel_targets([note(8, None)], class_file, 8) == (None, None)


def test_up_and_down_come_from_their_own_sails(class_file):
    rows = [note(8, 10.0), note(8, 6.0, sail_set="main+kite", gear="soak"), note(8, 9.0, sail_set="spare")]
    up, down = heel_targets(rows, class_file, 8)
    assert (up.value, down.value) == (10, 6)


def test_the_model_stands_in_only_where_the_book_has_nothing(class_file):
    model = ModelAnswers(
        "speed 1", heel_up=Number(20.0, "deg", Source.COMPUTED), heel_down=Number(3.0, "deg", Source.COMPUTED)
    )
    up, down = heel_targets([note(8, 10.0)], class_file, 8, model)
    assert (up.value, up.source) == (10, Source.ENTERED)
    assert (down.value, down.source) == (3.0, Source.COMPUTED)


@given(st.lists(st.floats(-5, 30), min_size=1, max_size=8), st.floats(0, 40))
def test_never_outside_what_was_kept_but_for_rounding(heels, wind_kn):
    rows = [note(4.0 + 2.0 * place, heel) for place, heel in enumerate(heels)]
    found = heel_at(rows, wind_kn)
    assert min(heels) - 0.5 <= found.value <= max(heels) + 0.5
    assert float(found.value).is_integer()
