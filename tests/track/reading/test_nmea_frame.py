from __future__ import annotations

import re
from collections.abc import Callable
from functools import reduce
from operator import xor

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from cringle.track.reading.nmea_frame import Verdict, frame_lines

LINE = re.compile(rb"[$!]([^*]*)\*([0-9A-Fa-f]{2})\Z")


def verdicts(block: bytes) -> list[Verdict]:
    return [Verdict(one) for one in frame_lines(block).verdict]


def plain_verdict(line: bytes) -> Verdict:
    """Judge one line the slow and obvious way."""
    text = line.rstrip(b"\r ")
    if text[:1] not in (b"$", b"!"):
        return Verdict.OTHER_TEXT
    if b"*" not in text:
        return Verdict.NO_CHECKSUM
    found = LINE.match(text)
    if found is None:
        return Verdict.NOT_FRAMED
    same = reduce(xor, found[1], 0) == int(found[2], 16)
    return Verdict.GOOD if same else Verdict.BAD_CHECKSUM


def test_published_sentence() -> None:
    assert verdicts(b"$GPGLL,5057.970,N,00146.110,E,142451,A*27\r\n") == [Verdict.GOOD]


def test_small_hexadecimal_digits_are_accepted(seal: Callable[[str], str]) -> None:
    line = seal("IIHDM,301,M")
    assert verdicts((line[:-2] + line[-2:].lower() + "\n").encode()) == [Verdict.GOOD]


def test_every_kind_of_line(seal: Callable[[str], str]) -> None:
    lines = [
        seal("IIHDM,303,M"),
        seal("IIHDM,303,M")[:-2] + "00",
        "$*4C",
        "$*00",
        "$IIHDM,303,M*3",
        "$IIHDM,303,M*3G",
        "$IIHDM,303*12,M*3C",
        "$IIHDM,303,M",
        "# a remark",
        "",
        seal("!AIVDM,1,1,,A,15M,0"),
    ]
    assert verdicts("\r\n".join([*lines, ""]).encode()) == [
        Verdict.GOOD,
        Verdict.BAD_CHECKSUM,
        Verdict.BAD_CHECKSUM,
        Verdict.GOOD,
        Verdict.NOT_FRAMED,
        Verdict.NOT_FRAMED,
        Verdict.NOT_FRAMED,
        Verdict.NO_CHECKSUM,
        Verdict.OTHER_TEXT,
        Verdict.OTHER_TEXT,
        Verdict.GOOD,
    ]


def test_field_bounds_of_a_line(seal: Callable[[str], str]) -> None:
    frames = frame_lines((seal("IIVWR,079,L,21.0,N") + "\nx,y\n" + seal("IIHDT,,T") + "\n").encode())
    np.testing.assert_array_equal(frames.comma_count, [4, 1, 2])
    assert [frames.data[frames.star[row]] for row in (0, 2)] == [ord("*"), ord("*")]


def test_no_lines_at_all() -> None:
    assert len(frame_lines(b"").verdict) == 0


_PIECES = st.sampled_from(
    [b"$", b"!", b"*", b",", b"GPRMC", b"1.5", b"4C", b"\r", b" ", b"\xff", b"\0", b"A"]
)


@given(lines=st.lists(st.lists(_PIECES, max_size=8).map(b"".join), max_size=12))
def test_agrees_with_the_obvious_way(lines: list[bytes]) -> None:
    block = b"".join(line + b"\n" for line in lines)
    assert verdicts(block) == [plain_verdict(line) for line in lines]


def test_blanks_and_several_returns_at_the_end_of_a_line(seal: Callable[[str], str]) -> None:
    assert verdicts((seal("IIHDM,303,M") + "  \r\r\n \r\n").encode()) == [Verdict.GOOD, Verdict.OTHER_TEXT]
