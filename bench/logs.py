"""Reading logs: NMEA 0183 against pynmea2, GPX against gpxpy, and the memory that a log of 1 GB takes.

Both sides read the same bytes in one process, the best of a few runs each. The other side gets its lines
already cut and decoded, which ours does itself.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from datetime import date, datetime, timedelta
from functools import partial, reduce
from operator import xor
from pathlib import Path
from typing import Final

import gpxpy
import pynmea2

from cringle.track.reading.nmea import parse_block
from cringle.track.reading.options import ReadOptions
from cringle.track.reading.read import read_log
from cringle.track.reading.report import Tally

LOGS: Final = Path(__file__).parents[1] / "tests" / "data" / "logs"
NAMES: Final = ("upwind-tacks-2008.log", "reach-heel-2018.log", "motoring-2014.log")
SENTENCES, POINTS, RUNS = 120_000, 30_000, 5
COLUMNS_TARGET, WHOLE_TARGET, GPX_TARGET = 6.0, 3.0, 5.0
BIG_BYTES, SMALL_BYTES, MEMORY_TARGET_MB = 1_000_000_000, 125_000_000, 1000.0
FLAT_TARGET = 1.25
OPTIONS: Final = ReadOptions(date=date(2026, 5, 3))
MEGABYTE_KB: Final = 1024.0
DAY_S: Final = 86_400

Row = dict[str, object]


def best(*works: Callable[[], object]) -> list[float]:
    """Return the shortest time of each work [s], taken in turn so that a busy minute hits all alike."""
    times: list[list[float]] = [[] for _ in works]
    for _ in range(RUNS):
        for work, taken in zip(works, times, strict=True):
            begin = time.perf_counter()
            work()
            taken.append(time.perf_counter() - begin)
    return [min(taken) for taken in times]


def sample(name: str) -> bytes:
    """Return a recorded log, repeated to about `SENTENCES` lines."""
    data = (LOGS / name).read_bytes().rstrip(b"\r\n") + b"\r\n"
    return data * max(1, round(SENTENCES / data.count(b"\n")))


def parse_all(lines: list[str]) -> int:
    """Parse every line with the other parser, its checksum verified; return how many it refused."""
    refused = 0
    for line in lines:
        try:
            pynmea2.parse(line, check=True)
        except pynmea2.ParseError:
            refused += 1
    return refused


def columns_of(data: bytes) -> object:
    """Turn a log into typed columns, every checksum verified."""
    return parse_block(data, Tally())


def nmea_rows() -> Iterator[Row]:
    """Yield two rows for each log: columns alone, and the whole read with join and repair."""
    for name in NAMES:
        data = sample(name)
        lines = data.decode("latin-1").splitlines()
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / name
            path.write_bytes(data)
            works = (
                partial(parse_all, lines),
                partial(columns_of, data),
                partial(read_log, path, options=OPTIONS),
            )
            theirs, columns, whole = (len(lines) / seconds for seconds in best(*works))
        yield row(f"{name}: typed columns", columns, theirs, COLUMNS_TARGET)
        yield row(f"{name}: whole read", whole, theirs, WHOLE_TARGET)


def row(name: str, ours: float, theirs: float, target: float, unit: str = "sentences/s") -> Row:
    """Return a row that compares two rates."""
    ratio = ours / theirs
    return {
        "name": name,
        "ours": ours,
        "theirs": theirs,
        "ratio": ratio,
        "unit": unit,
        "target": f">= {target:g}x",
        "ok": ratio >= target,
    }


def gpx_text(points: int) -> str:
    """Return a GPX 1.1 track with one point a second."""
    head = '<?xml version="1.0" encoding="UTF-8"?>\n<gpx version="1.1" creator="bench" xmlns='
    head += '"http://www.topografix.com/GPX/1/1"><trk><trkseg>\n'
    start = datetime(2026, 5, 3, 17)
    body = [
        f'<trkpt lat="{54 + second / 1e6:.6f}" lon="{10 + second / 1e6:.6f}">'
        f"<time>{start + timedelta(seconds=second):%Y-%m-%dT%H:%M:%SZ}</time></trkpt>\n"
        for second in range(points)
    ]
    return head + "".join(body) + "</trkseg></trk></gpx>\n"


def gpx_row() -> Row:
    """Return the comparison for GPX."""
    text = gpx_text(POINTS)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "track.gpx"
        path.write_text(text, encoding="utf-8")
        ours, theirs = (
            POINTS / seconds for seconds in best(partial(read_log, path), partial(gpxpy.parse, text))
        )
    return row("GPX, whole read", ours, theirs, GPX_TARGET, "points/s")


def seal(body: str) -> bytes:
    """Return a sentence with its checksum and line end."""
    return f"${body}*{reduce(xor, body.encode()):02X}\r\n".encode()


def write_big(path: Path, size: int) -> None:
    """Write a log of at least `size` bytes: a fix a second for days, with wind, heading, speed and heel."""
    others = b"".join(
        seal(body)
        for body in (
            "WIMWV,040.5,R,12.3,N,A",
            "WIMWV,055.0,T,9.1,N,A",
            "IIVHW,,T,123,M,06.31,N,11.69,K",
            "IIXDR,A,-12.5,D,ROLL,A,1.5,D,PITCH",
            *(f"HCHDG,{123 + tenth / 10:.1f},,,2.0,E" for tenth in range(4)),
        )
    )
    day, written = date(2026, 1, 1), 0
    with path.open("wb") as stream:
        while written < size:
            for second in range(0, DAY_S, 1):
                clock = f"{second // 3600:02d}{second // 60 % 60:02d}{second % 60:02d}"
                minute = f"{second / DAY_S * 60:07.4f}"
                fix = f"GPRMC,{clock},A,54{minute},N,010{minute},E,6.2,045.0,{day:%d%m%y},2.0,E,A"
                written += stream.write(seal(fix) + others)
                if written >= size:
                    return
            day += timedelta(days=1)


CHILD: Final = """
import resource, sys
from pathlib import Path
from cringle.track.reading.parts import read_log_to_parts
report = read_log_to_parts(Path(sys.argv[1]), Path(sys.argv[2]))
print(report.lines_read, report.rows, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss)
"""


def peak_megabytes(size: int) -> tuple[float, float]:
    """Return peak memory of a fresh process that reads a log into parts, and its lines a second."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "big.nmea"
        write_big(path, size)
        begin = time.perf_counter()
        command = [sys.executable, "-c", CHILD, str(path), str(Path(folder) / "parts")]
        out = subprocess.run(command, check=True, capture_output=True, text=True).stdout
        lines, _, kilobytes = (float(word) for word in out.split())
        return kilobytes / MEGABYTE_KB, lines / (time.perf_counter() - begin)


def memory_rows() -> Iterator[Row]:
    """Yield peak memory for 1 GB, and what that is over the peak for an eighth of it."""
    small, _ = peak_megabytes(SMALL_BYTES)
    big, rate = peak_megabytes(BIG_BYTES)
    target = f"< {MEMORY_TARGET_MB:g} MB"
    yield {
        "name": "1 GB log into parts, peak memory",
        "ours": big,
        "unit": "MB",
        "target": target,
        "ok": big < MEMORY_TARGET_MB,
    }
    yield {
        "name": "the same over a log of an eighth",
        "ours": big,
        "theirs": small,
        "ratio": big / small,
        "unit": "MB",
        "target": f"<= {FLAT_TARGET:g}x",
        "ok": big / small <= FLAT_TARGET,
    }
    yield {"name": "1 GB log into parts, lines", "ours": rate, "unit": "sentences/s", "ok": None}


def rows() -> list[Row]:
    """Return all rows of this benchmark."""
    return [*nmea_rows(), gpx_row(), *memory_rows()]
