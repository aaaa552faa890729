"""Large files, whole or not at all: copied in pieces, synced, renamed, and the directory synced.

Small files are written by `cringle.boat.write.write_atomically`, which keeps the same promise.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import tempfile
from pathlib import Path

from cringle.boat.write import sync_directory

PIECE_BYTES = 1 << 20


def sync_file(path: Path) -> None:
    """Ask the system to put a file's bytes on the disk."""
    handle = os.open(path, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def replace_file(finished: Path, target: Path) -> None:
    """Put a finished temporary file in the place of the target: sync, rename, sync the directory."""
    sync_file(finished)
    os.replace(finished, target)  # noqa: PTH105 - traced by this name, beside the two syncs
    sync_directory(target.parent)


def temporary_beside(target: Path) -> Path:
    """Return a new empty file in the directory of the target, hidden, to be renamed when finished."""
    handle, name = tempfile.mkstemp(prefix=f".{target.name}.", suffix=".part", dir=target.parent)
    os.close(handle)
    return Path(name)


def copy_file(source: Path, target: Path) -> None:
    """Copy a file byte for byte, whole or not at all; the directory is made when it is not there."""
    if not target.parent.is_dir():
        target.parent.mkdir(parents=True, exist_ok=True)
        sync_directory(target.parent.parent)
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
        while piece := handle.read(PIECE_BYTES):
            digest.update(piece)
    return digest.hexdigest()
