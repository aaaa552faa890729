"""One file that holds a whole book, and bringing it back after it was checked."""

from __future__ import annotations

import json
import shutil
import sqlite3
import tempfile
import zipfile
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path, PurePosixPath
from typing import Any, Final

from sqlalchemy import Connection

from cringle.boat.write import sync_directory
from cringle.book.check import check_database, check_files
from cringle.book.connect import engine_for, reading
from cringle.book.failures import explained
from cringle.book.files import PIECE_BYTES, replace_file, sha256_of, sync_file, temporary_beside
from cringle.book.migrate import bring_up_to_date
from cringle.book.names import DATABASE_NAME, LOGS_NAME, PLAYS_NAME
from cringle.book.past import entries_naming_files
from cringle.book.store import Book
from cringle.book.swap import put_in_place, require_unused
from cringle.errors import BookError, Finding, InputError

MANIFEST_NAME: Final = "manifest.json"
FORMAT: Final = "cringle backup"
VERSION: Final = 1
KEPT_DIRECTORIES: Final = (PLAYS_NAME, LOGS_NAME)


@dataclass(frozen=True)
class BackupReport:
    """What a backup holds."""

    path: Path
    files: int
    bytes: int
    entries: int
    made_at: datetime


@dataclass(frozen=True)
class RestoreReport:
    """Where a backup was brought back to, and where the book that stood there is now."""

    directory: Path
    files: int
    replaced: Path | None


def backup(book: Book, target: Path, *, replace: bool = False) -> BackupReport:
    """Write a whole book to one file: the database as of one instant, the TOML files, plays and logs.

    Caches are left out: they can be computed again. Others may write to the book meanwhile.

    Parameters
    ----------
    book : Book
        The opened book.
    target : Path
        The file to write; an existing one is kept unless `replace` is true.

    Raises
    ------
    InputError
        The target exists, or lies inside the book.
    BookError
        The disk is full, or the directory read-only.
    """
    if target.exists() and not replace:
        raise InputError(f"{target}: is there already", next_step="give another name, or --replace")
    if target.resolve().is_relative_to(book.logs.resolve()):
        raise InputError(
            f"{target}: lies among the book's own logs", next_step="give a place outside the book"
        )
    with explained(target):
        part, snapshot = temporary_beside(target), temporary_beside(target)
        try:
            entries = _snapshot(book.path, snapshot)
            made_at = datetime.now(UTC)
            members = [(DATABASE_NAME, snapshot), *_members(book.directory)]
            total = _pack(part, members, made_at)
            part.chmod(0o644)
            replace_file(part, target)
        finally:
            part.unlink(missing_ok=True)
            snapshot.unlink(missing_ok=True)
    return BackupReport(target, len(members), total, entries, made_at)


def _snapshot(database: Path, target: Path) -> int:
    """Copy a database that is in use, as of one instant; return how many entries it holds."""
    with closing(sqlite3.connect(database)) as source, closing(sqlite3.connect(target)) as copy:
        source.backup(copy)
        copy.execute("PRAGMA journal_mode = DELETE")
        return int(copy.execute("SELECT count(*) FROM entry").fetchone()[0])


def _members(directory: Path) -> Iterator[tuple[str, Path]]:
    for path in sorted(directory.glob("*.toml")):
        yield path.name, path
    for name in KEPT_DIRECTORIES:
        for path in sorted((directory / name).rglob("*")):
            if path.is_file() and not path.name.endswith((".part", ".tmp")):
                yield path.relative_to(directory).as_posix(), path


def _pack(part: Path, members: list[tuple[str, Path]], made_at: datetime) -> int:
    listed = []
    with zipfile.ZipFile(part, "w", compression=zipfile.ZIP_DEFLATED) as archive:
        for name, path in members:
            archive.write(path, name)
            listed.append({"name": name, "sha256": sha256_of(path), "bytes": path.stat().st_size})
        manifest = {"format": FORMAT, "version": VERSION, "made_at": made_at.isoformat(), "files": listed}
        archive.writestr(MANIFEST_NAME, json.dumps(manifest, indent=1))
    return sum(path.stat().st_size for _, path in members)


