"""Shared by the tests of workflows: a book with a table and an evening that was sailed, and its debrief."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from trial_days import log_writer

from cringle.book.store import Book
from cringle.track.debrief.debrief import Debrief
from cringle.workflows.afloat.logs import debrief_log, read_into_book
from cringle.workflows.numbers.csv import import_csv
from cringle.workflows.outings.goals import set_goal
from cringle.workflows.outings.notes import WindSaid, note_wind
from cringle.workflows.outings.outing import Door, end_outing, start_outing

DAY = "2026-06-17"


@pytest.fixture(scope="session")
def sailed_once(tmp_path_factory: pytest.TempPathFactory, examples: Path) -> Path:
    """Return a book of one sailed evening, made once; read only."""
    folder = tmp_path_factory.mktemp("sailed") / "book"
    folder.mkdir()
    for name in ("class.toml", "boat.toml", "crew.toml", "survey.toml"):
        shutil.copyfile(examples / name, folder / name)
    Book.open(folder, create=True).close()
    import_csv(folder, examples / "table.csv", examples / "cues.csv", who="coach", why="first")
    start_outing(Door(folder, at=f"{DAY} 18:25"))
    note_wind(Door(folder, at=f"{DAY} 18:28"), WindSaid(11.0))
    set_goal(Door(folder), "heel within two degrees of the target upwind")
    read_into_book([examples / "evening.nmea"], book=folder, who="coach")
    end_outing(Door(folder, at=f"{DAY} 19:20"))
    debrief_log(Path("evening"), book=folder)
    return folder


@pytest.fixture
def sailed_book(sailed_once: Path, tmp_path: Path) -> Path:
    """Return a copy of the book of one sailed evening, to write in."""
    folder = tmp_path / "sailed"
    shutil.copytree(sailed_once, folder)
    return folder


@pytest.fixture(scope="session")
def raced(sailed_once: Path) -> Debrief:
    """Return the debrief of that evening."""
    return debrief_log(Path("evening"), book=sailed_once)


@pytest.fixture
def trial_folder(book_folder: Path, examples: Path) -> Path:
    Book.open(book_folder, create=True).close()
    import_csv(book_folder, examples / "table.csv", who="coach", why="first table")
    return book_folder


@pytest.fixture
def trial_logs(tmp_path: Path) -> Callable[..., Path]:
    """Return a writer of invented logs: upwind, tacking every 450 s, faster for a while."""
    return log_writer(tmp_path)
