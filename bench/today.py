"""``cringle today``: from a cold start, and out of ten years of history inside the process."""

from __future__ import annotations

import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

from cringle.boat.read import read_book_files
from cringle.book.entries import REGARDLESS, NewEntry
from cringle.book.store import Book
from cringle.settings.answer import answer
from cringle.settings.csv_table import read_table_csv
from cringle.settings.records import TonightRequest
from cringle.workflows.numbers.csv import import_csv, vocabulary
from cringle.workflows.numbers.entries import cell_entry
from cringle.workflows.numbers.tonight import boat_of, tonight_records

EXAMPLES = Path(__file__).parents[1] / "examples"
FILES = ("class.toml", "boat.toml", "crew.toml", "survey.toml")
ENTRIES, BATCH = 100_000, 500
COLD_RUNS, WARM_RUNS, DISCARDED = 12, 30, 3
COLD_TARGET_S, READ_TARGET_MS = 0.6, 20.0
HEAVY = ("scipy", "polars", "alembic", "altair", "vl_convert", "typst", "lxml", "ortools", "distributed")
SHOWN_IMPORTS = 12
ARGUMENTS = ("today", "--wind", "11", "--json")


def demo_book(folder: Path) -> Path:
    """Make a book of the demo boat with its table and return its folder."""
    folder.mkdir()
    for name in FILES:
        shutil.copyfile(EXAMPLES / name, folder / name)
    with Book.open(folder, create=True, who="bench"):
        pass
    import_csv(folder, EXAMPLES / "table.csv", EXAMPLES / "cues.csv", who="bench")
    return folder


class _Years:
    """A clock that spreads the entries over ten years."""

    def __init__(self) -> None:
        self.now = datetime(2016, 5, 1, tzinfo=UTC)

    def __call__(self) -> datetime:
        self.now += timedelta(days=3650) * BATCH / ENTRIES
        return self.now


def _history(folder: Path) -> Iterator[NewEntry]:
    """Yield the demo's cells over and over, each time written regardless of the last."""
    files = read_book_files(folder)
    cells = read_table_csv(EXAMPLES / "table.csv", vocabulary(files))
    while True:
        for cell in cells:
            yield replace(cell_entry(cell, None), base_id=REGARDLESS)


def fill(folder: Path) -> None:
    """Write ten years of changes into a book."""
    source = _history(folder)
    with Book.open(folder, who="bench", clock=_Years()) as book:
        for _ in range(ENTRIES // BATCH):
            book.write([next(source) for _ in range(BATCH)], why="ten years")


def cold_start_s(folder: Path) -> list[float]:
    """Return the seconds that each of several fresh processes took, output thrown away."""
    found = []
    command = [sys.executable, "-c", "from cringle.cli.main import run; run()", *ARGUMENTS]
    for _ in range(COLD_RUNS):
        start = time.perf_counter()
        subprocess.run([*command, "--book", str(folder)], check=True, stdout=subprocess.DEVNULL)
        found.append(time.perf_counter() - start)
    return found


def import_budget(folder: Path) -> tuple[dict[str, float], list[str]]:
    """Return the milliseconds each top package takes to import, and heavy packages that were loaded."""
    code = (
        "import sys\nfrom cringle.cli.main import run\n"
        "try:\n    run()\nfinally:\n"
        "    print('loaded:', *sorted({m.partition('.')[0] for m in sys.modules}), file=sys.stderr)\n"
    )
    done = subprocess.run(
        [sys.executable, "-X", "importtime", "-c", code, *ARGUMENTS, "--book", str(folder)],
        check=True,
        capture_output=True,
        text=True,
        env={**os.environ, "PYTHONIOENCODING": "utf-8"},
    )
    spent: dict[str, float] = {}
    loaded: list[str] = []
    for line in done.stderr.splitlines():
        if line.startswith("import time:") and line.split("|")[0].split(":")[1].strip().isdigit():
            own, _, name = line.removeprefix("import time:").split("|")
            top = name.strip().partition(".")[0]
            spent[top] = spent.get(top, 0.0) + int(own) / 1000.0
        elif line.startswith("loaded:"):
            loaded = [name for name in line.split()[1:] if name in HEAVY]
    return spent, loaded


def best_and_median_ms(act: Callable[[], object]) -> tuple[float, float]:
    """Return the best and the median milliseconds of an act, the first few runs thrown away."""
    found = []
    for _ in range(WARM_RUNS + DISCARDED):
        start = time.perf_counter()
        act()
        found.append(1000.0 * (time.perf_counter() - start))
    kept = found[DISCARDED:]
    return min(kept), statistics.median(kept)


def _row(name: str, ours: float | str, unit: str, target: float | str, *, ok: bool) -> dict[str, object]:
    row: dict[str, object] = {"name": name, "ours": ours, "theirs": None, "ratio": None, "unit": unit}
    return {**row, "target": target, "ok": ok}


def _below(name: str, ours: float, unit: str, target: float) -> dict[str, object]:
    return _row(name, ours, unit, f"< {target:g}", ok=ours < target)


def rows() -> list[dict[str, object]]:
    """Return the measured rows: cold start (best and median), heavy imports, and the read in the process."""
    with tempfile.TemporaryDirectory() as place:
        folder = demo_book(Path(place) / "book")
        cold = cold_start_s(folder)
        spent, loaded = import_budget(folder)
        _print_budget(spent)
        fill(folder)
        boat = boat_of(read_book_files(folder))
        request = TonightRequest(wind_kn=11.0)
        with Book.open(folder) as book:
            read_ms, usual_ms = best_and_median_ms(lambda: tonight_records(book, "main+jib"))
            whole_ms, _ = best_and_median_ms(lambda: answer(boat, tonight_records(book, "main+jib"), request))
        aged = cold_start_s(folder)
    return [
        _below("cringle today, cold start, best", min(cold), "s", COLD_TARGET_S),
        _row("cringle today, cold start, median", statistics.median(cold), "s", "", ok=True),
        _below(f"the same with {ENTRIES:,} entries, best", min(aged), "s", COLD_TARGET_S),
        _row("heavy packages loaded", ", ".join(loaded) or "none", "", "none", ok=not loaded),
        _below(f"tonight's records out of {ENTRIES:,} entries, best", read_ms, "ms", READ_TARGET_MS),
        _row("the same, median", usual_ms, "ms", "", ok=True),
        _below("records and the whole answer, best", whole_ms, "ms", READ_TARGET_MS),
    ]


def _print_budget(spent: dict[str, float]) -> None:
    print("import budget of `cringle today`, own time [ms]:")
    for name, milliseconds in sorted(spent.items(), key=lambda one: -one[1])[:SHOWN_IMPORTS]:
        print(f"  {name:<20}{milliseconds:8.1f}")
    print(f"  {'everything':<20}{sum(spent.values()):8.1f}")


if __name__ == "__main__":
    for row in rows():
        print(row)
