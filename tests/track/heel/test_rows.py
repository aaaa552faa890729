"""Heel and the heel to keep."""

from __future__ import annotations

import numpy as np
from numpy.testing import assert_allclose

from cringle.track.frozen_polar import FrozenPolar
from cringle.track.heel.rows import heel_rows
from cringle.track.ledger.ledger import REACH, RUN, SAILED, UPWIND, LedgerRows, code


def rows(wind_kn: float = 10.0) -> LedgerRows:
    kind = np.repeat([UPWIND, RUN, REACH], 100).astype(np.int8)
    charge = np.full(300, SAILED, dtype=np.int8)
    charge[50:60] = code("tack")
    same = np.full(300, wind_kn)
    return LedgerRows(
        same, same * 4.0, same * 0.5, same * 0.0 + 12.0, kind, np.zeros(300, dtype=np.int64), charge
    )


def test_targets_are_the_polars_by_point_of_sail(sketch: FrozenPolar) -> None:
    found = heel_rows(rows(), sketch, {})
    up, run = (float(sketch.target(10.0, upwind=one).heel_deg) for one in (True, False))
    assert_allclose(found.target_deg[:100], up)
    assert_allclose(found.target_deg[100:200], run)
    assert np.isnan(found.target_deg[200:]).all()


def test_what_was_said_goes_before_and_manoeuvres_are_left_out(sketch: FrozenPolar) -> None:
    found = heel_rows(rows(), sketch, {"upwind": 9.0, "downwind": 2.0})
    assert_allclose(found.target_deg[:200], np.repeat([9.0, 2.0], 100))
    assert np.isnan(found.heel_deg[50:60]).all()
    assert np.isfinite(np.delete(found.heel_deg, np.s_[50:60])).all()
