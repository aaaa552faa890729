from __future__ import annotations

from collections.abc import Callable
from datetime import date

import numpy as np
import pytest
from numpy.testing import assert_allclose

from cringle.track.reading.nmea_columns import Columns, days_since_epoch, full_year
from cringle.track.reading.nmea_fields import Sentences
from cringle.track.reading.nmea_frame import frame_lines


@pytest.fixture
def columns(seal: Callable[[str], str]) -> Callable[..., Columns]:
    def make(*fields: str) -> Columns:
        block = "".join(seal(f"XXXXX,{one}") + "\n" for one in fields).encode()
        return Columns(Sentences(frame_lines(block), np.arange(len(fields))))

    return make


def test_a_number_out_of_range_is_bad(columns: Callable[..., Columns]) -> None:
    read = columns("361.0", "360.0", "-1", "")
    read.number(1, 0.0, 360.0)
    assert read.bad.tolist() == [True, False, True, False]


def test_a_letter_that_is_not_allowed_is_bad(columns: Callable[..., Columns]) -> None:
    read = columns("A", "V", "X", "", "AV")
    read.letter(1, b"AV")
    assert read.bad.tolist() == [False, False, True, False, True]


def test_a_sign_needs_its_letter(columns: Callable[..., Columns]) -> None:
    read = columns("15.0,W", "15.0,E", "15.0,", "0,", ",")
    value = read.signed(1, 180.0, b"W", b"E")
    assert_allclose(value[:2], [-15.0, 15.0])
    assert read.bad.tolist() == [False, False, True, False, False]


@pytest.mark.parametrize(
    ("unit", "knots"),
    [("N", 10.0), ("M", 10.0 * 3600 / 1852), ("K", 10.0 / 1.852), ("S", 10.0 * 1.609344 / 1.852)],
)
def test_speeds_in_every_unit(columns: Callable[..., Columns], unit: str, knots: float) -> None:
    read = columns(f"10.0,{unit}")
    assert_allclose(read.speed_in_unit(1), [knots], rtol=1e-12)
    assert not read.bad.any()


def test_a_speed_without_unit_is_bad(columns: Callable[..., Columns]) -> None:
    read = columns("10.0,", ",", "10.0,Q")
    read.speed_in_unit(1)
    assert read.bad.tolist() == [True, False, True]


def test_side_angles_are_positive_to_starboard(columns: Callable[..., Columns]) -> None:
    read = columns("079,L", "079,R", "180,L", "000,L")
    assert_allclose(read.side_angle(1), [-79.0, 79.0, 180.0, 0.0])
    assert not read.bad.any()


def test_clock_times(columns: Callable[..., Columns]) -> None:
    read = columns("194310", "000000.250", "235960", "240000", "126000", "120061", "")
    value = read.clock(1)
    assert_allclose(value[:3], [70990.0, 0.25, 86400.0])
    assert read.bad.tolist() == [False, False, False, True, True, True, False]


def test_positions(columns: Callable[..., Columns]) -> None:
    read = columns("3748.784,N,12226.831,W", "3351.000,S,15112.600,E")
    latitude, longitude = read.latitude_longitude(1)
    assert_allclose(latitude, [37 + 48.784 / 60, -(33 + 51 / 60)], rtol=1e-14)
    assert_allclose(longitude, [-(122 + 26.831 / 60), 151 + 12.6 / 60], rtol=1e-14)
    assert not (read.bad | read.void).any()


def test_positions_that_cannot_be(columns: Callable[..., Columns]) -> None:
    read = columns("9000.1,N,00000.0,E", "3760.0,N,00000.0,E", "3748.0,X,00000.0,E", "3748.0,N,18000.1,E")
    read.latitude_longitude(1)
    assert read.bad.all()


def test_a_position_left_empty_is_void(columns: Callable[..., Columns]) -> None:
    read = columns(",,,", "3748.0,,00000.0,E", "3748.0,N,,E")
    read.latitude_longitude(1)
    assert read.void.all()
    assert not read.bad.any()


def test_years_pivot_at_80() -> None:
    found = full_year(np.array([80.0, 99.0, 0.0, 26.0, 79.0, 2008.0]))
    assert found.tolist() == [1980.0, 1999.0, 2000.0, 2026.0, 2079.0, 2008.0]


def test_days_of_the_calendar() -> None:
    year, month, day = np.array([[2008, 7, 14], [1970, 1, 1], [2024, 2, 29]], dtype=float).T
    days, bad = days_since_epoch(year, month, day)
    assert days.tolist() == [
        (date(*one) - date(1970, 1, 1)).days for one in ((2008, 7, 14), (1970, 1, 1), (2024, 2, 29))
    ]
    assert not bad.any()


def test_days_that_do_not_exist() -> None:
    year, month, day = np.array([[2023, 2, 29], [2023, 13, 1], [2023, 0, 1], [np.nan, 1, 1]], dtype=float).T
    days, bad = days_since_epoch(year, month, day)
    assert np.isnan(days).all()
    assert bad.tolist() == [True, True, True, False]
