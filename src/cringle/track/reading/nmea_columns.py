"""Read checked values out of sentences of one type: numbers in range, letters, clock times, positions."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from cringle.constants import INCH_M, NAUTICAL_MILE_M
from cringle.track.reading.nmea_fields import Floats, Sentences, decimals
from cringle.track.reading.nmea_frame import Bytes, Mask
from cringle.units import (
    kilometres_per_hour_to_knots,
    metres_per_second_to_knots,
    wrap_degrees,
    wrap_signed_degrees,
)

STATUTE_MILE_M = 63360.0 * INCH_M
"""Statute mile [m]: 63360 inches."""


@dataclass
class Columns:
    """Reads fields of `sentences` and remembers which sentences turned out bad or void.

    Parameters
    ----------
    sentences : Sentences
        Sentences of one type.
    """

    sentences: Sentences
    bad: Mask = field(init=False)
    void: Mask = field(init=False)

    def __post_init__(self) -> None:
        self.bad = np.zeros(len(self.sentences.rows), dtype=np.bool_)
        self.void = np.zeros(len(self.sentences.rows), dtype=np.bool_)

    def number(self, place: int, low: float, high: float) -> Floats:
        """Return field `place` as numbers; malformed or outside [low, high] makes the sentence bad."""
        value, bad = decimals(self.sentences.field(place))
        self.bad |= bad | (value < low) | (value > high)
        return value

    def letter(self, place: int, allowed: bytes) -> Bytes:
        """Return the letter in field `place`, 0 when empty; a letter not in `allowed` makes it bad."""
        found = self.sentences.field(place).letter()
        self.bad |= ~np.isin(found, np.frombuffer(b"\0" + allowed, dtype=np.uint8))
        return found

    def direction(self, place: int) -> Floats:
        """Return field `place` as a direction in [0, 360) degrees."""
        return wrap_degrees(self.number(place, 0.0, 360.0))

    def signed(self, place: int, high: float, negative: bytes, positive: bytes) -> Floats:
        """Return field `place` with the sign given by the letter after it."""
        value = self.number(place, -high, high)
        letter = self.letter(place + 1, negative + positive)
        self.bad |= ~np.isnan(value) & (value != 0.0) & (letter == 0)
        return np.where(letter == ord(negative), -value, value)

    def speed(self, place: int, *, km_per_h: int = 0, m_per_s: int = 0) -> Floats:
        """Return field `place` as a speed in knots, or where it is empty the same speed in another field."""
        value = self.number(place, -MOST_SPEED_KN, MOST_SPEED_KN)
        if km_per_h and np.isnan(value).any():
            hourly = self.number(km_per_h, -2.0 * MOST_SPEED_KN, 2.0 * MOST_SPEED_KN)
            value = np.where(np.isnan(value), kilometres_per_hour_to_knots(hourly), value)
        if m_per_s and np.isnan(value).any():
            metric = self.number(m_per_s, -MOST_SPEED_KN, MOST_SPEED_KN)
            value = np.where(np.isnan(value), metres_per_second_to_knots(metric), value)
        return value

    def speed_in_unit(self, place: int) -> Floats:
        """Return field `place` in knots, from the unit named by the letter after it (K, M, N or S)."""
        value = self.number(place, 0.0, MOST_SPEED_KN * 2.0)
        unit = self.letter(place + 1, b"KMNS")
        self.bad |= ~np.isnan(value) & (unit == 0)
        metric = np.where(unit == ord("M"), metres_per_second_to_knots(value), value)
        metric = np.where(unit == ord("K"), kilometres_per_hour_to_knots(value), metric)
        return np.where(unit == ord("S"), value * (STATUTE_MILE_M / NAUTICAL_MILE_M), metric)

    def side_angle(self, place: int) -> Floats:
        """Return a wind angle of 0 to 180 degrees with the side L or R after it, starboard positive."""
        return wrap_signed_degrees(self.signed(place, 180.0, b"L", b"R"))

    def clock(self, place: int) -> Floats:
        """Return ``hhmmss.sss`` in seconds of the day; NaN when empty."""
        value = self.number(place, 0.0, 240000.0)
        hours = np.floor(value / 10000.0)
        minutes = np.floor((value - hours * 10000.0) / 100.0)
        seconds = value - hours * 10000.0 - minutes * 100.0
        self.bad |= (hours > 23.0) | (minutes > 59.0) | (seconds >= 61.0)
        return hours * 3600.0 + minutes * 60.0 + np.round(seconds, 6)

    def latitude_longitude(self, place: int) -> tuple[Floats, Floats]:
        """Return the position in four fields from `place`: ``ddmm.mm,N,dddmm.mm,E``.

        Empty makes it void, and so does exactly 0 N 0 E, which receivers send before they have a fix.
        """
        latitude = self._degrees(place, 90.0) * np.where(self.letter(place + 1, b"NS") == ord("S"), -1.0, 1.0)
        longitude = self._degrees(place + 2, 180.0) * np.where(
            self.letter(place + 3, b"EW") == ord("W"), -1.0, 1.0
        )
        for hemisphere in (place + 1, place + 3):
            self.void |= self.sentences.field(hemisphere).empty
        self.void |= np.isnan(latitude) | np.isnan(longitude) | ((latitude == 0.0) & (longitude == 0.0))
        return latitude, longitude

    def _degrees(self, place: int, highest: float) -> Floats:
        value = self.number(place, 0.0, (highest + 1.0) * 100.0)
        degrees = np.floor(value / 100.0)
        minutes = value - degrees * 100.0
        angle = degrees + minutes / 60.0
        self.bad |= (minutes >= 60.0) | (angle > highest)
        return angle


MOST_SPEED_KN = 200.0
"""A speed beyond this is taken for a fault, not for a boat or a wind [kn]."""


def days_since_epoch(year: Floats, month: Floats, day: Floats) -> tuple[NDArray[np.float64], Mask]:
    """Return days since 1970-01-01 and which dates do not exist.

    Parameters
    ----------
    year, month, day : arrays of float64
        A date of the Gregorian calendar; NaN where unknown. Few different dates are expected.

    Returns
    -------
    days, bad : arrays
        Days (NaN where unknown or impossible), and where a date is given that does not exist.
    """
    known = ~(np.isnan(year) | np.isnan(month) | np.isnan(day))
    days, bad = np.full(len(year), np.nan), np.zeros(len(year), dtype=np.bool_)
    packed = np.where(known, (year * 100.0 + month) * 100.0 + day, -1.0)
    for value in np.unique(packed[known]):
        text = f"{int(value) // 10000:04d}-{int(value) // 100 % 100:02d}-{int(value) % 100:02d}"
        try:
            number = float(np.datetime64(text, "D").astype(np.int64))
        except ValueError:
            bad |= packed == value
            continue
        days[packed == value] = number
    return days, bad


def full_year(year: Floats) -> Floats:
    """Return four-digit years from two digits: 80 to 99 are 1980 to 1999, 00 to 79 are 2000 to 2079."""
    return np.where(year < 80.0, year + 2000.0, np.where(year < 100.0, year + 1900.0, year))
