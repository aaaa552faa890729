"""The reader of coefficient tables, and the tables' own promises."""

from __future__ import annotations

from importlib import resources

import numpy as np
import pytest
from numpy.testing import assert_allclose

from cringle.errors import InputError
from cringle.physics import tables
from cringle.physics.tables import load_table, parse_table

WATER_TABLES = (
    "body_links",
    "body_segments",
    "effective_draft",
    "heeled_residuary",
    "heeled_wetted_area",
    "keel_residuary",
    "postures",
    "preplaning_1973",
    "residuary_1998",
    "residuary_2008",
    "side_force_1998",
    "assumptions_water",
)
GOOD = "# source: a book\n# from_memory: no\nx,y,provenance\n1,a,p. 3\n2,,p. 4\n"


def test_columns_labels_and_provenance():
    table = parse_table("good", GOOD)
    assert_allclose(table.columns["x"], [1.0, 2.0])
    assert table.labels["y"] == ("a", "")
    assert table.provenance == ("p. 3", "p. 4")
    assert table.source == "a book"
    assert not table.from_memory


def test_empty_number_is_nan():
    table = parse_table("gap", "# source: s\n# from_memory: yes\nx,provenance\n1,a\n,b\n")
    assert np.isnan(table.columns["x"][1])
    assert table.from_memory


def test_columns_cannot_be_written():
    with pytest.raises(ValueError, match="read-only"):
        parse_table("good", GOOD).columns["x"][0] = 9.0


def test_matrix_keeps_the_order_asked_for():
    table = parse_table("two", "# source: s\n# from_memory: no\na,b,provenance\n1,2,x\n3,4,x\n")
    assert_allclose(table.matrix("b", "a"), [[2.0, 1.0], [4.0, 3.0]])


def test_loading_twice_gives_the_same_object():
    assert load_table("residuary_1998") is load_table("residuary_1998")


def test_unknown_name_lists_the_known_ones():
    with pytest.raises(InputError, match="residuary_1998"):
        load_table("residuary_1066")


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("x,provenance\n1,a\n", "source"),
        ("# source: s\nx,provenance\n1,a\n", "from_memory"),
        ("# source: s\n# from_memory: maybe\nx,provenance\n1,a\n", "from_memory"),
        ("# source: s\n# from_memory: no\nx\n1\n", "provenance"),
        ("# source: s\n# from_memory: no\nx,provenance\n", "at least one row"),
        ("# source: s\n# from_memory: no\nx,provenance\n1,a\n2\n", "line 5: 1 cells"),
        ("# source: s\n# from_memory: no\nx,provenance\n1,a\n2,\n", "row 2 has no provenance"),
    ],
)
def test_malformed_tables_say_what_is_wrong(text, message):
    with pytest.raises(InputError, match=message):
        parse_table("bad", text)


@pytest.mark.parametrize("name", WATER_TABLES)
def test_every_table_of_the_water_side_is_whole(name):
    table = load_table(name)
    assert table.source
    assert all(table.provenance)
    assert table.columns
    for values in table.columns.values():
        assert np.all(np.isfinite(values))


def test_every_file_loads():
    names = [one.name[:-4] for one in resources.files(tables).iterdir() if one.name.endswith(".csv")]
    assert set(WATER_TABLES) <= set(names)
    for name in names:
        assert load_table(name).provenance


@pytest.mark.parametrize("name", ["residuary_1998", "residuary_2008", "keel_residuary", "heeled_residuary"])
def test_froude_rows_rise_and_carry_a_grade(name):
    table = load_table(name)
    assert np.all(np.diff(table.columns["froude"]) > 0)
    assert set(table.labels["grade"]) <= {"A", "B", "C"}
