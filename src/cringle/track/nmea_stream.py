"""NMEA 0183: from typed columns of one block after another to pieces of the track."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

import numpy as np

from cringle.track.assemble import Assembler, Fixes, Piece
from cringle.track.join import LineClock, usual_time_per_line
from cringle.track.nmea import Parsed
from cringle.track.nmea_fixes import FixQueue
from cringle.track.nmea_readings import ReadingQueue


@dataclass
class NmeaStream:
    """Turns parsed blocks into pieces of a track.

    Parameters
    ----------
    assembler : Assembler
        Joins readings to fixes.
    fixes : FixQueue
        Dates the fixes and repairs their clock.
    readings : ReadingQueue
        Keeps readings until their times are known.
    """

    assembler: Assembler
    fixes: FixQueue
    readings: ReadingQueue = field(default_factory=ReadingQueue)
    _last: Fixes | None = None
    _per_line: float = 0.0

    def pieces(self, blocks: Iterable[Parsed]) -> Iterator[Piece]:
        """Yield a piece for every block in which fixes can be settled, and one for the end."""
        for block in blocks:
            self.readings.take(block)
            self.fixes.take(block)
            yield from self._settle(final=False)
        yield from self._settle(final=True)

    def _settle(self, *, final: bool) -> Iterator[Piece]:
        settled, held = self.fixes.settle(final=final)
        if not len(settled.line) and not (final and self._last is not None):
            return
        clock = self._clock(settled, held)
        until = int(held.line[0]) if len(held.line) and not final else None
        if until is None and not final:
            until = int(settled.line[-1]) + 1
        yield self.assembler.piece(settled, self.readings.release(clock, until))

    def _clock(self, settled: Fixes, held: Fixes) -> LineClock:
        """Return the clock of the lines from the last fix of the piece before to the first one held back."""
        parts = [(one.line, one.time) for one in (self._last, settled) if one is not None]
        parts.append((held.line[:1], held.time[:1]))
        line = np.concatenate([part[0] for part in parts])
        time = np.concatenate([part[1] for part in parts])
        self._per_line = usual_time_per_line(line, time) or self._per_line
        if len(settled.line):
            self._last = Fixes(settled.line[-1:], settled.time[-1:], {})
        return LineClock(line, time, self._per_line)
