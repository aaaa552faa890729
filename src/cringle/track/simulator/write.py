"""A simulated boat's fixes as a log: NMEA 0183, GPX 1.1 or CSV."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from functools import reduce
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cringle.errors import InputError
from cringle.track.simulator.fixes import MICROSECONDS, Fixes
from cringle.track.simulator.options import SimSensors
from cringle.units import knots_to_metres_per_second

Array = NDArray[np.float64]

CSV_COLUMNS: Final = {
    "lat": ("lat_deg", "{:.8f}"),
    "lon": ("lon_deg", "{:.8f}"),
    "sog": ("sog_kn", "{:.3f}"),
    "cog": ("cog_deg_true", "{:.2f}"),
    "stw": ("stw_kn", "{:.3f}"),
    "hdg": ("hdg_deg_true", "{:.2f}"),
    "awa": ("awa_deg", "{:.2f}"),
    "aws": ("aws_kn", "{:.2f}"),
    "roll": ("roll_deg", "{:.2f}"),
}
"""Track column to header and format."""


def write_nmea(fixes: Fixes, name: str) -> bytes:
    """Return the fixes as NMEA 0183 sentences: RMC, and XDR, HDT, VHW, MWV where there is a sensor."""
    del name
    lines: list[str] = []
    columns = {key: values.tolist() for key, values in fixes.columns.items()}
    makers = [make for channel, make in SENTENCES.items() if channel in columns]
    for row, at in enumerate(_times(fixes)):
        lines.extend(sentence(make(columns, row, at)) for make in makers)
    return ("\r\n".join(lines) + "\r\n").encode("ascii")


def sentence(body: str) -> str:
    """Return a whole sentence: its checksum is the exclusive or of all characters of the body."""
    return f"${body}*{reduce(lambda total, one: total ^ one, body.encode('ascii'), 0):02X}"


_Columns = dict[str, list[float]]


def _rmc(columns: _Columns, row: int, at: datetime) -> str:
    lat, lon = _angle(columns["lat"][row], "NS", 2), _angle(columns["lon"][row], "EW", 3)
    speed, course = columns["sog"][row], columns["cog"][row]
    return (
        f"GPRMC,{at:%H%M%S}.{at.microsecond // 1000:03d},A,{lat},{lon},{speed:.2f},{course:.1f},"
        f"{at:%d%m%y},,,A"
    )


def _xdr(columns: _Columns, row: int, at: datetime) -> str:
    del at
    return f"IIXDR,A,{columns['roll'][row]:.1f},D,ROLL"


def _hdt(columns: _Columns, row: int, at: datetime) -> str:
    del at
    return f"HCHDT,{columns['hdg'][row]:.1f},T"


def _vhw(columns: _Columns, row: int, at: datetime) -> str:
    del at
    return f"IIVHW,,,,,{columns['stw'][row]:.2f},N,,"


def _mwv(columns: _Columns, row: int, at: datetime) -> str:
    del at
    return f"WIMWV,{columns['awa'][row] % 360.0:.1f},R,{columns['aws'][row]:.1f},N,A"


SENTENCES: Final[dict[str, Callable[[_Columns, int, datetime], str]]] = {
    "lat": _rmc,
    "hdg": _hdt,
    "stw": _vhw,
    "awa": _mwv,
    "roll": _xdr,
}
"""Track column to the sentence that carries it."""


def _angle(value: float, hemispheres: str, digits: int) -> str:
    """Return an angle as degrees and minutes with its hemisphere."""
    degrees, minutes = divmod(round(abs(value) * 60.0, 6), 60.0)
    return f"{int(degrees):0{digits}d}{minutes:09.6f},{hemispheres[0] if value >= 0 else hemispheres[1]}"


GPX_ELEMENTS: Final = {
    "sog": ("speed", "{:.3f}"),
    "cog": ("course", "{:.2f}"),
    "roll": ("heel", "{:.2f}"),
    "hdg": ("heading", "{:.2f}"),
    "stw": ("water_speed", "{:.3f}"),
    "awa": ("apparent_wind_angle", "{:.2f}"),
    "aws": ("apparent_wind_speed", "{:.3f}"),
}
"""Track column to the element of `GPX_SPACE` inside ``extensions``, and its format; speeds in m/s."""

GPX_SPEEDS: Final = ("sog", "stw", "aws")
GPX_SPACE: Final = "urn:cringle:track:1"


def write_gpx(fixes: Fixes, name: str) -> bytes:
    """Return the fixes as a GPX 1.1 track: positions and times, all else in the points' ``extensions``.

    Notes
    -----
    The standard has no place of its own for speed, heel or wind; ``extensions`` takes elements of any other
    namespace (GPX 1.1 schema, ``extensionsType``).
    """
    kept = [key for key in GPX_ELEMENTS if key in fixes.columns]
    more = "".join(f"<c:{tag}>{form}</c:{tag}>" for tag, form in (GPX_ELEMENTS[key] for key in kept))
    point = (
        '<trkpt lat="{:.8f}" lon="{:.8f}"><time>{:%Y-%m-%dT%H:%M:%S}.{:03d}Z</time>'
        f"<extensions>{more}</extensions></trkpt>"
    )
    columns = [fixes.columns[key].tolist() for key in ("lat", "lon")]
    extra = [
        (knots_to_metres_per_second(fixes.columns[key]) if key in GPX_SPEEDS else fixes.columns[key]).tolist()
        for key in kept
    ]
    points = [
        point.format(lat, lon, at, at.microsecond // 1000, *values)
        for lat, lon, at, *values in zip(*columns, _times(fixes), *extra, strict=True)
    ]
    head = (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        '<gpx version="1.1" creator="cringle" xmlns="http://www.topografix.com/GPX/1/1"'
        f' xmlns:c="{GPX_SPACE}">\n'
        f"<trk><name>{name}</name><trkseg>\n"
    )
    return (head + "\n".join(points) + "\n</trkseg></trk></gpx>\n").encode()


def write_csv(fixes: Fixes, name: str) -> bytes:
    """Return the fixes as CSV with a unit in every header."""
    del name
    kept = [(key, *CSV_COLUMNS[key]) for key in CSV_COLUMNS if key in fixes.columns]
    shape = ",".join(text for _, _, text in kept)
    columns = [fixes.columns[key].tolist() for key, _, _ in kept]
    rows = [
        f"{at.isoformat(timespec='milliseconds')},{shape.format(*values)}"
        for at, *values in zip(_times(fixes), *columns, strict=True)
    ]
    return ("\n".join([",".join(["time", *(header for _, header, _ in kept)]), *rows]) + "\n").encode()


def _times(fixes: Fixes) -> list[datetime]:
    return [datetime.fromtimestamp(stamp / MICROSECONDS, tz=UTC) for stamp in fixes.stamps_us.tolist()]


def write_wind(start: datetime, tws_kn: Array, sensors: SimSensors, *, seed: int) -> bytes:
    """Return a chase boat's record of the wind beside the boat: CSV with ``time`` and ``tws_kn`` at 10 m.

    Parameters
    ----------
    start : datetime
        UTC of the first second.
    tws_kn : array, shape (n,)
        True wind at the boat, one row a second.
    sensors : SimSensors
        How often it is read, and how well.
    seed : int
        Of the errors.
    """
    rows = np.arange(0, tws_kn.size, max(round(sensors.wind_record_s), 1))
    error = sensors.wind_record_kn * np.random.default_rng(seed).standard_normal(rows.size)
    read = np.maximum(tws_kn[rows] + error, 0.0)
    lines = [
        f"{(start + timedelta(seconds=int(row))).isoformat()},{speed:.2f}"
        for row, speed in zip(rows, read, strict=True)
    ]
    return ("\n".join(["time,tws_kn", *lines]) + "\n").encode()


FORMATS: Final[dict[str, Callable[[Fixes, str], bytes]]] = {
    "nmea": write_nmea,
    "gpx": write_gpx,
    "csv": write_csv,
}
"""Name of a format to its writer; it is the file's ending too."""


def writer_of(name: str) -> Callable[[Fixes, str], bytes]:
    """Return the writer of a format.

    Raises
    ------
    InputError
        There is no such format; the message lists those there are.
    """
    if name not in FORMATS:
        raise InputError(f"format: found {name!r}", next_step=f"use one of: {', '.join(FORMATS)}")
    return FORMATS[name]
