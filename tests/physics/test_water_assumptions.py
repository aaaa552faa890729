"""The table of assumptions of the water side."""

from __future__ import annotations

from dataclasses import fields, replace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from cringle.errors import InputError
from cringle.physics import water_assumptions
from cringle.physics.tables import Table
from cringle.physics.water_assumptions import (
    WaterAssumptions,
    default_water_assumptions,
    water_assumption_rows,
)


def test_every_field_has_one_row_with_a_spread_round_it():
    rows = {row.name: row for row in water_assumption_rows()}
    assert set(rows) == {one.name for one in fields(WaterAssumptions)}
    for row in rows.values():
        assert row.low <= row.value <= row.high
        assert row.low < row.high
        assert row.why
        assert row.source


def test_defaults_are_the_table_in_radians():
    given = default_water_assumptions()
    assert given.effective_draft_share == 1.0
    assert given.stall_lift_coefficient == 0.95
    assert_allclose(given.heel_leeway, 0.405 * np.pi / 180)
    assert default_water_assumptions() is given


def test_wild_draws_are_refused():
    with pytest.raises(InputError, match="rudder_wake"):
        replace(default_water_assumptions(), rudder_wake=-0.5)


def test_a_missing_row_is_named(monkeypatch):
    short = water_assumption_rows()[1:]
    monkeypatch.setattr(water_assumptions, "water_assumption_rows", lambda: short)
    default_water_assumptions.cache_clear()
    try:
        with pytest.raises(InputError, match="hull_drag_factor"):
            default_water_assumptions()
    finally:
        default_water_assumptions.cache_clear()


def test_it_reads_one_table():
    assert isinstance(water_assumptions.load_table(water_assumptions.TABLE_NAME), Table)
