"""NMEA 0183: from a block of lines to typed columns, every line accounted for."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cringle.track.reading.nmea_fields import Sentences
from cringle.track.reading.nmea_frame import Frames, Index, Mask, Verdict, frame_lines
from cringle.track.reading.nmea_sentences import SENTENCES, Values, read_sentences
from cringle.track.reading.report import EXAMPLES_PER_REASON, Tally

_PACK = 5
_OTHER: Final = 0
_TAG_BLOCK: Final = re.compile(rb"^\\[^\\\r\n]*\\(?=[$!])", re.MULTILINE)
"""What a multiplexer may put before a sentence: source and time of receipt (IEC 61162-450, 7.2.3)."""

NOT_WRONG: Final = (Verdict.GOOD, Verdict.UNKNOWN, Verdict.PROPRIETARY, Verdict.AIS)
"""Lines that are whole; no example of them is kept."""


def _pack(kind: str) -> int:
    a, b, c = (ord(letter) & 31 for letter in kind)
    return (a << 2 * _PACK) | (b << _PACK) | c


@dataclass(frozen=True)
class Table:
    """All good sentences of one type in a block: line number in the file (from 0), talker and columns."""

    line: Index
    talker: NDArray[np.uint16]
    values: Values


@dataclass(frozen=True)
class Parsed:
    """One block as typed columns.

    Parameters
    ----------
    tables : dict of Table
        Sentence type to its table; types that did not occur are left out.
    lines : int
        Lines in the block.
    """

    tables: dict[str, Table] = field(default_factory=dict)
    lines: int = 0


def parse_block(block: bytes, tally: Tally, *, accept_no_checksum: bool = False) -> Parsed:
    """Return the typed columns of a block of whole lines and count every line in `tally`.

    Parameters
    ----------
    block : bytes
        Whole lines, as `cringle.track.reading.chunks.iter_blocks` gives them.
    tally : Tally
        Counts are added to it; its `lines_read` numbers the lines.
    accept_no_checksum : bool
        Read whole sentences that carry no checksum.

    Returns
    -------
    Parsed
        One table per sentence type.
    """
    frames = frame_lines(_TAG_BLOCK.sub(b"", block) if b"\\" in block else block)
    packed = _types(frames)
    _judge_unchecked(frames, packed, accept=accept_no_checksum)
    _judge_addresses(frames, packed)
    _count_sentences(frames, packed, tally)
    tables = {}
    for kind in SENTENCES:
        rows = np.flatnonzero((packed == _pack(kind)) & (frames.verdict == Verdict.GOOD))
        if len(rows):
            tables[kind] = _read_table(kind, Sentences(frames, rows), tally.lines_read)
    _count_lines(frames, tally)
    return Parsed(tables, len(frames.start))


def _types(frames: Frames) -> NDArray[np.uint16]:
    """Return the type of every ``$`` line whose address is five bytes, the last three capitals; else 0."""
    data, start = frames.data, frames.start
    letters = [data[start + place] for place in (3, 4, 5)]
    capitals = (data[start] == ord("$")) & (data[start + 6] == ord(","))
    for letter in letters:
        capitals = capitals & (letter - np.uint8(ord("A")) < 26)
    a, b, c = ((letter & np.uint8(31)).astype(np.uint16) for letter in letters)
    return np.where(capitals, (a << 2 * _PACK) | (b << _PACK) | c, np.uint16(_OTHER))


def _judge_unchecked(frames: Frames, packed: NDArray[np.uint16], *, accept: bool) -> None:
    """Tell whole sentences without checksum from cut-off ones: only the former have all their fields."""
    verdict = frames.verdict
    unchecked = verdict == Verdict.NO_CHECKSUM
    if not unchecked.any():
        return
    whole = np.zeros(len(verdict), dtype=np.bool_)
    for kind, known in SENTENCES.items():
        whole |= (packed == _pack(kind)) & (frames.comma_count >= known.all_fields)
    verdict[unchecked & ~whole] = Verdict.NOT_FRAMED
    if accept:
        verdict[unchecked & whole] = Verdict.GOOD


def _judge_addresses(frames: Frames, packed: NDArray[np.uint16]) -> None:
    """Set aside good sentences that are not read: AIS, proprietary, unknown."""
    data, start, verdict = frames.data, frames.start, frames.verdict
    good = verdict == Verdict.GOOD
    known = np.isin(packed, np.array([_pack(kind) for kind in SENTENCES], dtype=np.uint16), kind="table")
    encapsulated = data[start] == ord("!")
    third = data[start + 5]
    ais = (
        encapsulated
        & (data[start + 3] == ord("V"))
        & (data[start + 4] == ord("D"))
        & ((third == ord("M")) | (third == ord("O")))
    )
    proprietary = ~encapsulated & (data[start + 1] == ord("P"))
    verdict[good & ~known] = Verdict.UNKNOWN
    verdict[good & ais] = Verdict.AIS
    verdict[good & proprietary] = Verdict.PROPRIETARY


def _count_sentences(frames: Frames, packed: NDArray[np.uint16], tally: Tally) -> None:
    framed = (frames.verdict == Verdict.GOOD) | (frames.verdict >= Verdict.UNKNOWN) & (
        frames.verdict != Verdict.OTHER_TEXT
    )
    framed &= (frames.verdict != Verdict.PROPRIETARY) & (frames.verdict != Verdict.AIS)
    counts = np.bincount(packed[framed], minlength=1)
    for code in np.flatnonzero(counts):
        name = (
            "other"
            if code == _OTHER
            else "".join(chr(64 + (int(code) >> shift & 31)) for shift in (2 * _PACK, _PACK, 0))
        )
        tally.sentences[name] = tally.sentences.get(name, 0) + int(counts[code])


def _read_table(kind: str, sentences: Sentences, first_line: int) -> Table:
    """Read one type and mark its bad and void lines."""
    frames, rows = sentences.frames, sentences.rows
    values, bad, void = read_sentences(kind, sentences)
    frames.verdict[rows[bad]] = Verdict.BAD_FIELD
    frames.verdict[rows[void]] = Verdict.VOID_FIX
    keep: slice | Mask = ~(bad | void) if (bad | void).any() else slice(None)
    data, start = frames.data, frames.start[rows[keep]]
    talker = data[start + 1].astype(np.uint16) * np.uint16(256) + data[start + 2]
    return Table(rows[keep] + first_line, talker, {name: value[keep] for name, value in values.items()})


def _count_lines(frames: Frames, tally: Tally) -> None:
    """Add the verdicts of the block to the tally and keep examples of skipped lines."""
    counts = np.bincount(frames.verdict, minlength=len(Verdict))
    tally.lines_good += int(counts[Verdict.GOOD])
    for verdict in Verdict:
        reason = verdict.name.lower()
        if verdict is Verdict.GOOD or not counts[verdict]:
            continue
        tally.skip(reason, int(counts[verdict]))
        if verdict not in NOT_WRONG and tally.wants_example(reason):
            for row in np.flatnonzero(frames.verdict == verdict)[:EXAMPLES_PER_REASON]:
                tally.example(tally.lines_read + int(row) + 1, reason, line_text(frames, int(row)))
    tally.lines_read += len(frames.start)


def line_text(frames: Frames, row: int) -> str:
    """Return the beginning of a line for a message, with unprintable bytes shown as escapes."""
    raw = frames.data[frames.start[row] : min(frames.end[row], frames.start[row] + 80)].tobytes()
    return raw.decode("utf-8", errors="backslashreplace")
