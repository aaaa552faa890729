from __future__ import annotations

import numpy as np
import pytest

from cringle.track.heel.discipline import HeelRows, heel_discipline
from cringle.track.ledger.ledger import RUN, UPWIND


def rows(error: np.ndarray, *, target: float = 15.0, kind: int = UPWIND, wind: float = 10.0) -> HeelRows:
    n = error.size
    return HeelRows(
        error + target,
        np.full(n, target),
        np.full(n, wind),
        np.full(n, kind, dtype=np.int8),
        np.repeat([0, 1], [n // 2, n - n // 2]),
    )


def test_share_mean_and_spread():
    error = np.tile([0.0, 1.0, 3.0, -4.0], 100)
    found = heel_discipline(rows(error))
    assert found is not None and found.whole is not None
    assert found.whole.in_band_share == 0.5
    assert found.whole.error_mean_deg == pytest.approx(0.0)
    assert found.whole.error_sd_deg == pytest.approx(error.std())
    assert found.run is None


def test_an_injected_error_is_recovered():
    rng = np.random.default_rng(1)
    found = heel_discipline(rows(3.5 + 3.0 * rng.standard_normal(1200)))
    assert found is not None and found.upwind is not None
    assert found.upwind.error_mean_deg == pytest.approx(3.5, abs=0.3)


def test_by_wind_and_by_leg():
    one = rows(np.zeros(400))
    wind = np.repeat([5.0, 12.0], 200)
    found = heel_discipline(HeelRows(one.heel_deg, one.target_deg, wind, one.kind, one.leg))
    assert found is not None
    assert list(found.by_wind) == ["0-6", "10-14"]
    assert [number for number, _ in found.by_leg] == [0, 1]


def test_outside_the_legs_nothing_counts():
    one = rows(np.zeros(400))
    off = np.full(400, -1)
    assert heel_discipline(HeelRows(one.heel_deg, one.target_deg, one.wind_kn, one.kind, off)) is None


def test_without_target_or_heel_there_is_nothing_to_say():
    one = rows(np.full(400, np.nan))
    assert heel_discipline(one) is None


@pytest.mark.parametrize(("heel", "share"), [(5.0, 0.0), (-5.0, 1.0), (-1.0, 0.0)])
def test_heel_to_windward_on_the_run_is_wrong_where_leeward_is_meant(heel, share):
    found = heel_discipline(rows(np.full(200, heel - 5.0), target=5.0, kind=RUN))
    assert found is not None
    assert found.wrong_side_share == share


def test_where_windward_is_meant_leeward_is_wrong():
    found = heel_discipline(rows(np.full(200, 12.0), target=-4.0, kind=RUN))
    assert found is not None
    assert found.wrong_side_share == 1.0


def test_upright_has_no_wrong_side():
    found = heel_discipline(rows(np.full(200, 3.0), target=0.0, kind=RUN))
    assert found is not None
    assert found.wrong_side_share is None
