from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.track.reading.nmea import Parsed, parse_block
from cringle.track.reading.report import SKIP_REASONS, Tally


def parse(lines: list[str], **options: bool) -> tuple[Parsed, Tally]:
    tally = Tally()
    return parse_block("".join(line + "\n" for line in lines).encode("latin-1"), tally, **options), tally


def accounted(tally: Tally) -> bool:
    return tally.lines_read == tally.lines_good + sum(tally.skipped.values())


def test_every_reason(seal: Callable[[str], str]) -> None:
    lines = [
        seal("IIHDM,303,M"),
        "$IIHDM,30",
        seal("IIHDM,303,M")[:-1] + "x",
        "$IIHDM,303,M*00",
        "$IIHDM,303,M",
        seal("IIHDM,3o3,M"),
        seal("GPRMC,194310,V,,,,,,,140708,,,N"),
        seal("IIDBT,070.0,f,021.3,M,011.6,F"),
        seal("PSMDCN,2"),
        seal("!AIVDO,1,1,,A,15M,0"),
        "a remark",
        "",
    ]
    _, tally = parse(lines)
    assert tally.skipped == {
        "not_framed": 2,
        "bad_checksum": 1,
        "no_checksum": 1,
        "bad_field": 1,
        "void_fix": 1,
        "unknown": 1,
        "proprietary": 1,
        "ais": 1,
        "other_text": 2,
    }
    assert list(tally.ordered_skips()) == list(SKIP_REASONS)
    assert tally.lines_good == 1
    assert accounted(tally)


def test_examples_name_the_line(seal: Callable[[str], str]) -> None:
    _, tally = parse([seal("IIHDM,303,M"), seal("IIHDM,3o3,M"), "caf\xe9\x00"])
    assert [(one.line, one.reason, one.text) for one in tally.first_bad()] == [
        (2, "bad_field", seal("IIHDM,3o3,M")),
        (3, "other_text", "caf\\xe9\x00"),
    ]


def test_no_more_than_three_examples_of_a_reason() -> None:
    _, tally = parse(["x"] * 10)
    assert len(tally.first_bad()) == 3


def test_lines_are_numbered_over_blocks(seal: Callable[[str], str]) -> None:
    tally = Tally()
    block = (seal("IIHDM,303,M") + "\n").encode()
    lines = [int(parse_block(block, tally).tables["HDM"].line[0]) for _ in range(3)]
    assert lines == [0, 1, 2]


@pytest.mark.parametrize("talker", ["GP", "II", "02", "ZZ", "a1"])
def test_any_talker(seal: Callable[[str], str], talker: str) -> None:
    parsed, tally = parse([seal(f"{talker}HDM,303,M")])
    assert_allclose(parsed.tables["HDM"].values["hdg_mag"], [303.0])
    assert tally.sentences == {"HDM": 1}


def test_whole_sentences_without_checksum_are_read_when_asked() -> None:
    lines = ["$IIHDM,303,M", "$IIVWR,079,L,21.0,N,10.8,M,038.9,K", "$IIVWR,079,L,21.0"]
    parsed, tally = parse(lines, accept_no_checksum=True)
    assert sorted(parsed.tables) == ["HDM", "VWR"]
    assert tally.skipped == {"not_framed": 1}


def test_tag_blocks_before_a_sentence_are_passed_over(seal: Callable[[str], str]) -> None:
    parsed, tally = parse(["\\s:r1,c:1214064000*5F\\" + seal("IIHDM,303,M"), "\\s:r1*00\\", "\\"])
    assert len(parsed.tables["HDM"].line) == 1
    assert tally.skipped == {"other_text": 2}


def test_addresses_that_are_no_types(seal: Callable[[str], str]) -> None:
    _, tally = parse([seal(body) for body in ("GP", "GPR", "GPRMCX,1", "GPrmc,1", "CCGPQ,GGA", "!XXRMC,1")])
    assert tally.skipped == {"unknown": 6}


@given(st.binary(max_size=400))
def test_any_bytes_are_accounted_for(data: bytes) -> None:
    tally = Tally()
    block = data if data.endswith(b"\n") or not data else data + b"\n"
    parse_block(block, tally)
    assert accounted(tally)
    assert tally.lines_read == block.count(b"\n")


_BODIES = st.sampled_from(
    [
        "GPRMC,194310,A,3748.784,N,12226.831,W,8.0,316.0,140708,015.0,E,A",
        "IIVWR,079,L,21.0,N",
        "IIXDR,A,1,D,HEEL",
        "GPZDA,160012.71,11,03,2004,-1,00",
        "WIMWV,214.8,R,0.1,K,A",
    ]
)


@given(body=_BODIES, place=st.integers(0, 70), byte=st.binary(min_size=1, max_size=3))
def test_a_damaged_sentence_with_a_good_checksum_never_crashes(body: str, place: int, byte: bytes) -> None:
    text = body.encode()[:place] + byte.replace(b"\n", b"") + body.encode()[place + 1 :]
    checksum = int(np.bitwise_xor.reduce(np.frombuffer(text, np.uint8), initial=0))
    tally = Tally()
    parse_block(b"$" + text + b"*%02X\n" % checksum, tally)
    assert tally.lines_read == 1
    assert accounted(tally)


@pytest.mark.parametrize("byte", [b"\n", b",", b"*", b"$\n", b"$*\n", b"\r", b"$XXRMC,\n", b"!\n"])
def test_a_block_of_one_thing_over_and_over(byte: bytes) -> None:
    tally = Tally()
    block = byte * 5000 + (b"" if byte.endswith(b"\n") else b"\n")
    parse_block(block, tally)
    assert accounted(tally)
    assert tally.lines_read == block.count(b"\n")
    assert tally.lines_good == 0
