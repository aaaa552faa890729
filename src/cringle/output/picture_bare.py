"""A photo without what the camera wrote into it: place, time, maker and words go, the picture stays.

The picture itself is not decoded; its bytes stay as they are. Only its colour profile and the way it is held
remain. Anything after the end of the picture, where phones keep films and second pictures, goes too.

References
----------
Segments of a JPEG file: ITU-T T.81 (1992), annex B. Chunks of a PNG file: Portable Network Graphics, third
edition (W3C, 2025), sections 5 and 11. The orientation: Exif 2.3, tag 0x0112. From memory.
"""

from __future__ import annotations

import struct
import zlib
from collections.abc import Iterator
from typing import Final

JPEG_START: Final = b"\xff\xd8"
PNG_START: Final = b"\x89PNG\r\n\x1a\n"
EXIF: Final = b"Exif\x00\x00"
ORIENTATION: Final = 0x0112
UPRIGHT: Final = 1

APP, COMMENT, SCAN, END = range(0xE0, 0xF0), 0xFE, 0xDA, 0xD9
STUFFED: Final = (0x00, *range(0xD0, 0xD8))
"""What may follow 0xFF inside a scan without ending it."""

KEPT_APP: Final = {0xE0: b"JFIF\x00", 0xE2: b"ICC_PROFILE\x00", 0xEE: b"Adobe"}
"""Application segments that say how colours are meant."""

DROPPED_CHUNKS: Final = (b"eXIf", b"tEXt", b"zTXt", b"iTXt", b"tIME")


def bare_picture(data: bytes) -> bytes:
    """Return a JPEG or PNG file without what the camera wrote into it; any other file as it is.

    Parameters
    ----------
    data : bytes
        The file.
    """
    if data.startswith(JPEG_START):
        return JPEG_START + b"".join(_segments(data))
    if data.startswith(PNG_START):
        return PNG_START + b"".join(_chunks(data))
    return data


def _segments(data: bytes) -> Iterator[bytes]:
    """Yield the segments of a JPEG file that stay, the scans with what follows them."""
    place = len(JPEG_START)
    while place + 4 <= len(data):
        if data[place] != 0xFF or data[place + 1] == 0xFF:
            place += 1
            continue
        marker = data[place + 1]
        if marker == END:
            break
        (length,) = struct.unpack_from(">H", data, place + 2)
        end = place + 2 + max(length, 2)
        body = data[place + 4 : end]
        if marker == SCAN:
            end = _scan_end(data, end)
        if marker == APP[1] and body.startswith(EXIF):
            yield _held(_orientation(body[len(EXIF) :]))
        elif _stays(marker, body):
            yield data[place:end]
        place = end
    yield bytes((0xFF, END))


def _stays(marker: int, body: bytes) -> bool:
    if marker in APP:
        return marker in KEPT_APP and body.startswith(KEPT_APP[marker])
    return marker != COMMENT


def _scan_end(data: bytes, place: int) -> int:
    """Return where a scan ends: at the next marker that is no part of it, or with the file."""
    while (place := data.find(b"\xff", place)) >= 0 and place + 1 < len(data):
        if data[place + 1] not in STUFFED:
            return place
        place += 2
    return len(data)


def _held(orientation: int) -> bytes:
    """Return an Exif segment that says only how the picture is held; nothing for an upright one."""
    if orientation == UPRIGHT:
        return b""
    body = EXIF + _tiff(orientation)
    return bytes((0xFF, APP[1])) + struct.pack(">H", len(body) + 2) + body


def _tiff(orientation: int) -> bytes:
    return struct.pack(">2sHIHHHIHHI", b"MM", 42, 8, 1, ORIENTATION, 3, 1, orientation, 0, 0)


def _orientation(tiff: bytes) -> int:
    """Return how the picture is held, 1 to 8; upright where nothing readable says so."""
    order = {b"MM": ">", b"II": "<"}.get(tiff[:2])
    if order is None:
        return UPRIGHT
    try:
        (start,) = struct.unpack_from(f"{order}I", tiff, 4)
        (count,) = struct.unpack_from(f"{order}H", tiff, start)
        for place in range(start + 2, start + 2 + 12 * count, 12):
            tag, _, _, value = struct.unpack_from(f"{order}HHIH", tiff, place)
            if tag == ORIENTATION:
                return int(value) if value in range(1, 9) else UPRIGHT
    except struct.error:
        pass
    return UPRIGHT


def _chunks(data: bytes) -> Iterator[bytes]:
    """Yield the chunks of a PNG file that stay, up to its end."""
    place = len(PNG_START)
    while place + 12 <= len(data):
        length, name = struct.unpack_from(">I4s", data, place)
        end = place + 12 + length
        if name == b"eXIf" and (held := _orientation(data[place + 8 : end - 4])) != UPRIGHT:
            body = name + _tiff(held)
            yield struct.pack(">I", len(body) - 4) + body + struct.pack(">I", zlib.crc32(body))
        elif name not in DROPPED_CHUNKS:
            yield data[place:end]
        if name == b"IEND":
            return
        place = end
