"""GPX 1.1 (1.0, and files without a namespace, too): track points as fixes.

Entities are not expanded and nothing is fetched; a file with a document type definition is refused. GPX 1.1
has no speed, course or heel of its own: extensions are read by their local name, whatever the namespace.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any, BinaryIO, Final

import numpy as np
import polars as pl
from lxml import etree

from cringle.errors import LogError
from cringle.track.reading.assemble import Account, Assembler, Fixes, Key, Piece
from cringle.track.reading.chunks import Source
from cringle.track.reading.join import Reading
from cringle.track.reading.options import ReadOptions
from cringle.track.reading.report import ReadReport, Tally
from cringle.track.reading.stamps import parse_zoned
from cringle.track.schema import CHANNELS, DIRECTIONS, SIGNED_ANGLES
from cringle.units import metres_per_second_to_knots, wrap_degrees, wrap_signed_degrees

POINTS_PER_PIECE: Final = 50_000
RELEASE_EVERY: Final = 1000
"""Points read between two clearings of the part of the tree that is done with."""

REST_BYTES: Final = 1 << 20

EXTENSIONS: Final[dict[str, str]] = {
    "speed": "sog",
    "course": "cog",
    "heel": "roll",
    "roll": "roll",
    "pitch": "pitch",
    "heading": "hdg",
    "water_speed": "stw",
    "apparent_wind_angle": "awa",
    "apparent_wind_speed": "aws",
}
"""Local name of an element to track column. Speeds in m/s as in GPX 1.0; angles in degrees; heel and roll
starboard side down positive, the wind's angle starboard positive; heading true."""

SPEEDS: Final = ("sog", "stw", "aws")

LIMITS: Final[dict[str, tuple[float, float]]] = {
    "lat": (-90.0, 90.0),
    "lon": (-180.0, 180.0),
    "sog": (0.0, 200.0),
    "cog": (-360.0, 360.0),
    "hdg": (-360.0, 360.0),
    "roll": (-180.0, 180.0),
    "pitch": (-90.0, 90.0),
    "stw": (0.0, 200.0),
    "awa": (-360.0, 360.0),
    "aws": (0.0, 200.0),
}
"""Values outside make the point bad."""

PREFERENCE: Final[dict[str, tuple[str, ...]]] = dict.fromkeys(CHANNELS, ("GPX",))


class HashedStream:
    """A file for the XML parser, hashed and reported as it is read."""

    def __init__(self, source: Source, stream: BinaryIO) -> None:
        self._source, self._stream = source, stream

    def read(self, size: int = REST_BYTES) -> bytes:
        """Return the next bytes."""
        return self._source.read(self._stream, size)


@dataclass
class GpxPass:
    """Reads one GPX file from start to end.

    Parameters
    ----------
    source : Source
        The file.
    options : ReadOptions
        Only `shift_weeks` and `wind_height_m` concern GPX.
    """

    source: Source
    options: ReadOptions
    tally: Tally = field(default_factory=Tally)
    assembler: Assembler = field(default_factory=lambda: Assembler(PREFERENCE))
    notes: list[str] = field(default_factory=list)

    @property
    def account(self) -> Account:
        """What the assembler counted."""
        return self.assembler.account

    def pieces(self) -> Iterator[Piece]:
        """Yield the pieces of the track."""
        self._refuse_definitions()
        with self.source.open() as stream:
            hashed = HashedStream(self.source, stream)
            for points in self._batches(hashed):
                yield self._piece(points)
            while hashed.read():
                continue

    def report(self) -> ReadReport:
        """Return the account of the points; what concerns rows is added by the caller."""
        return ReadReport(
            format="gpx",
            sha256=self.source.sha256,
            bytes_read=self.source.bytes_read,
            lines_read=self.tally.lines_read,
            lines_good=self.tally.lines_good,
            lines_skipped=self.tally.ordered_skips(),
            first_bad=self.tally.first_bad(),
            date_source="GPX",
            fix_source="trkpt",
            notes=tuple(self.notes),
        )

    def _refuse_definitions(self) -> None:
        """Raise when the file declares a document type: that is how entity bombs begin."""
        try:
            with self.source.path.open("rb") as stream:
                for _, root in etree.iterparse(stream, events=("start",), **_SAFE):
                    info = root.getroottree().docinfo
                    if info.internalDTD is not None:
                        raise LogError(
                            "the file declares a document type (entities), which GPX does not need",
                            path=self.source.path,
                            next_step="export the track again as plain GPX 1.1",
                        )
                    if _local(root.tag) != "gpx":
                        raise LogError(
                            f"the XML is not GPX: its root element is {_local(root.tag)!r}",
                            path=self.source.path,
                            line=root.sourceline,
                            next_step="export the track as GPX 1.1",
                        )
                    return
        except (etree.XMLSyntaxError, ValueError) as error:
            raise self._broken(error) from None

    def _batches(self, stream: HashedStream) -> Iterator[list[_Point]]:
        points: list[_Point] = []
        try:
            for _, element in etree.iterparse(stream, events=("end",), tag="{*}trkpt", **_SAFE):
                points.append(_point(element))
                if len(points) % RELEASE_EVERY == 0:
                    _release(element)
                if len(points) >= POINTS_PER_PIECE:
                    yield points
                    points = []
        except etree.XMLSyntaxError as error:
            if not points and not self.tally.lines_read:
                raise self._broken(error) from None
            if points:
                yield points
            self._note_break(error)
            return
        if points:
            yield points

    def _broken(self, error: Exception) -> LogError:
        line = error.lineno if isinstance(error, etree.XMLSyntaxError) else None
        return LogError(
            f"the XML cannot be read: {error}",
            path=self.source.path,
            line=line,
            next_step="export the track again",
        )

    def _note_break(self, error: etree.XMLSyntaxError) -> None:
        self.tally.lines_read += 1
        self.tally.skip("not_framed", 1)
        self.tally.example(self.tally.lines_read, "not_framed", str(error))
        self.notes.append(f"the XML breaks at line {error.lineno}: {error}; points after that are not read")

    def _piece(self, points: list[_Point]) -> Piece:
        frame = pl.DataFrame(points, schema=_POINT_SCHEMA, orient="row")
        times = parse_zoned(frame["time"]).dt.offset_by(f"{self.options.shift_weeks}w")
        numbers, bad = _numbers(frame)
        bad |= times.is_null().to_numpy() | np.isnan(numbers["lat"]) | np.isnan(numbers["lon"])
        self._count(frame, bad)
        rows = np.flatnonzero(~bad)
        stamp = times.dt.epoch("us").fill_null(0).to_numpy()[rows]
        line = rows + (self.tally.lines_read - len(points))
        values = {name: one[rows] for name, one in numbers.items()}
        fixes = Fixes(line, stamp, {name: values[name] for name in ("lat", "lon", "sog", "cog")})
        return self.assembler.piece(fixes, _readings(line, stamp, values))

    def _count(self, frame: pl.DataFrame, bad: np.ndarray[Any, np.dtype[np.bool_]]) -> None:
        for row in np.flatnonzero(bad):
            if not self.tally.wants_example("bad_field"):
                break
            self.tally.example(
                self.tally.lines_read + int(row) + 1, "bad_field", str(frame.row(int(row)))[:80]
            )
        self.tally.lines_read += frame.height
        self.tally.skip("bad_field", int(bad.sum()))
        self.tally.lines_good += int((~bad).sum())


