"""Kill a writing process again and again at random instants, and look at what stands afterwards.

Run as a program, so that it forks while it has one thread: ``python killed.py JOB DIRECTORY KILLS SEED``.
Prints one JSON object. The child says ``s`` before a write and ``d`` after it returned; whatever it said
``d`` about must stand.
"""

from __future__ import annotations

import json
import os
import random
import shutil
import signal
import sys
import time
from collections.abc import Callable
from pathlib import Path

from cringle.boat.write import write_atomically
from cringle.book.backup import backup, restore_backup
from cringle.book.entries import REGARDLESS, NewEntry
from cringle.book.store import Book
from cringle.errors import BookError

CELLS = 5
MOST_STEPS = 4

Step = Callable[[int], None]


def batch(number: int) -> list[NewEntry]:
    """Return cells that must always show the same number."""
    return [NewEntry("setting", f"c{cell}", {"value": number}, base_id=REGARDLESS) for cell in range(CELLS)]


def kill_once(work: Callable[[Step], None], chance: random.Random) -> tuple[int, bool]:
    """Let a child work, kill it, and return how many steps it acknowledged and whether one was under way.

    It is killed after a random number of steps and a random part of the time that one step takes here.
    """
    reader, writer = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(reader)
        work(lambda mark: os.write(writer, b"d" if mark else b"s") and None)
        os._exit(0)
    os.close(writer)
    said = b""
    wanted, started = chance.randint(0, MOST_STEPS), time.monotonic()
    while not said or said.count(b"d") < wanted:
        if not (mark := os.read(reader, 1)):
            raise SystemExit("the child stopped by itself")
        said += mark
    step_s = (time.monotonic() - started) / max(said.count(b"d"), 1)
    time.sleep(chance.uniform(0.0, step_s))
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    while piece := os.read(reader, 65536):
        said += piece
    os.close(reader)
    return said.count(b"d"), said.endswith(b"s")


def write_job(directory: Path, kills: int, chance: random.Random) -> dict[str, int]:
    """Kill during `Book.write`; the number in the cells tells how far it came."""
    reached = acknowledged = under_way = 0
    Book.open(directory, create=True).close()
    for _ in range(kills):
        start = reached

        def work(tell: Step, start: int = start) -> None:
            with Book.open(directory, who="child") as book:
                for number in range(start + 1, start + 1_000_000):
                    tell(0)
                    book.write(batch(number), why="x")
                    tell(1)

        done, busy = kill_once(work, chance)
        acknowledged += done
        under_way += busy
        with Book.open(directory) as book:
            values = {entry.value for entry in book.current("setting")}
            counts = [len(book.history("setting", subject=f"c{cell}")) for cell in range(CELLS)]
        reached = next(iter(values), 0)
        if len(values) > 1 or len(set(counts)) > 1:
            raise SystemExit(f"half-written: {values} {counts}")
        if not start + done <= reached <= start + done + busy:
            raise SystemExit(f"acknowledged up to {start + done}, found {reached}")
    with Book.open(directory) as book:
        if problems := book.check():
            raise SystemExit(str(problems[0]))
        if [entry.value for entry in book.history("setting", subject="c0")] != list(range(1, reached + 1)):
            raise SystemExit("the history has a gap")
    return {"kills": kills, "acknowledged": acknowledged, "under_way": under_way}


def toml_job(directory: Path, kills: int, chance: random.Random) -> dict[str, int]:
    """Kill during the writing of a TOML file; a reader sees a whole one, as new as the last acknowledged."""
    directory.mkdir()
    path = directory / "boat.toml"
    write_atomically(path, text(0))
    acknowledged = under_way = 0
    for _ in range(kills):
        start = number_of(path)

        def work(tell: Step, start: int = start) -> None:
            for number in range(start + 1, start + 1_000_000):
                tell(0)
                write_atomically(path, text(number))
                tell(1)

        done, busy = kill_once(work, chance)
        acknowledged += done
        under_way += busy
        if not start + done <= number_of(path) <= start + done + busy:
            raise SystemExit(f"acknowledged {start + done}, found {number_of(path)}")
    return {"kills": kills, "acknowledged": acknowledged, "under_way": under_way}


def text(number: int) -> bytes:
    return f"number = {number}\n".encode() + b"# filler\n" * 4000


def number_of(path: Path) -> int:
    data = path.read_bytes()
    number = int(data.split(b"\n", 1)[0].removeprefix(b"number = "))
    if data != text(number):
        raise SystemExit(f"half a file: {len(data)} bytes")
    return number


def backup_job(directory: Path, kills: int, chance: random.Random) -> dict[str, int]:
    """Kill during backups that replace each other; the file is always a whole backup."""
    target = directory.parent / "b.zip"
    under_way = acknowledged = 0
    with Book.open(directory, create=True) as book:
        for number in range(200):
            book.write(batch(number), why="some history")
        backup(book, target)
    for turn in range(kills):

        def work(tell: Step) -> None:
            with Book.open(directory) as book:
                while True:
                    tell(0)
                    backup(book, target, replace=True)
                    tell(1)

        done, busy = kill_once(work, chance)
        acknowledged += done
        under_way += busy
        restore_backup(target, directory.parent / f"again{turn}")
        shutil.rmtree(directory.parent / f"again{turn}")
    return {"kills": kills, "acknowledged": acknowledged, "under_way": under_way}


def restore_job(directory: Path, kills: int, chance: random.Random) -> dict[str, int]:
    """Kill while a backup replaces the book; a whole book always stands in its place."""
    under_way = acknowledged = 0
    with Book.open(directory, create=True) as book:
        for number in range(100):
            book.write(batch(number), why="some history")
        backup(book, directory.parent / "b.zip")
    for _ in range(kills):

        def work(tell: Step) -> None:
            while True:
                tell(0)
                try:
                    restore_backup(directory.parent / "b.zip", directory, replace=True)
                except BookError as error:
                    raise SystemExit(str(error)) from error
                tell(1)

        done, busy = kill_once(work, chance)
        acknowledged += done
        under_way += busy
        with Book.open(directory) as book:
            if book.check() or len(book.current("setting")) != CELLS:
                raise SystemExit("no whole book stands there")
        for left in directory.parent.iterdir():
            if left.name.startswith((f"{directory.name}.before-", f".{directory.name}.")):
                shutil.rmtree(left)
    return {"kills": kills, "acknowledged": acknowledged, "under_way": under_way}


JOBS = {"write": write_job, "toml": toml_job, "backup": backup_job, "restore": restore_job}

if __name__ == "__main__":
    name, where, how_often, seed = sys.argv[1:]
    report = JOBS[name](Path(where), int(how_often), random.Random(int(seed)))
    sys.stdout.write(json.dumps(report))
