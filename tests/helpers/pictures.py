"""Small pictures for tests, made from nothing."""

from __future__ import annotations

import struct
import zlib


def png(shade: int, width: int = 40, height: int = 30) -> bytes:
    """Return a picture of one shade of grey (W3C, Portable Network Graphics, 2nd edition, 2003)."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    head = struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0)
    rows = (b"\x00" + bytes([shade]) * width) * height
    return (
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", head)
        + chunk(b"IDAT", zlib.compress(rows))
        + chunk(b"IEND", b"")
    )
