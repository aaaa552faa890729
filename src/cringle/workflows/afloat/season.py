"""A season: one row for each log and leg over a folder; unchanged files are not read again."""

from __future__ import annotations

import csv
import hashlib
import io
import json
import os
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Final

from cringle.boat.read import read_book_files
from cringle.boat.write import write_atomically
from cringle.book.names import DATABASE_NAME
from cringle.errors import BookError, InputError
from cringle.output import season_page, season_pdf
from cringle.output.season_words import SeasonView
from cringle.track.reading.options import ReadOptions
from cringle.track.season.season import (
    EMPTY,
    SeasonFile,
    SeasonTask,
    corrections_mark,
    season_file_from,
    signature,
)
from cringle.track.season.trends import Group, Trend, groups, log_means, trends
from cringle.workflows.afloat.corrections_kept import all_in_force
from cringle.workflows.afloat.logs_race import RaceWishes, race_options
from cringle.workflows.afloat.season_book import joined_to_book
from cringle.workflows.afloat.season_run import Run, run_in_processes, run_on_cluster
from cringle.workflows.speed.boat_polar import user_cache
from cringle.workflows.speed.cache import cache_folder

SUFFIXES: Final = frozenset({".nmea", ".nme", ".log", ".txt", ".gpx", ".csv"})
"""Files that are taken for logs; everything else in the folder is left alone."""

SCHEMA: Final = 1
JOINED: Final = ("outing", "crew", "sail_hours", "settings")

Told = Callable[[int, int, str], None]
"""Called with files done, files in all, and the file just done."""


def tell_nobody(done: int, total: int, path: str) -> None:
    """Ignore progress."""
    del done, total, path


@dataclass(frozen=True)
class SeasonAsked:
    """What to do.

    Parameters
    ----------
    folder : Path
        With logs in it, at any depth.
    book : Path or None
        Gives polar, and the outings the logs belong to.
    read : ReadOptions
        What logs do not say themselves.
    race : RaceWishes
        Wind, baseline.
    workers : int or None
        Local processes; None takes one for each core.
    cluster : str or None
        Address of a dask scheduler, instead of local processes.
    again : bool
        Read unchanged files too.
    """

    folder: Path
    book: Path | None = None
    read: ReadOptions = field(default_factory=ReadOptions)
    race: RaceWishes = field(default_factory=RaceWishes)
    workers: int | None = None
    cluster: str | None = None
    again: bool = False


@dataclass(frozen=True)
class Season:
    """A season.

    Parameters
    ----------
    rows : tuple of dict
        One for each log and leg, by file and time.
    failed : tuple of SeasonFile
        Logs that gave none, and why.
    files, unchanged : int
        Logs in all, and those that were not read again.
    trends : tuple of Trend
        What goes with what.
    groups : tuple of Group
        Means by the people aboard.
    means : tuple of dict
        One for each log and day: what trends are drawn through.
    boat : str or None
        Her name, from the book.
    """

    rows: tuple[dict[str, Any], ...]
    failed: tuple[SeasonFile, ...]
    files: int
    unchanged: int
    trends: tuple[Trend, ...]
    groups: tuple[Group, ...]
    means: tuple[dict[str, Any], ...] = ()
    boat: str | None = None

    def to_json(self) -> dict[str, Any]:
        """Return it as plain values."""
        return {
            "schema": SCHEMA,
            "files": self.files,
            "unchanged": self.unchanged,
            "failed": [{"file": one.path, "error": one.error} for one in self.failed],
            "rows": list(self.rows),
            "trends": [one.to_json() for one in self.trends],
            "groups": [vars(one) for one in self.groups],
            "days": list(self.means),
        }

    def to_csv(self) -> bytes:
        """Return the rows as CSV."""
        columns = ["file", "sha256", "log_start", "day", *EMPTY, *JOINED]
        text = io.StringIO()
        table = csv.DictWriter(text, columns, extrasaction="ignore", lineterminator="\n")
        table.writeheader()
        table.writerows({**row, "settings": _settings_text(row)} for row in self.rows)
        return text.getvalue().encode("utf-8")


def _settings_text(row: dict[str, Any]) -> str:
    return "; ".join(f"{role}={value:g}" for role, value in sorted((row.get("settings") or {}).items()))


def season(asked: SeasonAsked, told: Told = tell_nobody) -> Season:
    """Return a season; each log is kept as it is done, so that a run that was stopped goes on where it was.

    Parameters
    ----------
    asked : SeasonAsked
        Folder, book, how to run it.
    told : callable
        Told after each file.

    Raises
    ------
    InputError
        There is no such folder, no log in it, or no cluster.
    CringleError
        The cluster went away; the logs done are kept.
    """
    paths = logs_in(asked.folder)
    race = race_options(asked.book, asked.race, targets_deg={})
    zone, said = _zone_of(asked.book), all_in_force(asked.book)
    tasks = [SeasonTask(str(path), asked.read, race, zone, said) for path in paths]
    kept = _Kept(asked)
    before = {} if asked.again else kept.read(tasks)
    left = [task for task in tasks if task.path not in before]
    found = dict(before)
    for count, one in enumerate(_runner(asked)(left), start=1):
        kept.write(one)
        found[one.path] = one
        told(len(before) + count, len(tasks), one.path)
    return _season([found[task.path] for task in tasks], len(before), asked)


