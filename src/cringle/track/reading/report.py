"""What a reader found and did: every line accounted for, every repair counted."""

from __future__ import annotations

from dataclasses import asdict, dataclass, field
from datetime import datetime
from typing import Any, Final

READER_VERSION: Final = "1"
"""Raised whenever the same file would give another track."""

SKIP_REASONS: Final = (
    "not_framed",
    "bad_checksum",
    "no_checksum",
    "bad_field",
    "void_fix",
    "unknown",
    "proprietary",
    "ais",
    "other_text",
)
"""Why a line gave no reading, in the order in which a line is judged."""

EXAMPLES_PER_REASON: Final = 3
GAPS_LISTED: Final = 200


@dataclass(frozen=True)
class BadLine:
    """One skipped line: its number in the file (from 1), why, and how it begins."""

    line: int
    reason: str
    text: str


@dataclass(frozen=True)
class Gap:
    """A stretch without fixes: when it starts, and how long it lasts."""

    start: datetime
    seconds: float


@dataclass(frozen=True)
class WeekShift:
    """Dates that may be whole GPS week cycles too early, and the guess.

    The 10-bit week number of GPS starts again every 1024 weeks; a receiver that does not know shows a date
    1024 or 2048 weeks too early (IS-GPS-200, section 20.3.3.3.1.1).
    """

    found: datetime
    guess: datetime
    weeks: int


@dataclass(frozen=True)
class ReadReport:
    """Account of one read; `lines_read` is `lines_good` plus the sum of `lines_skipped`.

    Parameters
    ----------
    format : str
        ``nmea``, ``gpx`` or ``csv``.
    sha256 : str
        Of the original file, byte for byte.
    bytes_read, lines_read, lines_good : int
        Size, lines (NMEA), points (GPX) or data rows (CSV), and those that were understood.
    lines_skipped : dict
        Reason (see `SKIP_REASONS`) to count; reasons that did not occur are left out.
    first_bad : tuple of BadLine
        The first few skipped lines of each reason.
    sentences : dict
        Sentence type to count of well-formed sentences, read or not (NMEA only).
    rows, duplicates : int
        Rows of the track, and rows dropped because they repeat another's time.
    elsewhere : int
        Of those dropped, the rows that give another place at the same time: another boat's.
    clock_repairs : dict
        Kind of clock fault to the number of fixes whose time was rebuilt.
    gaps : tuple of Gap
        Stretches without fixes, longest listed; `gap_count` counts all.
    shifted_weeks : WeekShift or None
        A suspected GPS week rollover; never applied unless asked for.
    date_source : str
        Where the date came from: a sentence type, ``given``, ``file``.
    start, end : datetime or None
        Time of the first and the last row.
    fix_source : str
        Which sentence or element gave the positions.
    channels : dict
        Side table to readings per second.
    magnetic_variation_deg : float or None
        Median variation in the log, east positive.
    wind_height_m : float or None
        Height of the wind sensor, when given; `tws` is then at 10 m.
    notes : tuple of str
        Other things a person should know.
    reader_version : str
        Version of the reader.
    """

    format: str
    sha256: str
    bytes_read: int
    lines_read: int
    lines_good: int
    lines_skipped: dict[str, int]
    first_bad: tuple[BadLine, ...] = ()
    sentences: dict[str, int] = field(default_factory=dict)
    rows: int = 0
    duplicates: int = 0
    elsewhere: int = 0
    clock_repairs: dict[str, int] = field(default_factory=dict)
    gaps: tuple[Gap, ...] = ()
    gap_count: int = 0
    shifted_weeks: WeekShift | None = None
    date_source: str = ""
    start: datetime | None = None
    end: datetime | None = None
    fix_source: str = ""
    channels: dict[str, float] = field(default_factory=dict)
    magnetic_variation_deg: float | None = None
    wind_height_m: float | None = None
    notes: tuple[str, ...] = ()
    reader_version: str = READER_VERSION


def report_to_dict(report: ReadReport) -> dict[str, Any]:
    """Return the report as plain values for JSON; times in ISO 8601."""
    return {key: _plain(value) for key, value in asdict(report).items()}


def report_from_dict(values: dict[str, Any]) -> ReadReport:
    """Return a report from what `report_to_dict` made."""
    shift = values["shifted_weeks"]
    return ReadReport(
        **{
            **values,
            "first_bad": tuple(BadLine(**one) for one in values["first_bad"]),
            "gaps": tuple(
                Gap(datetime.fromisoformat(one["start"]), one["seconds"]) for one in values["gaps"]
            ),
            "shifted_weeks": None
            if shift is None
            else WeekShift(_time(shift["found"]), _time(shift["guess"]), shift["weeks"]),
            "start": None if values["start"] is None else _time(values["start"]),
            "end": None if values["end"] is None else _time(values["end"]),
            "notes": tuple(values["notes"]),
        }
    )


def _time(text: str) -> datetime:
    return datetime.fromisoformat(text)


def _plain(value: Any) -> Any:
    if isinstance(value, datetime):
        return value.isoformat()
    if isinstance(value, dict):
        return {key: _plain(one) for key, one in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(one) for one in value]
    return value


@dataclass
class Tally:
    """Counts gathered while reading; turned into a `ReadReport` at the end."""

    lines_read: int = 0
    lines_good: int = 0
    skipped: dict[str, int] = field(default_factory=dict)
    sentences: dict[str, int] = field(default_factory=dict)
    examples: dict[str, list[BadLine]] = field(default_factory=dict)

    def skip(self, reason: str, count: int) -> None:
        """Count lines skipped for one reason."""
        if count:
            self.skipped[reason] = self.skipped.get(reason, 0) + count

    def example(self, line: int, reason: str, text: str) -> None:
        """Keep the first few lines of each reason."""
        kept = self.examples.setdefault(reason, [])
        if len(kept) < EXAMPLES_PER_REASON:
            kept.append(BadLine(line, reason, text))

    def wants_example(self, reason: str) -> bool:
        """Return whether fewer than the wanted number of examples are kept."""
        return len(self.examples.get(reason, ())) < EXAMPLES_PER_REASON

    def first_bad(self) -> tuple[BadLine, ...]:
        """Return the kept examples in order of lines."""
        return tuple(
            sorted((one for kept in self.examples.values() for one in kept), key=lambda one: one.line)
        )

    def ordered_skips(self) -> dict[str, int]:
        """Return the counts in the order of `SKIP_REASONS`."""
        return {reason: self.skipped[reason] for reason in SKIP_REASONS if reason in self.skipped}
