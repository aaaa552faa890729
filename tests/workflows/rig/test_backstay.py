from __future__ import annotations

import pytest
from numpy.testing import assert_allclose

from cringle.book.store import Book
from cringle.errors import InputError
from cringle.rig.loads import DYNAMIC_FACTOR
from cringle.workflows.numbers.csv import import_csv
from cringle.workflows.rig.backstay import BackstayRequest, design_factor, rig_backstay, rig_loads


@pytest.fixture
def folder(book_folder, examples):
    with Book.open(book_folder, create=True, who="coach"):
        pass
    import_csv(book_folder, examples / "table.csv", examples / "cues.csv", who="Ines")
    return book_folder


def test_travel_advice_and_winds(folder):
    found = rig_backstay(folder, BackstayRequest(wind_kn=12.0, top_load_n=1200.0, points=6))
    assert [row.travel_pct for row in found.rows] == pytest.approx([0, 20, 40, 60, 80, 100])
    assert found.advice.top_load_n == 1200.0
    assert found.top_load_source == "entered"
    assert [one.wind_kn for one in found.winds] == [4, 6, 8, 10, 12, 14, 16, 18, 20, 24]
    assert found.winds[0].travel_pct < found.winds[-1].travel_pct
    assert len(found.legs) == 5


def test_top_load_unless_told_is_a_fifth_of_the_weakest_part(book_folder):
    found = rig_backstay(book_folder, BackstayRequest(wind_kn=0.0, points=3))
    assert_allclose(found.advice.top_load_n, 0.2 * 7060.0)
    assert "from memory" in found.top_load_source
    assert found.winds == ()


def test_a_top_load_out_of_reach(book_folder):
    with pytest.raises(InputError, match="backstay load"):
        rig_backstay(book_folder, BackstayRequest(top_load_n=90_000.0, points=3))


def test_loads_take_the_tables_turns(folder):
    table, base = rig_loads(folder, winds_kn=[14.0]), rig_loads(folder, winds_kn=[14.0], turns={})
    assert table.rows[0].working_n != base.rows[0].working_n
    assert table.factor == DYNAMIC_FACTOR
    assert table.winds_kn == (14.0,)


def test_a_factor_needs_its_source():
    assert design_factor(None, "") == DYNAMIC_FACTOR
    assert design_factor(2.0, "our rigger").source == "our rigger"
    with pytest.raises(InputError, match="design factor"):
        design_factor(2.0, "")


@pytest.mark.parametrize("wind_kn", [10.0, 14.0, 24.0])
def test_a_top_load_is_never_more_than_the_travel_pulls(folder, wind_kn):
    found = rig_backstay(folder, BackstayRequest(wind_kn=wind_kn))
    most = max(one.load_n for one in found.rows)
    assert 0.0 < found.advice.top_load_n <= most
    assert ("the most that the travel pulls" in found.top_load_source) == (wind_kn > 10.0)
