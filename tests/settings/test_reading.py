from __future__ import annotations

from datetime import UTC, datetime

import pytest
from numpy.testing import assert_allclose

from cringle.findings import Number, Source
from cringle.settings.reading import read_role, rows_for, weaker
from cringle.settings.table import Cell, RowNote, Table

KEY = ("main+jib", "settled", "vang")
MAY = datetime(2026, 5, 1, tzinfo=UTC)


def cell(wind_kn, value, *, sea="chop", source=Source.ENTERED, n=None, role="vang", by="Ines"):
    return Cell("main+jib", sea, wind_kn, "settled", role, Number(value, "mark", source, by=by, at=MAY), n)


def table(*cells, postures=()):
    notes = [RowNote("main+jib", None, wind, "settled", posture=posture) for wind, posture in postures]
    return Table.of(cells, notes)


def read(found, wind_kn, **more):
    return read_role(found, KEY, sea=more.pop("sea", "chop"), wind_kn=wind_kn, **more)


def test_a_row_is_read_as_it_stands():
    reading = read(table(cell(8, 4.0, n=3), cell(12, 2.0)), 8)
    assert reading.number.value == 4.0
    assert reading.number.by == "Ines"
    assert reading.number.at == MAY
    assert reading.observations == 3
    assert reading.notes == ()


def test_between_two_rows():
    reading = read(table(cell(8, 4.0), cell(12, 2.0)), 10)
    assert_allclose(reading.number.value, 3.0)
    assert [one.wind_kn for one in reading.rows] == [8, 12]


def test_between_rows_is_no_surer_than_the_less_sure_one():
    guess = read(table(cell(8, 4.0, source=Source.GUESS), cell(12, 2.0, source=Source.TRIAL)), 10)
    assert guess.number.source is Source.GUESS
    first, second = Number(1, "mark", Source.TRIAL), Number(1, "mark", Source.MEASURED)
    assert weaker(first, second).source is Source.MEASURED


def test_observations_are_the_fewer_and_unknown_stays_unknown():
    assert read(table(cell(8, 4.0, n=3), cell(12, 2.0, n=9)), 10).observations == 3
    assert read(table(cell(8, 4.0, n=3), cell(12, 2.0)), 10).observations is None


@pytest.mark.parametrize(
    ("wind_kn", "value", "words"), [(2, 4.0, "below the first row"), (30, 2.0, "beyond the last row")]
)
def test_beyond_the_ends_it_is_held_and_says_so(wind_kn, value, words):
    reading = read(table(cell(8, 4.0), cell(12, 2.0)), wind_kn)
    assert reading.number.value == value
    assert reading.held
    assert words in reading.notes[0]


def test_never_across_a_change_of_posture():
    found = table(
        cell(6, 0.0),
        cell(8, 1.0),
        cell(10, 6.0),
        cell(12, 7.0),
        postures=[(6, "legs in"), (8, "legs in"), (10, "hike"), (12, "hike")],
    )
    light = read(found, 8.9)
    assert light.number.value == 1.0
    assert light.notes == ("posture changes from legs in to hike between 8 and 10 kn: 8 kn row taken",)
    assert read(found, 9.1).number.value == 6.0
    assert read(found, 9.0).number.value == 1.0


def test_inside_one_posture_the_rows_of_another_do_not_bend_the_curve():
    alone = table(cell(6, 0.0), cell(8, 1.0))
    with_hike = table(
        cell(6, 0.0), cell(8, 1.0), cell(10, 6.0), postures=[(6, "legs in"), (8, "legs in"), (10, "hike")]
    )
    assert_allclose(read(with_hike, 7).number.value, read(alone, 7).number.value)
    bent = table(cell(6, 0.0), cell(8, 1.0), cell(10, 6.0))
    assert abs(read(bent, 7).number.value - read(alone, 7).number.value) > 1e-3


def test_a_posture_that_comes_back_does_not_join_its_two_stretches():
    found = table(
        cell(4, 0.0),
        cell(6, 1.0),
        cell(8, 5.0),
        cell(10, 2.0),
        cell(12, 3.0),
        postures=[(4, "hike"), (6, "hike"), (8, "legs in"), (10, "hike"), (12, "hike")],
    )
    assert_allclose(read(found, 11).number.value, 2.5)


def test_by_row_takes_the_nearer_row_the_lighter_when_even():
    found = table(cell(8, 1.0), cell(12, 3.0))
    assert read(found, 9, by_row=True).number.value == 1.0
    assert read(found, 10, by_row=True).number.value == 1.0
    assert read(found, 10.5, by_row=True).number.value == 3.0
    assert read(found, 30, by_row=True).held


def test_a_sea_without_rows_falls_back_to_flat_and_says_so():
    found = table(cell(8, 4.0, sea="flat"), cell(12, 2.0, sea="flat"))
    reading = read(found, 10, sea="waves")
    assert_allclose(reading.number.value, 3.0)
    assert reading.notes == ("no waves row for 10 kn: read from flat",)


def test_flat_falls_back_to_chop():
    reading = read(table(cell(8, 4.0), cell(12, 2.0)), 8, sea="flat")
    assert reading.notes == ("no flat row for 8 kn: read from chop",)


def test_beyond_the_rows_of_a_sea_another_sea_takes_over():
    found = table(
        cell(8, 4.0, sea="flat"), cell(12, 2.0, sea="flat"), cell(4, 6.0), cell(8, 9.0), cell(16, 1.0)
    )
    assert_allclose(read(found, 10, sea="flat").number.value, 3.0)
    reading = read(found, 14, sea="flat")
    assert [one.sea for one in reading.rows] == ["flat", "chop"]
    assert "read from chop" in reading.notes[0]
    assert [one.wind_kn for one in rows_for(found, KEY, "flat", 14)] == [4, 8, 12, 16]


def test_no_row_at_all_is_no_reading():
    assert read(table(cell(8, 4.0, role="backstay")), 8) is None
