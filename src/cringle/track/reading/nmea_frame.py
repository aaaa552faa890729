"""Find the sentences in a block of an NMEA 0183 log and check them, all lines at once.

A sentence is ``$`` or ``!``, a body without ``*``, then ``*`` and two hexadecimal digits: the exclusive or of
all bytes of the body (IEC 61162-1, 7.3). Nothing here loops over lines; arrays hold one entry per line.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum
from typing import Final

import numpy as np
from numpy.typing import NDArray

Bytes = NDArray[np.uint8]
Index = NDArray[np.int64]
Mask = NDArray[np.bool_]

PADDING: Final = 32
"""Line ends put before and after a block, so that windows never run out of it."""

NEWLINE, RETURN, SPACE, STAR, COMMA = (np.uint8(ord(c)) for c in "\n\r *,")

_HEX: Final = np.full(256, 255, dtype=np.uint8)
for _value, _digits in enumerate(zip("0123456789abcdef", "0123456789ABCDEF", strict=True)):
    for _digit in _digits:
        _HEX[ord(_digit)] = _value


class Verdict(IntEnum):
    """What became of a line."""

    GOOD = 0
    NOT_FRAMED = 1
    BAD_CHECKSUM = 2
    NO_CHECKSUM = 3
    BAD_FIELD = 4
    VOID_FIX = 5
    UNKNOWN = 6
    PROPRIETARY = 7
    AIS = 8
    OTHER_TEXT = 9


@dataclass(frozen=True)
class Frames:
    """The lines of one block.

    Parameters
    ----------
    data : array of uint8
        The block between two runs of `PADDING` line ends.
    start, star : arrays of int64, shape (lines,)
        Where each line begins, and where its body ends (its ``*``, or its end when it has none).
    end : array of int64, shape (lines,)
        Where each line ends, without line end and trailing blanks.
    verdict : array of uint8, shape (lines,)
        `Verdict` of each line so far: good, not framed, bad checksum, no checksum or other text.
    commas : array of int64
        Every comma of the block, and one entry more for its end.
    first_comma, comma_count : arrays of int64, shape (lines,)
        Index into `commas` of the line's first comma, and how many its body has.
    """

    data: Bytes
    start: Index
    star: Index
    end: Index
    verdict: Bytes
    commas: Index
    first_comma: Index
    comma_count: Index


def frame_lines(block: bytes) -> Frames:
    """Return the lines of a block of whole lines, framed and with their checksums verified.

    Parameters
    ----------
    block : bytes
        Whole lines, the last one ended.

    Returns
    -------
    Frames
        One entry per line of the block, blank lines included.
    """
    pad = b"\n" * PADDING
    data = np.frombuffer(pad + block + pad, dtype=np.uint8)
    newlines = np.flatnonzero(data[PADDING : len(data) - PADDING] == NEWLINE) + PADDING
    start = np.concatenate(([PADDING], newlines[:-1] + 1)) if len(newlines) else newlines
    end = _without_trailing_blanks(data, start, newlines)
    stars = np.flatnonzero(data == STAR)
    first_star = np.searchsorted(stars, start)
    star_count = np.searchsorted(stars, newlines) - first_star
    opened = (data[start] == ord("$")) | (data[start] == ord("!"))
    digits = (_HEX[data[end - 2]] < 16) & (_HEX[data[end - 1]] < 16)
    framed = opened & (star_count == 1) & (data[end - 3] == STAR) & (end - start >= 4) & digits
    star = np.where(framed, end - 3, end)
    verdict = np.where(opened, Verdict.NOT_FRAMED, Verdict.OTHER_TEXT).astype(np.uint8)
    given = _HEX[data[end - 2]] * np.uint8(16) + _HEX[data[end - 1]]
    verdict[framed] = np.where(
        _checksums(data, start, star)[framed] == given[framed], Verdict.GOOD, Verdict.BAD_CHECKSUM
    )
    verdict[opened & (star_count == 0)] = Verdict.NO_CHECKSUM
    commas = np.flatnonzero(data == COMMA)
    first_comma = np.searchsorted(commas, start)
    comma_count = np.searchsorted(commas, star) - first_comma
    ending = np.append(commas, len(data) - 1)
    return Frames(data, start, star, end, verdict, ending, first_comma, comma_count)


def _without_trailing_blanks(data: Bytes, start: Index, end: Index) -> Index:
    """Return line ends moved back over carriage returns and blanks."""
    end = end.copy()
    while True:
        last = data[end - 1]
        blank = ((last == RETURN) | (last == SPACE)) & (end > start)
        if not blank.any():
            return end
        end[blank] -= 1


def _checksums(data: Bytes, start: Index, star: Index) -> Bytes:
    """Return the exclusive or of the body of every line; 0 for an empty body."""
    if not len(start):
        return np.empty(0, dtype=np.uint8)
    edges = np.empty(2 * len(start), dtype=np.int64)
    edges[0::2] = np.minimum(start + 1, star)
    edges[1::2] = star
    sums: Bytes = np.bitwise_xor.reduceat(data, edges)[0::2]
    return np.where(edges[0::2] < edges[1::2], sums, np.uint8(0))
