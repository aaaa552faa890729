"""Read a file as blocks of whole lines, however long the file or its lines."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from io import BufferedReader
from pathlib import Path
from typing import BinaryIO, Final

from cringle.errors import LogError

BLOCK_BYTES: Final = 8 * 1024 * 1024
"""Largest block handed on at once."""

LONGEST_LINE: Final = 65_536
"""A longer line is cut here and counted as one unreadable line."""

CUT_MARK: Final = b"\x00(cut)"
"""Ends a cut line, so that it can never pass for a whole sentence."""

BYTE_ORDER_MARK: Final = b"\xef\xbb\xbf"
"""What some programs write before UTF-8 text; left out."""

Progress = Callable[[int, int], None]
"""Called with bytes done and bytes in all."""


def no_progress(done: int, total: int) -> None:
    """Do nothing; the default of every `progress` argument."""
    del done, total


@dataclass
class Source:
    """A file being read once from start to end, hashed on the way.

    Parameters
    ----------
    path : Path
        The file.
    progress : callable
        Called after every block.
    """

    path: Path
    progress: Progress = no_progress
    bytes_read: int = 0
    total: int = 0
    digest: hashlib._Hash = field(default_factory=hashlib.sha256)

    @property
    def sha256(self) -> str:
        """Hash of the bytes read so far."""
        return self.digest.hexdigest()

    def open(self) -> BufferedReader:
        """Open the file, with an error that says what to do when that fails."""
        try:
            self.total = self.path.stat().st_size
            return self.path.open("rb")
        except FileNotFoundError:
            raise LogError("there is no such file", path=self.path, next_step="check the name") from None
        except OSError as error:
            raise LogError(
                f"cannot be opened: {error.strerror}",
                path=self.path,
                next_step="check that it is a readable file",
            ) from error

    def read(self, stream: BinaryIO, size: int) -> bytes:
        """Return the next bytes, hashed and reported."""
        data = stream.read(size)
        self.digest.update(data)
        self.bytes_read += len(data)
        self.progress(self.bytes_read, max(self.total, self.bytes_read))
        return data


def iter_blocks(source: Source, block_bytes: int = BLOCK_BYTES) -> Iterator[bytes]:
    r"""Yield blocks that end with a line end, together the whole file.

    Carriage returns alone (old files) are taken as line ends when the file's first block has no other.

    Parameters
    ----------
    source : Source
        The file to read.
    block_bytes : int
        Size of one read; a block is at most this plus one line.

    Yields
    ------
    bytes
        Whole lines; every block ends with ``\n``, lines over `LONGEST_LINE` are cut and marked.
    """
    with source.open() as stream:
        rest = b""
        lone_returns: bool | None = None
        while data := source.read(stream, block_bytes):
            if lone_returns is None:
                data = data.removeprefix(BYTE_ORDER_MARK)
                lone_returns = b"\n" not in data and b"\r" in data
            data = data.replace(b"\r", b"\n") if lone_returns else data
            head, newline, tail = data.rpartition(b"\n")
            if newline:
                yield _cut_long_lines(rest + head + newline)
                rest = tail
            else:
                rest += tail
            rest = _cut(rest)
        if rest:
            yield rest + b"\n"


def _cut(line: bytes) -> bytes:
    return line if len(line) <= LONGEST_LINE else line[:LONGEST_LINE] + CUT_MARK


def _cut_long_lines(block: bytes) -> bytes:
    """Return the block with every line over the limit cut; one cheap test when there is none."""
    position, limit = 0, LONGEST_LINE
    while position + limit < len(block):
        found = block.rfind(b"\n", position, position + limit + 1)
        if found < 0:
            return b"\n".join(_cut(line) for line in block.split(b"\n"))
        position = found + 1
    return block
