"""NMEA 0183: from typed columns of one block after another to pieces of the track."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

import numpy as np

from cringle.track.reading.assemble import Assembler, Fixes, Piece
from cringle.track.reading.join import LineClock, usual_time_per_line
from cringle.track.reading.nmea import Parsed
from cringle.track.reading.nmea_fixes import FixQueue
from cringle.track.reading.nmea_readings import ReadingQueue


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
    _per_line: float = 0.0

    def pieces(self, blocks: Iterable[Parsed]) -> Iterator[Piece]:
        """Yield a piece for every block in which fixes can be settled, and one for the end."""
        for block in blocks:
            self.readings.take(block)
            self.fixes.take(block)
            yield from self._settle(final=False)
        yield from self._settle(final=True)

    def _settle(self, *, final: bool) -> Iterator[Piece]:
        """Yield the piece of the fixes settled now, with every reading up to the first one held back."""
        settled, held = self.fixes.settle(final=final)
        if len(settled.line):
            clock = self._clock(settled, held)
            yield self.assembler.piece(
                settled, self.readings.release(clock, _first_waiting(settled, held, final=final))
            )

    def _clock(self, settled: Fixes, held: Fixes) -> LineClock:
        """Return the clock of the lines up to the first fix held back."""
        line = np.concatenate((settled.line, held.line[:1]))
        time = np.concatenate((settled.time, held.time[:1]))
        self._per_line = usual_time_per_line(line, time) or self._per_line
        return LineClock(line, time, self._per_line)


def _first_waiting(settled: Fixes, held: Fixes, *, final: bool) -> int | None:
    """Return the line from which on readings wait; None when none does."""
    if final:
        return None
    return int(held.line[0]) if len(held.line) else int(settled.line[-1]) + 1
