from __future__ import annotations

import json

import pytest
from numpy.testing import assert_allclose

from cringle.book.store import Book
from cringle.errors import InputError
from cringle.workflows.rig.as_json import shape_json
from cringle.workflows.rig.measure import rig_check, rig_fit
from cringle.workflows.rig.record import record_turns
from cringle.workflows.rig.shape import ShapeRequest, rig_shape


def test_prebend_of_the_base_agrees(book_folder):
    found = rig_shape(book_folder, ShapeRequest({"prebend_mm": 25.0}))
    row = found.rows[0]
    assert_allclose(row.expected_mm, 25.0, atol=0.01)
    assert row.half_width_mm < 0.1
    assert row.is_within
    assert not (book_folder / "book.sqlite").exists()


def test_far_off_is_outside(book_folder):
    assert not rig_shape(book_folder, ShapeRequest({"prebend_mm": 60.0})).rows[0].is_within


def test_recorded_turns_and_backstay_count(book_folder):
    record_turns(book_folder, {"lower_shrouds": 3.0}, who="Keo")
    flat = rig_shape(book_folder, ShapeRequest({"prebend_mm": 5.0})).rows[0].expected_mm
    bent = rig_shape(book_folder, ShapeRequest({"prebend_mm": 5.0}, 0.0, 600.0)).rows[0].expected_mm
    assert flat < 15.0
    assert bent > flat + 20.0


def test_kept_sags_move_the_sag_factor(book_folder):
    """Photographs that show a third more sag than the model: its load factor goes up, the rest hardly."""
    for wind in (8.0, 10.0, 12.0):
        expected = rig_shape(book_folder, ShapeRequest({"sag_mm": 1.0}, wind)).rows[0].expected_mm
        rig_shape(book_folder, ShapeRequest({"sag_mm": 1.33 * expected}, wind), keep=True, who="Marit")
    fitted = rig_fit(book_folder)
    assert fitted.count == 3
    assert fitted.factors.sag > 1.2
    assert abs(fitted.factors.wire - 1.0) < 0.05
    with Book.open(book_folder) as book:
        assert {one.key.subject for one in book.history("rig_measurement")} == {"sag_mm"}
    assert rig_check(book_folder).pairs == ()


def test_mistakes_are_named(book_folder):
    with pytest.raises(InputError, match="nothing was measured"):
        rig_shape(book_folder, ShapeRequest({}))
    with pytest.raises(InputError, match="boom_mm was measured"):
        rig_shape(book_folder, ShapeRequest({"boom_mm": 3.0}))
    with pytest.raises(InputError, match="straight on the dock"):
        rig_shape(book_folder, ShapeRequest({"sag_mm": 90.0}))


def test_json(book_folder):
    found = json.loads(json.dumps(shape_json(rig_shape(book_folder, ShapeRequest({"sag_mm": 90.0}, 10.0)))))
    row = found["rows"][0]
    assert row["quantity"] == "sag"
    assert row["expected_mm_low"] < row["expected_mm"] < row["expected_mm_high"]
