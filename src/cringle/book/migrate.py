"""Making the database of a book, and bringing an older one up to date."""

from __future__ import annotations

import os
from pathlib import Path

from sqlalchemy import Connection, Engine, text
from sqlalchemy.exc import OperationalError

from cringle.boat.write import sync_directory
from cringle.book.connect import engine_for, reading, writing
from cringle.book.failures import explained
from cringle.book.files import sync_file, temporary_beside
from cringle.book.schema import HEAD_REVISION
from cringle.errors import BookError

MIGRATIONS = Path(__file__).parent / "migrations"


def stored_revision(connection: Connection) -> str | None:
    """Return the revision a database stores, or None when it stores none."""
    try:
        return connection.execute(text("SELECT version_num FROM alembic_version")).scalar_one_or_none()
    except OperationalError as error:
        if "no such table" in str(error.orig):
            return None
        raise


def upgrade(connection: Connection, revision: str = HEAD_REVISION) -> None:
    """Run the missing migrations inside the transaction of the connection."""
    from alembic import command
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS))
    config.attributes["connection"] = connection
    command.upgrade(config, revision)


def make_database(path: Path, revision: str = HEAD_REVISION) -> None:
    """Make an empty database, whole or not at all; one that another process just made is left alone."""
    with explained(path):
        part = temporary_beside(path)
        try:
            engine = engine_for(part)
            with writing(engine, part) as connection:
                upgrade(connection, revision)
            _log_ahead(engine)
            sync_file(part)
            part.chmod(0o644)
            _give_name(part, path)
            sync_directory(path.parent)
        finally:
            part.unlink(missing_ok=True)


def _log_ahead(engine: Engine) -> None:
    """Switch to write-ahead logging, which stays with the file; it cannot be done inside a transaction."""
    pooled = engine.raw_connection()
    try:
        pooled.cursor().execute("PRAGMA journal_mode = WAL")
    finally:
        pooled.close()


def _give_name(part: Path, path: Path) -> None:
    """Name the finished database unless one stands there already (a link fails where a rename replaces)."""
    try:
        os.link(part, path)
    except FileExistsError:
        return
    except OSError:  # a file system without links, such as a memory stick's
        if not path.exists():
            os.replace(part, path)  # noqa: PTH105 - traced by this name


def bring_up_to_date(engine: Engine, path: Path) -> None:
    """Migrate a database that an older Cringle made; refuse one that a newer Cringle made.

    Raises
    ------
    BookError
        The stored revision is unknown here, or the file is no book.
    """
    with reading(engine, path) as connection:
        stored = stored_revision(connection)
        mode = connection.exec_driver_sql("PRAGMA journal_mode").scalar_one()
    if stored is not None and mode != "wal":
        with explained(path):
            _log_ahead(engine)
    if stored == HEAD_REVISION:
        return
    _refuse_foreign(path, stored)
    with writing(engine, path) as connection:
        if stored_revision(connection) != HEAD_REVISION:
            upgrade(connection)


def _refuse_foreign(path: Path, stored: str | None) -> None:
    if stored is None:
        raise BookError(
            f"{path}: is a database but no book", next_step="choose another directory, or restore a backup"
        )
    known = {one.name.split("_")[0] for one in (MIGRATIONS / "versions").glob("[0-9]*.py")}
    if stored not in known:
        raise BookError(
            f"{path}: was written by a newer Cringle (revision {stored}; this one knows {HEAD_REVISION})",
            next_step="install the newer Cringle, or restore a backup made with this one",
        )
