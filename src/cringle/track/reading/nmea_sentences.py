"""The sentence types that are read, each one a function from sentences to columns.

Field layouts as in IEC 61162-1 (NMEA 0183): the number after a field name in the comments is its place after
the address. Names of transducers in XDR are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

import numpy as np

from cringle.track.reading.nmea_columns import Columns, days_since_epoch, full_year
from cringle.track.reading.nmea_fields import Field, Floats, Sentences, decimals
from cringle.track.reading.nmea_frame import Mask
from cringle.units import wrap_degrees, wrap_signed_degrees

Values = dict[str, Floats]


@dataclass(frozen=True)
class SentenceType:
    """How one sentence type is read.

    Parameters
    ----------
    least_fields : int
        Fewer fields than this make the sentence bad.
    all_fields : int
        A line without checksum but with this many fields is whole, not cut off.
    read : callable
        From `Columns` to named columns.
    """

    least_fields: int
    all_fields: int
    read: Callable[[Columns], Values]


def _rmc(columns: Columns) -> Values:
    """Time 1, status 2, position 3 to 6, speed 7 kn, course 8, date 9 ddmmyy, variation 10 and 11."""
    columns.void |= columns.letter(2, b"ADV") == ord("V")
    latitude, longitude = columns.latitude_longitude(3)
    date = columns.number(9, 0.0, 319999.0)
    month = np.floor(date / 100.0) % 100.0
    days, bad = days_since_epoch(full_year(date % 100.0), month, np.floor(date / 10000.0))
    columns.bad |= bad
    return {
        "clock": columns.clock(1),
        "day": days,
        "lat": latitude,
        "lon": longitude,
        "sog": columns.number(7, 0.0, 200.0),
        "cog": columns.direction(8),
        "variation": columns.signed(10, 180.0, b"W", b"E"),
    }


def _gga(columns: Columns) -> Values:
    """Time 1, position 2 to 5, quality 6 (0: no fix)."""
    columns.void |= columns.number(6, 0.0, 9.0) == 0.0
    latitude, longitude = columns.latitude_longitude(2)
    return {"clock": columns.clock(1), "lat": latitude, "lon": longitude}


def _gll(columns: Columns) -> Values:
    """Position 1 to 4, time 5, status 6."""
    columns.void |= columns.letter(6, b"ADV") == ord("V")
    latitude, longitude = columns.latitude_longitude(1)
    return {"clock": columns.clock(5), "lat": latitude, "lon": longitude}


def _zda(columns: Columns) -> Values:
    """Time 1, day 2, month 3, year 4 (two digits occur)."""
    days, bad = days_since_epoch(
        full_year(columns.number(4, 0.0, 9999.0)), columns.number(3, 0.0, 12.0), columns.number(2, 0.0, 31.0)
    )
    columns.bad |= bad
    return {"clock": columns.clock(1), "day": days}


def _vtg(columns: Columns) -> Values:
    """Course true 1, course magnetic 3, speed 5 kn, speed 7 km/h."""
    columns.letter(2, b"T")
    return {"cog": columns.direction(1), "sog": columns.speed(5, km_per_h=7)}


def _hdg(columns: Columns) -> Values:
    """Compass reading 1, deviation 2 and 3, variation 4 and 5."""
    reading = columns.number(1, 0.0, 360.0)
    deviation = columns.signed(2, 180.0, b"W", b"E")
    magnetic = wrap_degrees(reading + np.nan_to_num(deviation))
    return {"hdg_mag": magnetic, "variation": columns.signed(4, 180.0, b"W", b"E")}


def _hdm(columns: Columns) -> Values:
    """Heading magnetic 1."""
    return {"hdg_mag": columns.direction(1)}


def _hdt(columns: Columns) -> Values:
    """Heading true 1."""
    return {"hdg": columns.direction(1)}


def _vhw(columns: Columns) -> Values:
    """Heading true 1, heading magnetic 3, speed 5 kn, speed 7 km/h."""
    speed = columns.speed(5, km_per_h=7)
    return {"hdg": columns.direction(1), "hdg_mag": columns.direction(3), "stw": speed}


def _mwv(columns: Columns) -> Values:
    """Angle 1 from the bow, reference 2 (R relative, T true), speed 3, unit 4, status 5 (may be missing)."""
    angle = wrap_signed_degrees(columns.number(1, 0.0, 360.0))
    reference = columns.letter(2, b"RT")
    columns.bad |= (reference == 0) & ~np.isnan(angle)
    columns.void |= columns.letter(5, b"AV") == ord("V")
    speed = columns.speed_in_unit(3)
    apparent, true = reference == ord("R"), reference == ord("T")
    return {
        "awa": np.where(apparent, angle, np.nan),
        "aws": np.where(apparent, speed, np.nan),
        "twa": np.where(true, angle, np.nan),
        "tws": np.where(true, speed, np.nan),
    }


def _mwd(columns: Columns) -> Values:
    """Direction true 1, direction magnetic 3, speed 5 kn, speed 7 m/s."""
    speed = columns.speed(5, m_per_s=7)
    return {"twd": columns.direction(1), "twd_mag": columns.direction(3), "tws": speed}


def _vwr(columns: Columns) -> Values:
    """Apparent angle 1 with side 2 (L, R), speed 3 kn, 5 m/s, 7 km/h."""
    return {"awa": columns.side_angle(1), "aws": columns.speed(3, m_per_s=5, km_per_h=7)}


def _vwt(columns: Columns) -> Values:
    """Angle of the true wind 1 with side 2 (L, R), speed 3 kn, 5 m/s, 7 km/h."""
    return {"twa": columns.side_angle(1), "tws": columns.speed(3, m_per_s=5, km_per_h=7)}


def _rot(columns: Columns) -> Values:
    """Rate 1 in degrees a minute, negative to port; status 2."""
    columns.void |= columns.letter(2, b"AV") == ord("V")
    return {"rot": columns.number(1, -10000.0, 10000.0)}


def _rsa(columns: Columns) -> Values:
    """Starboard (or single) rudder 1 with status 2, port rudder 3 with status 4."""
    columns.void |= columns.letter(2, b"AV") == ord("V")
    return {"rudder": columns.number(1, -90.0, 90.0)}


TRANSDUCERS: Final[dict[bytes, tuple[str, float]]] = {
    b"HEEL": ("roll", 180.0),
    b"ROLL": ("roll", 180.0),
    b"TRIM": ("pitch", 90.0),
    b"PITCH": ("pitch", 90.0),
    b"PTCH": ("pitch", 90.0),
    b"RUDDER": ("rudder", 90.0),
}
"""Name of an angle in XDR to track column and largest value [deg]; common practice, no source."""


def _xdr(columns: Columns) -> Values:
    """Fields in fours: type, value, unit, name. Only angles (A, in D) named in `TRANSDUCERS` are kept.

    A sentence whose fields do not come in fours, or with a value that is no number, is bad as a whole: its
    groups may be shifted, and then a value belongs to another name.
    """
    sentences, count = columns.sentences, columns.sentences.field_count
    values: Values = {column: np.full(len(count), np.nan) for column, _ in TRANSDUCERS.values()}
    columns.bad |= (count % 4 != 0) | (count == 0)
    for group in range(int(count.max(initial=0)) // 4):
        number, bad = decimals(sentences.field(4 * group + 2))
        columns.bad |= bad
        angle = (sentences.field(4 * group + 1).letter() == ord("A")) & (
            sentences.field(4 * group + 3).letter() == ord("D")
        )
        name = sentences.field(4 * group + 4)
        for text, (column, most) in TRANSDUCERS.items():
            here = angle & _equals(name, text) & ~np.isnan(number)
            columns.bad |= here & (np.abs(number) > most)
            values[column] = np.where(here, number, values[column])
    return values


def _equals(field: Field, text: bytes) -> Mask:
    """Return which fields hold `text`, capitals or not."""
    same: Mask = field.width == len(text)
    for place, letter in enumerate(text):
        byte = field.data[np.minimum(field.start + place, len(field.data) - 1)]
        same = same & ((byte & np.uint8(0xDF)) == letter)
    return same


SENTENCES: Final[dict[str, SentenceType]] = {
    "RMC": SentenceType(9, 11, _rmc),
    "GGA": SentenceType(6, 14, _gga),
    "GLL": SentenceType(5, 6, _gll),
    "ZDA": SentenceType(4, 6, _zda),
    "VTG": SentenceType(5, 8, _vtg),
    "HDG": SentenceType(1, 5, _hdg),
    "HDM": SentenceType(1, 2, _hdm),
    "HDT": SentenceType(1, 2, _hdt),
    "VHW": SentenceType(5, 8, _vhw),
    "MWV": SentenceType(4, 5, _mwv),
    "MWD": SentenceType(5, 8, _mwd),
    "VWR": SentenceType(3, 8, _vwr),
    "VWT": SentenceType(3, 8, _vwt),
    "ROT": SentenceType(1, 2, _rot),
    "RSA": SentenceType(1, 4, _rsa),
    "XDR": SentenceType(4, 4, _xdr),
}
"""Every sentence type that is read, by the last three letters of its address; the talker may be any two."""


def read_sentences(kind: str, sentences: Sentences) -> tuple[Values, Mask, Mask]:
    """Return the columns of sentences of one type, and which of them are bad or void.

    Parameters
    ----------
    kind : str
        A key of `SENTENCES`.
    sentences : Sentences
        Good frames of that type.

    Returns
    -------
    values : dict of arrays
        Named columns, NaN where a field is empty.
    bad, void : arrays of bool
        Sentences with a malformed or impossible field, and sentences their sender marked as invalid.
    """
    columns = Columns(sentences)
    columns.bad |= sentences.field_count < SENTENCES[kind].least_fields
    values = SENTENCES[kind].read(columns)
    return values, columns.bad, columns.void & ~columns.bad
