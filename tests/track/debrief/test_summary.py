from datetime import UTC, datetime, timedelta

import numpy as np
import polars as pl
from numpy.testing import assert_allclose

from cringle.track.debrief.summary import speed_summary, typical, wind_summary
from cringle.track.reading.complete import complete
from cringle.track.series import series_of
from cringle.track.turns.tacks import Manoeuvre

START = datetime(2026, 6, 17, 17, 30, tzinfo=UTC)


def log_of(**columns: np.ndarray):
    rows = max(values.size for values in columns.values())
    time = [START + timedelta(seconds=row) for row in range(rows)]
    schema = {"time": pl.Datetime("us", "UTC"), **dict.fromkeys(columns, pl.Float64())}
    return complete(series_of(pl.DataFrame({"time": time, **columns}, schema=schema)))


def manoeuvre(kind: str, *, stw: tuple[float, float] | None, sog: tuple[float, float]) -> Manoeuvre:
    through = stw or (None, None)
    return Manoeuvre(START, kind, 1.0, 2.0, 90.0, 30.0, -30.0, *through, *sog)


def test_mean_is_under_way_and_highest_is_held() -> None:
    sog = np.concatenate([np.zeros(100), np.full(200, 5.0), np.full(12, 9.0), [30.0], np.full(100, 5.0)])
    speed = speed_summary(log_of(sog=sog, cog=np.full(sog.size, 1.0)))
    assert speed.sog is not None
    assert_allclose(speed.sog.mean_kn, sog[sog > 0].mean())
    assert_allclose(speed.sog.highest_10_s_kn, (9 * 9.0 + 30.0) / 10)
    assert speed.sog.time_s == sog.size
    assert speed.stopped_s == 100
    assert speed.stw is None
    assert speed.measured_by == "sog"


def test_speed_by_point_of_sail_is_through_the_water_where_known() -> None:
    half = np.repeat([0.0, 1.0], 100)
    log = log_of(
        sog=np.full(200, 9.0), stw=5.0 + half, twa=np.where(half > 0, 150.0, 40.0), tws=np.full(200, 9.0)
    )
    means = speed_summary(log).mean_by_point_of_sail_kn
    assert_allclose([means["upwind"], means["downwind"]], [5.0, 6.0])
    assert means["reaching"] is None


def test_a_log_without_any_speed() -> None:
    speed = speed_summary(log_of(roll=np.zeros(20)))
    assert (speed.sog, speed.stw, speed.measured_by, speed.stopped_s) == (None, None, None, None)


def test_wind_crosses_north() -> None:
    direction = np.repeat([350.0, 10.0], 100)
    wind = wind_summary(log_of(tws=np.linspace(8.0, 12.0, 200), twd=direction).series)
    assert wind is not None
    assert_allclose(wind.twd_mean_deg, 0.0, atol=1e-9)
    assert_allclose(wind.twd_sd_deg, 10.03, atol=0.03)
    assert_allclose([wind.tws_mean_kn, wind.tws_p10_kn, wind.tws_p90_kn], [10.0, 8.4, 11.6])


def test_no_wind_is_none() -> None:
    assert wind_summary(log_of(sog=np.ones(100)).series) is None


def test_typical_takes_the_middle_one_of_a_kind() -> None:
    several = [
        manoeuvre("tack", stw=(6.0, 3.0), sog=(9.0, 9.0)),
        manoeuvre("tack", stw=(5.0, 2.0), sog=(9.0, 9.0)),
        manoeuvre("tack", stw=None, sog=(7.0, 4.0)),
        manoeuvre("gybe", stw=(8.0, 6.0), sog=(9.0, 9.0)),
    ]
    found = typical(several, "tack")
    assert (found.count, found.before_kn, found.lowest_kn) == (3, 6.0, 3.0)
    assert typical([], "gybe").before_kn is None
