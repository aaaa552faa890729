"""Writing files so that a killed process leaves the old file or the new one, never a piece of either."""

from __future__ import annotations

import hashlib
import os
import shutil
import tempfile
from pathlib import Path

CHUNK_BYTES = 1 << 20


def sync_file(path: Path) -> None:
    """Ask the system to put a file's bytes on the disk."""
    handle = os.open(path, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def sync_directory(path: Path) -> None:
    """Ask the system to put a directory's names on the disk (without effect where it cannot be asked)."""
    if os.name == "posix":
        sync_file(path)


def replace_file(finished: Path, target: Path) -> None:
    """Put a finished temporary file in the place of the target: sync, rename, sync the directory."""
    sync_file(finished)
    os.replace(finished, target)  # noqa: PTH105 - the three calls of the promise stand together, and are traced together
    sync_directory(target.parent)


def temporary_beside(target: Path) -> Path:
    """Return a new empty file in the directory of the target, hidden, to be renamed when finished."""
    handle, name = tempfile.mkstemp(prefix=f".{target.name}.", suffix=".part", dir=target.parent)
    os.close(handle)
    return Path(name)


def write_bytes(target: Path, content: bytes) -> None:
    """Write a whole file at once or not at all."""
    part = temporary_beside(target)
    try:
        part.write_bytes(content)
        part.chmod(0o644)
        replace_file(part, target)
    finally:
        part.unlink(missing_ok=True)


def write_text(target: Path, text: str) -> None:
    """Write a whole UTF-8 file at once or not at all."""
    write_bytes(target, text.encode("utf-8"))


def copy_file(source: Path, target: Path) -> None:
    """Copy a file byte for byte, whole or not at all; the directory is made when it is not there."""
    target.parent.mkdir(parents=True, exist_ok=True)
    part = temporary_beside(target)
    try:
        shutil.copyfile(source, part)
        part.chmod(0o644)
        replace_file(part, target)
    finally:
        part.unlink(missing_ok=True)


def sha256_of(path: Path) -> str:
    """Return the SHA-256 digest of a file in hexadecimal, reading it in pieces."""
    digest = hashlib.sha256()
    with path.open("rb") as handle:
        while piece := handle.read(CHUNK_BYTES):
            digest.update(piece)
    return digest.hexdigest()