def _zone_of(book: Path | None) -> str:
    return "UTC" if book is None else read_book_files(book).boat_file.boat.time_zone


def _season(files: Sequence[SeasonFile], unchanged: int, asked: SeasonAsked) -> Season:
    bare = [dict(row) for one in files for row in one.rows]
    has_book = asked.book is not None and (asked.book / DATABASE_NAME).is_file()
    rows = joined_to_book(bare, asked.book) if has_book and asked.book is not None else bare
    means = log_means(rows)
    return Season(
        rows=tuple(rows),
        failed=tuple(one for one in files if one.error is not None),
        files=len(files),
        unchanged=unchanged,
        trends=tuple(trends(means)),
        groups=tuple(groups(means)),
        means=tuple(means),
        boat=None if asked.book is None else read_book_files(asked.book).boat_file.boat.name,
    )


def _runner(asked: SeasonAsked) -> Run:
    """Return what runs the files: processes here, or a cluster."""
    if asked.cluster is not None:
        address = asked.cluster
        return lambda tasks: run_on_cluster(tasks, address) if tasks else iter(())
    workers = asked.workers or os.cpu_count() or 1
    return lambda tasks: run_in_processes(tasks, workers)


def logs_in(folder: Path) -> list[Path]:
    """Return the logs in a folder at any depth, by name; a book's kept logs count as one each.

    Raises
    ------
    InputError
        There is no such folder, or no log in it.
    """
    if not folder.is_dir():
        raise InputError(f"{folder}: no such folder", next_step="name a folder with logs in it")
    kept = {path.parent for path in folder.rglob("log.json")}
    files = (path for path in folder.rglob("*") if path.suffix.lower() in SUFFIXES and path.is_file())
    loose = [path for path in files if not kept.intersection(path.parents)]
    found = sorted([*loose, *kept])
    if not found:
        raise InputError(
            f"{folder}: no log in it; looked for {', '.join(sorted(SUFFIXES))}",
            next_step="name the folder the logs are in",
        )
    return found


class _Kept:
    """Rows of files that are done, one small file each, under a hash of the log's stamp and the options."""

    def __init__(self, asked: SeasonAsked) -> None:
        base = user_cache() if asked.book is None else cache_folder(asked.book)
        self.folder = base / "season"
        self.keys: dict[str, str] = {}

    def read(self, tasks: Sequence[SeasonTask]) -> dict[str, SeasonFile]:
        """Return what is kept of files that have not changed, nor the corrections of what was found."""
        self._stamp(tasks)
        found = ((task, self._one(task.path)) for task in tasks)
        return {
            task.path: one
            for task, one in found
            if one is not None
            and one.corrected == corrections_mark(task.corrections.get(one.sha256 or "", ()))
        }

    def write(self, one: SeasonFile) -> None:
        """Keep the rows of a file; a cache that cannot be written is done without."""
        if one.path not in self.keys:
            self.keys[one.path] = _stamp_of(Path(one.path))
        try:
            self.folder.mkdir(parents=True, exist_ok=True)
            text = json.dumps(one.to_json(), allow_nan=False)
            write_atomically(self._path(one.path), text.encode("utf-8"))
        except (OSError, BookError):
            return

    def _stamp(self, tasks: Iterable[SeasonTask]) -> None:
        options = ""
        for task in tasks:
            options = options or signature(task)
            self.keys[task.path] = hashlib.sha256(
                f"{options} {_stamp_of(Path(task.path))}".encode()
            ).hexdigest()

    def _one(self, path: str) -> SeasonFile | None:
        try:
            return season_file_from(json.loads(self._path(path).read_text(encoding="utf-8")))
        except (OSError, ValueError, KeyError, TypeError):
            return None

    def _path(self, path: str) -> Path:
        return self.folder / f"{self.keys[path]}.json"


def _stamp_of(path: Path) -> str:
    """Return where a log is, how long, and when it was written: what changes when it changes."""
    target = next(iter(path.glob("original*")), path) if path.is_dir() else path
    try:
        found = target.stat()
    except OSError:
        return f"{path.resolve()} gone"
    return f"{path.resolve()} {found.st_size} {found.st_mtime_ns}"


def write_season_csv(found: Season, path: Path) -> None:
    """Write the rows as CSV, whole or not at all."""
    write_atomically(path, found.to_csv())


def season_view(found: Season) -> SeasonView:
    """Return a season as a page shows it."""
    return SeasonView(
        boat=found.boat,
        rows=found.rows,
        means=found.means,
        trends=found.trends,
        groups=found.groups,
        failed=tuple(failed_lines(found)),
        files=found.files,
    )


def write_season_html(found: Season, path: Path) -> None:
    """Write the season as one HTML page that needs nothing else, whole or not at all."""
    season_page.write_season_page(season_view(found), path)


def write_season_pdf(found: Season, path: Path) -> None:
    """Write the season as a PDF, whole or not at all."""
    season_pdf.write_season_pdf(season_view(found), path)


def failed_lines(found: Season) -> Iterator[str]:
    """Yield one line for each log that gave no row."""
    for one in found.failed:
        yield f"{one.path}: {one.error}"
