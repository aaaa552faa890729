from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from cringle.errors import InputError
from cringle.track.series import Series
from cringle.trials.together import together

Maker = Callable[..., Series]


def test_both_boats_on_one_map(boat: Maker) -> None:
    found = together(boat(600), boat(600, north=30.0, east=40.0))
    assert found.rows == 600
    assert found.separation == pytest.approx(np.full(600, 50.0), rel=5e-3)


def test_north_of_us_is_north(boat: Maker) -> None:
    found = together(boat(600), boat(600, north=30.0, east=40.0))
    assert found.north[1] - found.north[0] == pytest.approx(np.full(600, 30.0), rel=1e-2)
    assert found.east[1] - found.east[0] == pytest.approx(np.full(600, 40.0), rel=1e-2)


def test_only_the_shared_time_counts(boat: Maker) -> None:
    found = together(boat(600), boat(600, late_s=200.0, east=50.0))
    assert found.rows == 400
    assert found.at(0).isoformat() == "2026-05-01T17:03:20+00:00"


def test_a_shift_moves_the_other_clock(boat: Maker) -> None:
    late = boat(600, late_s=100.0, east=50.0)
    assert together(boat(600), late, shift_s=-100.0).separation[0] == pytest.approx(50.0, rel=1e-2)


def test_no_overlap_names_both_spans_and_a_shift(boat: Maker) -> None:
    with pytest.raises(InputError, match="share less than 120 s") as caught:
        together(boat(600), boat(600, late_s=3600.0))
    assert "--shift -3600" in str(caught.value)


def test_clocks_an_hour_apart_in_long_logs(boat: Maker) -> None:
    ours = boat(5400, tack_every_s=10_000)
    other = replace(boat(5400, tack_every_s=10_000, east=50.0), start=boat(1, late_s=3600.0).start)
    with pytest.raises(InputError, match="a clock is most likely off") as caught:
        together(ours, other)
    assert "--shift -3600" in str(caught.value)


def test_the_same_log_twice_is_refused(boat: Maker) -> None:
    with pytest.raises(InputError, match="the same track"):
        together(boat(600), boat(600))


def test_a_log_without_positions_is_refused(boat: Maker) -> None:
    blind = replace(boat(600), lat=np.full(600, np.nan))
    with pytest.raises(InputError, match="no position"):
        together(boat(600), blind)


def test_wind_comes_from_whichever_log_has_it(boat: Maker) -> None:
    without = replace(boat(600), twd=np.full(600, np.nan))
    found = together(without, boat(600, east=50.0, wind_deg=0.0))
    assert np.isfinite(found.wind_from).all()


def test_heel_is_a_size(boat: Maker) -> None:
    found = together(boat(600, heel_deg=-15.0), boat(600, east=50.0))
    assert found.heel[0] == pytest.approx(np.full(600, 15.0))
    assert np.isnan(found.heel[1]).all()
