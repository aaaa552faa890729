"""One pass over an NMEA 0183 log."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Final

import numpy as np

from cringle.track.reading.assemble import Account, Assembler, Piece
from cringle.track.reading.chunks import Source, iter_blocks
from cringle.track.reading.nmea import Parsed, parse_block
from cringle.track.reading.nmea_fixes import FixQueue
from cringle.track.reading.nmea_readings import PREFERENCE
from cringle.track.reading.nmea_stream import NmeaStream
from cringle.track.reading.options import ReadOptions
from cringle.track.reading.report import ReadReport, Tally

DAYS_PER_WEEK: Final = 7


@dataclass
class NmeaPass:
    """Reads one NMEA log from start to end.

    Parameters
    ----------
    source : Source
        The file.
    options : ReadOptions
        What the log does not say itself.
    """

    source: Source
    options: ReadOptions
    tally: Tally = field(default_factory=Tally)
    stream: NmeaStream = field(init=False)

    def __post_init__(self) -> None:
        fixes = FixQueue(self.options.date, self.options.shift_weeks * DAYS_PER_WEEK)
        self.stream = NmeaStream(Assembler(PREFERENCE, self.options.wind_height_m), fixes)

    @property
    def account(self) -> Account:
        """What the assembler counted."""
        return self.stream.assembler.account

    def pieces(self) -> Iterator[Piece]:
        """Yield the pieces of the track."""
        return self.stream.pieces(self._blocks())

    def _blocks(self) -> Iterator[Parsed]:
        for block in iter_blocks(self.source, self.options.block_bytes):
            yield parse_block(block, self.tally, accept_no_checksum=self.options.accept_no_checksum)

    def report(self) -> ReadReport:
        """Return the account of the lines; what concerns rows is added by the caller."""
        medians, untimed = self.stream.readings.medians, self.stream.readings.untimed
        return ReadReport(
            format="nmea",
            sha256=self.source.sha256,
            bytes_read=self.source.bytes_read,
            lines_read=self.tally.lines_read,
            lines_good=self.tally.lines_good,
            lines_skipped=self.tally.ordered_skips(),
            first_bad=self.tally.first_bad(),
            sentences=self.tally.sentences,
            clock_repairs=self.stream.fixes.repairs,
            date_source=self.stream.fixes.date_source,
            fix_source=self.stream.fixes.fix_source,
            magnetic_variation_deg=float(np.median(medians)) if medians else None,
            notes=(f"{untimed} readings without a fix within 10 s were left out",) if untimed else (),
        )
