"""Logs kept in a book: the original byte for byte, its track as Parquet parts beside it.

Each log has a directory named by the sha256 of its original::

    logs/<sha256>/original.log     never changed
    logs/<sha256>/parts-1a2b3c4d/  track-000000.parquet, side-heading-000000.parquet ..., report.json
    logs/<sha256>/log.json         the name under which it came, and which parts are current

Storing a log twice changes nothing. Storing it with other options makes new parts beside the old ones; they
become current in one step, and then the old ones go.
"""

from __future__ import annotations

import hashlib
import json
import os
import shutil
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from cringle.boat.write import write_atomically
from cringle.errors import BookError, InputError
from cringle.track.reading.chunks import Progress, Source, no_progress
from cringle.track.reading.options import ReadOptions
from cringle.track.reading.parts import (
    PARTIAL,
    new_directory,
    options_to_dict,
    parts_are_whole,
    read_log_to_parts,
    read_parts,
    read_report,
    write_parts,
    write_synced,
)
from cringle.track.reading.read import TrackLog
from cringle.track.reading.report import READER_VERSION, ReadReport

COPY_BYTES: Final = 1 << 20
LOG: Final = "log.json"
SUFFIXES: Final = frozenset({".log", ".nmea", ".nme", ".gpx", ".csv", ".txt"})


@dataclass(frozen=True)
class StoredLog:
    """A log kept in a book.

    Parameters
    ----------
    sha256 : str
        Of the original; its key.
    name : str
        File name under which it came.
    directory : Path
        Where it is kept.
    report : ReadReport
        What its reading found.
    already_there : bool
        Whether storing it changed nothing.
    """

    sha256: str
    name: str
    directory: Path
    report: ReadReport
    already_there: bool = False

    @property
    def original(self) -> Path:
        """The log as it came."""
        return next(self.directory.glob("original*"))


def store_log(
    path: Path, logs_dir: Path, *, options: ReadOptions | None = None, progress: Progress = no_progress
) -> StoredLog:
    """Keep a log in a book: original, parts and report, all of it or nothing.

    Parameters
    ----------
    path : Path
        The log.
    logs_dir : Path
        The book's ``logs`` directory; made when absent.
    options : ReadOptions or None
        What the log does not say itself.
    progress : callable
        Called with bytes done and bytes in all.

    Raises
    ------
    LogError, InputError
        As `cringle.track.reading.read.read_log`; nothing is kept then.
    BookError
        The book cannot be written.
    """
    options = options or ReadOptions()
    with Source(path).open() as stream:
        sha256 = hashlib.file_digest(stream, "sha256").hexdigest()
    directory = logs_dir / sha256
    if directory.exists():
        return _again(directory, sha256, options, progress)
    with new_directory(directory) as target:
        copy = target / f"original{path.suffix.lower() if path.suffix.lower() in SUFFIXES else ''}"
        copied = _copy(path, copy)
        parts = _parts_name(options)
        (target / parts).mkdir()
        report = write_parts(path, target / parts, options, progress)
        write_synced(target / LOG, _log_file(path.name, parts))
        if not sha256 == copied == report.sha256:
            raise BookError(
                f"{path}: the file changed while it was read", next_step="wait until its recorder is done"
            )
    return StoredLog(sha256, path.name, directory, report)


def _again(directory: Path, sha256: str, options: ReadOptions, progress: Progress) -> StoredLog:
    """Return a log that is there already; parts that are damaged, or of other options, are made anew."""
    stored, parts = _stored(directory, sha256), _parts_name(options)
    if stored is not None and _current(directory).name == parts and parts_are_whole(directory / parts):
        return StoredLog(sha256, stored.name, directory, stored.report, already_there=True)
    name = _log(directory).get("name", directory.name[:12])
    original = next(directory.glob("original*"))
    report = read_log_to_parts(original, directory / parts, options=options, progress=progress)
    write_atomically(directory / LOG, _log_file(name, parts))
    for old in directory.glob("parts-*"):
        if old.name != parts:
            shutil.rmtree(old, ignore_errors=True)
    return StoredLog(sha256, name, directory, report)


def read_stored(logs_dir: Path, sha256: str) -> TrackLog:
    """Return a log kept in a book.

    Parameters
    ----------
    logs_dir : Path
        The book's ``logs`` directory.
    sha256 : str
        Key of the log, or its beginning when that is enough to tell it.

    Raises
    ------
    InputError
        No log, or more than one, has a key that begins so.
    BookError
        The stored track is damaged.
    """
    matches = [one for one in stored_keys(logs_dir) if one.startswith(sha256)]
    if len(matches) != 1:
        have = ", ".join(one[:12] for one in (matches or stored_keys(logs_dir))) or "none"
        raise InputError(
            f"{len(matches)} stored logs have a key that begins with {sha256!r}; there are {have}",
            next_step="give more of the key, or list the logs",
        )
    return read_parts(_current(logs_dir / matches[0]))


def stored_keys(logs_dir: Path) -> list[str]:
    """Return the keys of all logs kept in a book."""
    if not logs_dir.is_dir():
        return []
    return sorted(one.name for one in logs_dir.iterdir() if one.is_dir() and not one.name.startswith(PARTIAL))


def list_stored(logs_dir: Path) -> list[StoredLog]:
    """Return all logs kept in a book whose report can be read, earliest first."""
    found = [_stored(logs_dir / key, key) for key in stored_keys(logs_dir)]
    return sorted((one for one in found if one is not None), key=_begin)


def verify_original(stored: StoredLog) -> bool:
    """Return whether the original is still byte for byte what was stored."""
    with stored.original.open("rb") as stream:
        return hashlib.file_digest(stream, "sha256").hexdigest() == stored.sha256


def _begin(stored: StoredLog) -> str:
    return "" if stored.report.start is None else stored.report.start.isoformat()


def _stored(directory: Path, sha256: str) -> StoredLog | None:
    try:
        name = _log(directory).get("name", sha256[:12])
        return StoredLog(sha256, name, directory, read_report(_current(directory)))
    except (OSError, ValueError, KeyError, TypeError):
        return None


def _log(directory: Path) -> dict[str, str]:
    """Return what ``log.json`` says; nothing when it is lost or damaged."""
    try:
        kept = json.loads((directory / LOG).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return {str(key): str(value) for key, value in kept.items()} if isinstance(kept, dict) else {}


def _log_file(name: str, parts: str) -> bytes:
    return json.dumps({"name": name, "parts": parts}, ensure_ascii=False).encode()


def _current(directory: Path) -> Path:
    return directory / Path(_log(directory).get("parts", "parts-lost")).name


def _parts_name(options: ReadOptions) -> str:
    """Return the name of the parts that this reader makes with these options."""
    made_with = json.dumps([READER_VERSION, options_to_dict(options)], sort_keys=True)
    return f"parts-{hashlib.sha256(made_with.encode()).hexdigest()[:8]}"


def _copy(path: Path, target: Path) -> str:
    """Copy the original, byte for byte, have it on the disk, and return its hash."""
    digest = hashlib.sha256()
    with path.open("rb") as source, target.open("wb") as stream:
        while data := source.read(COPY_BYTES):
            digest.update(data)
            stream.write(data)
        stream.flush()
        os.fsync(stream.fileno())
    return digest.hexdigest()
