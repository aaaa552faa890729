"""Writing a file of a book: comments and order survive; a reader sees the old file or the new, never half."""

from __future__ import annotations

import os
import secrets
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from cringle.errors import BookError, InputError


def write_atomically(path: Path, data: bytes, *, mode: int = 0o644) -> None:
    """Write a file so that it is on disk when this returns, or unchanged.

    Parameters
    ----------
    path : Path
        Target; its directory must exist.
    data : bytes
        The whole new content.
    mode : int
        Who may read and write it.

    Raises
    ------
    BookError
        The directory is read-only, the disk is full, or the like; the old file is untouched.
    """
    temporary = path.with_name(f".{path.name}.{secrets.token_hex(4)}.tmp")
    try:
        handle = os.open(temporary, os.O_WRONLY | os.O_CREAT | os.O_EXCL, mode)
        with os.fdopen(handle, "wb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
        temporary.replace(path)
        sync_directory(path.parent)
    except OSError as error:
        temporary.unlink(missing_ok=True)
        raise BookError(
            f"{path}: could not be written ({error.strerror}); the old file is untouched",
            next_step="free some space or check the permissions of the folder, then try again",
        ) from error


def sync_directory(folder: Path) -> None:
    """Make a rename in a directory last through a power cut."""
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def set_value(path: Path, place: Sequence[str | int], value: Any) -> None:
    """Change one value of a TOML file and keep its comments; see `set_values`."""
    set_values(path, [(place, value)])


def set_values(path: Path, changes: Sequence[tuple[Sequence[str | int], Any]]) -> None:
    """Change several values of a TOML file at once, all of them or none, and keep its comments.

    Parameters
    ----------
    path : Path
        The file.
    changes : sequence of (place, value)
        Place of the field, such as ``("controls", 2, "step")``, items counted from 0; value anything TOML
        can hold; None takes the field out.

    Raises
    ------
    InputError
        There is no such table in the file; nothing is written.
    BookError
        The file cannot be written.
    """
    import tomlkit

    document = tomlkit.parse(path.read_text(encoding="utf-8"))
    for place, value in changes:
        table: Any = document
        for part in place[:-1]:
            try:
                table = table[part]
            except (KeyError, IndexError) as error:
                raise InputError(
                    f"{path}: there is no table {part!r} at {list(place)}",
                    next_step="run: cringle book check",
                ) from error
        if value is None:
            table.pop(place[-1], None)
        else:
            table[place[-1]] = value
    write_atomically(path, tomlkit.dumps(document).encode("utf-8"))


def append_tables(path: Path, name: str, tables: Sequence[Mapping[str, Any]]) -> None:
    """Add tables to an array of tables of a TOML file and keep its comments.

    Parameters
    ----------
    path : Path
        The file.
    name : str
        Name of the array, such as ``items``; made when it is not there.
    tables : sequence of mapping
        The new tables, in order.

    Raises
    ------
    BookError
        The file cannot be written.
    """
    import tomlkit

    document = tomlkit.parse(path.read_text(encoding="utf-8"))
    if name not in document:
        document.add(name, tomlkit.aot())
    array: Any = document[name]
    for values in tables:
        table = tomlkit.table()
        for key, value in values.items():
            table.add(key, value)
        table.add(tomlkit.nl())
        array.append(table)
    write_atomically(path, tomlkit.dumps(document).encode("utf-8"))
