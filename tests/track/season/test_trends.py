from __future__ import annotations

import numpy as np
import pytest

from cringle.track.season.trends import MEASURES, groups, log_means, slope, trends


def row(number: int, *, share: float = 0.5, seconds: float = 600.0, crew: str | None = None, **more: object):
    return {
        "file": f"{number}.nmea",
        "leg": 1,
        "start": f"2026-06-{number + 1:02d}T18:00:00+00:00",
        "duration_s": seconds,
        "tws_kn": 10.0 + number % 3,
        "heel_in_band_share": share,
        "crew": crew,
        "settings": more.pop("settings", None),
        **more,
    }


def test_slope_of_a_line_is_exact():
    found = slope(np.arange(6.0), 2.0 * np.arange(6.0) + 1.0)
    assert found is not None
    assert found[0] == pytest.approx(2.0)
    assert found[2] - found[1] == pytest.approx(0.0, abs=1e-9)


def test_slope_against_statsmodels():
    import statsmodels.api as sm

    rng = np.random.default_rng(7)
    x, y = rng.standard_normal(25), rng.standard_normal(25)
    found = slope(x, y)
    model = sm.OLS(y, sm.add_constant(x)).fit()
    assert found is not None
    np.testing.assert_allclose(found[0], model.params[1], rtol=1e-10)
    np.testing.assert_allclose(found[1:3], model.conf_int(alpha=0.10)[1], rtol=1e-10)


def test_too_few_or_no_spread():
    assert slope(np.arange(3.0), np.arange(3.0)) is None
    assert slope(np.ones(9), np.arange(9.0)) is None
    assert slope(np.full(9, np.nan), np.arange(9.0)) is None


def test_means_of_a_log_weigh_legs_by_their_time():
    rows = [row(1, share=0.2, seconds=100.0), {**row(1, share=0.8, seconds=300.0), "leg": 2}]
    found = log_means(rows)
    assert len(found) == 1
    assert found[0]["heel_in_band_share"] == pytest.approx(0.65)
    assert set(MEASURES) <= set(found[0])


def test_losses_are_a_minute():
    found = log_means([row(1, lost_trim_s=30.0, seconds=600.0)])
    assert found[0]["lost_trim_s_per_min"] == pytest.approx(3.0)


def test_rows_without_a_leg_do_not_count():
    assert log_means([{**row(1), "leg": None}]) == []


def test_getting_better_over_the_days_shows():
    rows = [row(number, share=0.3 + 0.02 * number) for number in range(12)]
    found = {(one.measure, one.against): one for one in trends(log_means(rows))}
    better = found["heel_in_band_share", "days"]
    assert better.per_unit == pytest.approx(0.02)
    assert better.clear
    assert better.count == 12


def test_noise_shows_nothing_clear_most_of_the_time():
    rng = np.random.default_rng(1)
    clear = 0
    for _ in range(200):
        found = slope(np.arange(15.0), rng.standard_normal(15))
        assert found is not None
        clear += found[1] > 0.0 or found[2] < 0.0
    assert clear <= 34


def test_settings_are_axes():
    rows = [row(n, share=0.3 + 0.05 * (n % 4), settings={"backstay": float(n % 4)}) for n in range(12)]
    found = {(one.measure, one.against): one for one in trends(log_means(rows))}
    assert found["heel_in_band_share", "setting backstay"].per_unit == pytest.approx(0.05)


def test_groups_by_the_people_aboard():
    rows = [row(n, share=0.4 + 0.2 * (n % 2), crew="ines, keo" if n % 2 else "ines, marit") for n in range(6)]
    found = {one.name: one for one in groups(log_means(rows)) if one.measure == "heel_in_band_share"}
    assert found["ines, keo"].mean == pytest.approx(0.6)
    assert found["ines, marit"].count == 3


def test_a_crew_seen_once_is_no_group():
    assert groups(log_means([row(1, crew="ines")])) == []
