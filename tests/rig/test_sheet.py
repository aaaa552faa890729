import pytest

from cringle.errors import InputError
from cringle.findings import Source
from cringle.rig.sheet import RowWish, row_notes, rule_states, tune_sheet, wanted_sag_share
from cringle.rig.wind_load import Sailing


@pytest.fixture(scope="module")
def rows(together, files):
    wishes = [
        RowWish(14.0, {"cap_shrouds": 2.0, "lower_shrouds": 1.0}, 325.0, Source.MEASURED),
        RowWish(8.0),
        RowWish(18.0),
    ]
    return tune_sheet(together, Sailing(files.class_file, 320.0), wishes)


def test_rows_come_by_wind(rows):
    assert [row.wind_kn for row in rows] == [8.0, 14.0, 18.0]


def test_turns_of_the_book_are_kept(rows):
    assert rows[1].turns == {"cap_shrouds": 2.0, "lower_shrouds": 1.0}
    assert (rows[1].source, rows[1].turns_half_width) == (Source.MEASURED, {})


def test_computed_rows_tighten_with_the_wind_and_keep_prebend(rows):
    assert rows[0].turns["cap_shrouds"] < rows[2].turns["cap_shrouds"]
    assert all(row.source == Source.COMPUTED for row in (rows[0], rows[2]))
    assert all(abs(row.dock.prebend_mm - 25.0) < 4.0 for row in (rows[0], rows[2]))
    assert all(value > 0.0 for value in rows[2].turns_half_width.values())


def test_sag_has_an_interval(rows):
    assert all(5.0 < row.sag_half_width_mm < row.sailing.sag_mm for row in rows)


def test_steps_are_the_screws_own(rows):
    assert all(2.0 * value == round(2.0 * value) for row in rows for value in row.turns.values())


def test_no_winds_or_one_twice(together, files):
    for wishes in ([], [RowWish(8.0), RowWish(8.0)]):
        with pytest.raises(InputError, match="each wind once"):
            tune_sheet(together, Sailing(files.class_file, 320.0), wishes)


def test_notes_name_slack_and_the_end_of_a_thread(base, rows):
    notes = row_notes(base.model, {"cap_shrouds": 6.0}, rows[0].sailing)
    assert any("Cap shroud screw, port is at the end" in one for one in notes)


def test_rule_states(base):
    assert rule_states(base.model) == {
        "cap_shrouds": "between races",
        "lower_shrouds": "between races",
        "forestay": "ashore",
    }


def test_wanted_sag_falls_with_the_wind():
    assert wanted_sag_share(4.0) > wanted_sag_share(10.0) == 1.0 > wanted_sag_share(24.0)