def restore_backup(file: Path, target: Path, *, replace: bool = False) -> RestoreReport:
    """Bring a backup back as the book in a directory, after checking all of it.

    Nothing is touched before every file has the digest of the manifest and the database is whole. A book that
    stands there is moved aside, never deleted.

    Parameters
    ----------
    file : Path
        What `backup` wrote.
    target : Path
        The book's directory.
    replace : bool
        Whether a book that stands there may be moved aside.

    Raises
    ------
    InputError
        There is no such file, or a book stands there and `replace` is false.
    BookError
        The backup is damaged or incomplete, or the book is in use.
    """
    if not file.is_file():
        raise InputError(f"{file}: no such file", next_step="give the path of a backup")
    if target.exists() and not replace and any(target.iterdir()):
        raise InputError(f"{target}: is not empty", next_step="choose another directory, or add --replace")
    with explained(target):
        target.parent.mkdir(parents=True, exist_ok=True)
        fresh = Path(tempfile.mkdtemp(prefix=f".{target.name}.", suffix=".part", dir=target.parent))
        try:
            count = _unpack(file, fresh)
            _verify(file, fresh)
            fresh.chmod(0o755)
            require_unused(target / DATABASE_NAME)
        except BaseException:
            shutil.rmtree(fresh, ignore_errors=True)
            raise
        return RestoreReport(target, count, put_in_place(fresh, target))


def _unpack(file: Path, fresh: Path) -> int:
    try:
        with zipfile.ZipFile(file) as archive:
            listed = _manifest(file, archive)
            for one in listed:
                _extract(file, archive, fresh, one)
    except (zipfile.BadZipFile, zipfile.LargeZipFile, EOFError, NotImplementedError) as error:
        raise _damaged(file, str(error)) from error
    except (zipfile.zlib.error, KeyError) as error:  # type: ignore[attr-defined]  # zlib as zipfile found it
        raise _damaged(file, str(error)) from error
    return len(listed)


def _manifest(file: Path, archive: zipfile.ZipFile) -> list[dict[str, Any]]:
    if MANIFEST_NAME not in archive.namelist():
        raise _damaged(file, f"no {MANIFEST_NAME} in it")
    try:
        manifest = json.loads(archive.read(MANIFEST_NAME))
        listed = [{"name": str(one["name"]), "sha256": str(one["sha256"])} for one in manifest["files"]]
        kind = (manifest["format"], manifest["version"])
    except (ValueError, TypeError, KeyError) as error:
        raise _damaged(file, f"{MANIFEST_NAME} cannot be read") from error
    if kind != (FORMAT, VERSION):
        raise _damaged(file, f"of another kind or a newer Cringle: {kind}")
    names = [one["name"] for one in listed]
    if sorted([*names, MANIFEST_NAME]) != sorted(archive.namelist()):
        raise _damaged(file, f"its files are not the ones {MANIFEST_NAME} lists")
    if DATABASE_NAME not in names:
        raise _damaged(file, f"no {DATABASE_NAME} in it")
    return listed


def _extract(file: Path, archive: zipfile.ZipFile, fresh: Path, one: dict[str, Any]) -> None:
    name = PurePosixPath(one["name"])
    inside = len(name.parts) == 1 or name.parts[0] in KEPT_DIRECTORIES
    if name.is_absolute() or ".." in name.parts or not inside or "\\" in one["name"]:
        raise _damaged(file, f"{one['name']!r} is no file of a book")
    path = fresh.joinpath(*name.parts)
    path.parent.mkdir(parents=True, exist_ok=True)
    with archive.open(one["name"]) as packed, path.open("wb") as out:
        shutil.copyfileobj(packed, out, PIECE_BYTES)
    if sha256_of(path) != one["sha256"]:
        raise _damaged(file, f"{one['name']} has not the SHA-256 that {MANIFEST_NAME} gives")
    sync_file(path)
    sync_directory(path.parent)


def _verify(file: Path, fresh: Path) -> None:
    """Check the unpacked database and the files it names, and bring it up to date."""
    database = fresh / DATABASE_NAME
    engine = engine_for(database)
    try:
        bring_up_to_date(engine, database)
        with reading(engine, database) as connection:
            findings = _findings(connection, database, fresh)
    finally:
        engine.dispose()
    if findings:
        raise _damaged(file, "; ".join(one.message for one in findings[:3]))


def _findings(connection: Connection, database: Path, fresh: Path) -> list[Finding]:
    found = check_database(connection, database)
    return found or check_files(fresh, entries_naming_files(connection))


def _damaged(file: Path, what: str) -> BookError:
    return BookError(
        f"{file}: this backup cannot be used ({what}); nothing was replaced",
        next_step="take another backup file",
    )
