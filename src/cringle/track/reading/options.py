"""What a person may say about a log that the log does not say itself."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime

from cringle.track.reading.chunks import BLOCK_BYTES


@dataclass(frozen=True)
class ReadOptions:
    """How to read a log.

    Parameters
    ----------
    date : date or None
        Day (UTC) of the first line, for a log without a date.
    start : datetime or None
        Time of the first row, for a CSV that counts seconds from its start.
    time_zone : str or None
        IANA name of the zone of a CSV's ``time_local`` column.
    columns : dict
        CSV header as it stands in the file to the plain name meant: ``{"heel_deg": "roll_deg"}``.
    shift_weeks : int
        Weeks added to every date, for a receiver whose week number has run over (1024 or 2048).
    accept_no_checksum : bool
        Read whole NMEA sentences that carry no checksum.
    wind_height_m : float or None
        Height of the wind sensor above the water; true wind speed is then converted to 10 m. [m]
    now : datetime or None
        The present, for judging dates; the clock of this machine when None.
    block_bytes : int
        Size of one read.
    """

    date: date | None = None
    start: datetime | None = None
    time_zone: str | None = None
    columns: dict[str, str] = field(default_factory=dict)
    shift_weeks: int = 0
    accept_no_checksum: bool = False
    wind_height_m: float | None = None
    now: datetime | None = None
    block_bytes: int = BLOCK_BYTES
