from __future__ import annotations

from collections.abc import Callable

import polars as pl
import pytest

from cringle.track.reading.assemble import Assembler, Piece
from cringle.track.reading.nmea import parse_block
from cringle.track.reading.nmea_fixes import FixQueue
from cringle.track.reading.nmea_readings import PREFERENCE
from cringle.track.reading.nmea_stream import NmeaStream
from cringle.track.reading.report import Tally

Run = Callable[[list[str], int], list[Piece]]


@pytest.fixture
def run(seal: Callable[[str], str]) -> Run:
    def pieces(bodies: list[str], size: int) -> list[Piece]:
        tally = Tally()
        lines = [seal(body) + "\n" for body in bodies]
        blocks = ["".join(lines[start : start + size]).encode() for start in range(0, len(lines), size)]
        stream = NmeaStream(Assembler(PREFERENCE), FixQueue())
        return list(stream.pieces(parse_block(block, tally) for block in blocks))

    return pieces


def evening(rmc_body: Callable[..., str]) -> list[str]:
    bodies = []
    for second in range(120):
        bodies += [
            rmc_body(second),
            f"HCHDG,{(350 + second) % 360:05.1f},,,2.0,E",
            f"IIVHW,,T,,M,{second / 20:05.2f},N,,K",
        ]
    return bodies


@pytest.mark.parametrize("size", [40, 41, 97, 10_000])
def test_the_same_track_whatever_the_blocks(run: Run, rmc_body: Callable[..., str], size: int) -> None:
    whole = run(evening(rmc_body), 100_000)
    parts = run(evening(rmc_body), size)
    assert pl.concat([one.track for one in parts]).equals(pl.concat([one.track for one in whole]))
    for channel in ("heading", "water_speed", "ground"):
        sides = [
            pl.concat([one.side[channel] for one in made if channel in one.side]) for made in (parts, whole)
        ]
        assert sides[0].sort("time", "source").equals(sides[1].sort("time", "source"))


def test_readings_after_the_last_fix_are_kept(run: Run, rmc_body: Callable[..., str]) -> None:
    made = run([*evening(rmc_body), "TIROT,5.0,A"], 50)
    rate = pl.concat([one.side["rate_of_turn"] for one in made if "rate_of_turn" in one.side])
    assert rate["rot"].to_list() == [5.0]
    assert rate["time"][0] > made[-1].track["time"][-1]


def test_no_fix_at_all_gives_no_piece(run: Run) -> None:
    assert run(["IIHDM,303,M"] * 50, 10) == []
