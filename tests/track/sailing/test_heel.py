from datetime import UTC, datetime

import numpy as np
import polars as pl
import pytest
from numpy.testing import assert_allclose

from cringle.track.sailing.heel import HeelBand, heel_summary, leeward_heel_deg, point_of_sail
from cringle.track.series import Series, series_of

START = datetime(2026, 6, 17, 17, 30, tzinfo=UTC)


def sailing(twa: np.ndarray, roll: np.ndarray | float | None) -> Series:
    rows = twa.size
    time = pl.datetime_range(
        START, START.replace(day=18), interval="1s", time_unit="us", time_zone="UTC", eager=True
    )[:rows]
    columns = {"awa": twa * 0.7, "twa": twa}
    if roll is not None:
        columns["roll"] = np.full(rows, 1.0) * roll
    return series_of(pl.DataFrame({"time": time, **columns}))


BOTH = np.concatenate([np.full(200, 45.0), np.full(200, -45.0)])
AFTER = np.concatenate([np.full(100, 45.0), np.full(100, 90.0), np.full(100, 150.0)])


def test_heel_is_to_leeward_on_both_sides() -> None:
    heel = leeward_heel_deg(sailing(BOTH, np.where(BOTH > 0, -14.0, 14.0)))
    assert_allclose(heel[np.isfinite(heel)], 14.0)
    assert np.isfinite(heel).mean() > 0.95


def test_windward_heel_downwind_is_negative() -> None:
    summary = heel_summary(sailing(np.full(100, 160.0), 6.0))
    assert summary is not None
    assert_allclose(summary.mean_deg, -6.0)
    assert not summary.sign_turned


def test_points_of_sail() -> None:
    angles = np.array([-59.9, 60.0, 120.0, -121.0, np.nan])
    assert point_of_sail(angles).tolist() == [0, 1, 1, 2, -1]


def test_band_share_by_point_of_sail_and_in_all() -> None:
    roll = np.concatenate([np.full(50, -14.0), np.full(50, -20.0), np.full(100, -5.0), np.full(100, -6.0)])
    bands = {"upwind": HeelBand(12.0, 16.0, "given"), "downwind": HeelBand(4.0, 8.0, "given")}
    summary = heel_summary(sailing(AFTER, roll), bands)
    assert summary is not None
    up, reach, down = (summary.by_point_of_sail[name] for name in ("upwind", "reaching", "downwind"))
    assert up is not None
    assert reach is not None
    assert down is not None
    assert_allclose([up.in_band_share, down.in_band_share, summary.in_band_share], [0.5, 1.0, 0.75])
    assert_allclose([up.mean_deg, up.sd_deg, reach.mean_deg], [17.0, 3.0, 5.0])
    assert_allclose([up.p10_deg, up.p90_deg], [14.0, 20.0])
    assert reach.in_band_share is None


def test_no_band_no_share() -> None:
    summary = heel_summary(sailing(BOTH, np.where(BOTH > 0, -14.0, 14.0)))
    assert summary is not None
    assert summary.in_band_share is None


def test_a_sensor_turned_round_is_noticed() -> None:
    summary = heel_summary(sailing(BOTH, np.where(BOTH > 0, 14.0, -14.0)))
    assert summary is not None
    assert summary.sign_turned
    assert_allclose(summary.mean_deg, 14.0)


def test_heel_to_windward_on_one_side_only_is_believed() -> None:
    summary = heel_summary(sailing(BOTH, -14.0))
    assert summary is not None
    assert not summary.sign_turned


@pytest.mark.parametrize("roll", [None, np.nan])
def test_without_heel_nothing_is_said(roll: float | None) -> None:
    assert heel_summary(sailing(BOTH, roll)) is None


def test_without_wind_nothing_is_said() -> None:
    assert heel_summary(sailing(np.full(300, np.nan), -10.0)) is None