_SAFE: Final[dict[str, Any]] = {
    "resolve_entities": False,
    "no_network": True,
    "load_dtd": False,
    "huge_tree": False,
    "remove_comments": True,
    "remove_pis": True,
}
_COLUMNS: Final = tuple(dict.fromkeys(EXTENSIONS.values()))
_POINT_SCHEMA: Final = {name: pl.String for name in ("lat", "lon", "time", *_COLUMNS)}
_Point = tuple[str | None, ...]


@lru_cache(maxsize=1024)
def _local(tag: object) -> str:
    """Return the name of an element without its namespace; empty for what is no element."""
    return tag.rpartition("}")[2] if isinstance(tag, str) else ""


def _point(element: etree._Element) -> _Point:
    """Return the texts of one point: latitude, longitude, time, then the columns of `EXTENSIONS`."""
    time: str | None = None
    found: dict[str, str | None] | None = None
    for child in element:
        name = _local(child.tag)
        if name == "time":
            time = child.text
        elif name == "extensions" or name in EXTENSIONS:
            found = found or {}
            for inner in child.iter():
                column = EXTENSIONS.get(_local(inner.tag))
                if column is not None:
                    found[column] = inner.text
    get = element.get
    if found is None:
        return (get("lat"), get("lon"), time, *_NOTHING)
    return (get("lat"), get("lon"), time, *(found.get(column) for column in _COLUMNS))


_NOTHING: Final = (None,) * len(_COLUMNS)


def _release(element: etree._Element) -> None:
    """Free all that stands before a point that has been read, on every level of the tree."""
    node, parent = element, element.getparent()
    while parent is not None:
        del parent[: parent.index(node)]
        node, parent = parent, parent.getparent()


def _numbers(
    frame: pl.DataFrame,
) -> tuple[dict[str, np.ndarray[Any, np.dtype[np.float64]]], np.ndarray[Any, np.dtype[np.bool_]]]:
    """Return the numbers of all columns in track units, and which points hold one that is malformed."""
    bad = np.zeros(frame.height, dtype=np.bool_)
    numbers = {}
    for name, (low, high) in LIMITS.items():
        text = frame[name]
        if text.null_count() == frame.height:
            numbers[name] = np.full(frame.height, np.nan)
            continue
        text = text.str.strip_chars()
        value = text.cast(pl.Float64, strict=False).to_numpy().astype(np.float64)
        given = (text.is_not_null() & (text != "")).fill_null(value=False).to_numpy()
        value = metres_per_second_to_knots(value) if name in SPEEDS else value
        with np.errstate(invalid="ignore"):
            inside = (value >= low) & (value <= high)
        bad |= given & ~inside
        value = np.where(inside, value, np.nan)
        numbers[name] = _wrapped(name, value)
    return numbers, bad


def _wrapped(name: str, value: np.ndarray[Any, np.dtype[np.float64]]) -> Any:
    """Return values of a column in the range of its kind of angle; others as they are."""
    if name in DIRECTIONS:
        return wrap_degrees(value)
    return wrap_signed_degrees(value) if name in SIGNED_ANGLES else value


def _readings(line: Any, stamp: Any, values: dict[str, Any]) -> dict[Key, Reading]:
    readings: dict[Key, Reading] = {}
    for channel, names in CHANNELS.items():
        given = {name: values[name] for name in names if name in values and not np.isnan(values[name]).all()}
        if given:
            known = ~np.all([np.isnan(one) for one in given.values()], axis=0)
            readings[channel, "GPX"] = Reading(line, stamp, given).take(known)
    return readings
