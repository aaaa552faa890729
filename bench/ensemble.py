"""The ensemble of targets, its branches against the full search, and a kept answer for ``cringle today``."""

from __future__ import annotations

import os
import shutil
import statistics
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np

from cringle.boat.read import read_book_files
from cringle.book.store import Book
from cringle.settings.answer import answer
from cringle.settings.records import Records, TonightRequest
from cringle.settings.table import Table
from cringle.speed.ensemble import members
from cringle.speed.ensemble_targets import ensemble_targets
from cringle.speed.model import SpeedModel
from cringle.speed.targets import targets
from cringle.workflows.numbers.tonight import boat_of
from cringle.workflows.speed.cache import CACHE_VARIABLE
from cringle.workflows.speed.tonight import answers_for, model_answers, silent

EXAMPLES = Path(__file__).parents[1] / "examples"
FILES = ("class.toml", "boat.toml", "crew.toml", "survey.toml")
WINDS = np.array([5.0, 7.0, 9.0, 11.0, 13.0, 15.0, 18.0, 22.0])
MEMBERS, RECHECKED = 64, 8
TARGET_S, READ_TARGET_MS, WORST_SHARE = 3.0, 20.0, 0.03


def _timed(act: Callable[[], object], repeats: int) -> list[float]:
    found = []
    for _ in range(repeats):
        start = time.perf_counter()
        act()
        found.append(time.perf_counter() - start)
    return found


def _row(name: str, ours: float, unit: str, target: str, ok: bool | None) -> dict[str, object]:
    row: dict[str, object] = {"name": name, "ours": ours, "theirs": None, "ratio": None, "unit": unit}
    return {**row, "target": target, "ok": ok}


def rechecked() -> float:
    """Return the 95 per cent point of the share by which the quick search of a member misses the full one."""
    files = read_book_files(EXAMPLES)
    model = SpeedModel.from_files(files.class_file, files.crew_file)
    boats = members(model, count=RECHECKED)
    misses = []
    for case in (model.upwind, *model.run):
        drawn = ensemble_targets(boats, WINDS, cases=[case])[case.name]
        for boat, quick in zip(boats, drawn[:, 2], strict=True):
            full = targets(boat, WINDS, case=case).made_good_kn
            both = np.isfinite(full) & np.isfinite(quick)
            misses += np.abs(quick[both] / full[both] - 1.0).tolist()
    return float(np.percentile(misses, 95.0))


def kept_read_ms(folder: Path) -> tuple[float, float]:
    """Return the median milliseconds of a kept answer alone, and with files and records read anew."""
    request = TonightRequest(wind_kn=11.0)
    model_answers(folder, request)
    files = read_book_files(folder)
    own = answer(boat_of(files), Records(Table.of(())), request)

    def alone() -> object:
        return answers_for(folder, files, None, (request, own), silent)

    every = _timed(lambda: model_answers(folder, request), 25)
    return 1000.0 * statistics.median(_timed(alone, 25)), 1000.0 * statistics.median(every)


def rows() -> list[dict[str, object]]:
    """Return the measured rows."""
    files = read_book_files(EXAMPLES)
    model = SpeedModel.from_files(files.class_file, files.crew_file)
    cases = (model.upwind, *model.run)

    def whole() -> object:
        return ensemble_targets(members(model, count=MEMBERS), WINDS, cases=cases)

    best = min(_timed(whole, 3))
    half = min(_timed(lambda: ensemble_targets(members(model, count=MEMBERS // 2), WINDS, cases=cases), 2))
    miss = rechecked()
    with tempfile.TemporaryDirectory() as place:
        os.environ[CACHE_VARIABLE] = str(Path(place) / "cache")
        folder = Path(place) / "book"
        folder.mkdir()
        for name in FILES:
            shutil.copyfile(EXAMPLES / name, folder / name)
        with Book.open(folder, create=True, who="bench"):
            pass
        read_ms, whole_ms = kept_read_ms(folder)
        del os.environ[CACHE_VARIABLE]
    return [
        _row(f"{MEMBERS} members, {len(cases)} cases, {WINDS.size} winds", best, "s", f"< {TARGET_S:g}",
             best < TARGET_S),
        _row("the same over half as many members", best / half, "1", "about 2", None),
        _row(f"quick search against the full one, {RECHECKED} members, 95 %", 100.0 * miss, "%",
             f"< {100 * WORST_SHARE:g}", miss < WORST_SHARE),
        _row("kept answer for today", read_ms, "ms", f"< {READ_TARGET_MS:g}", read_ms < READ_TARGET_MS),
        _row("the same, files and records read anew", whole_ms, "ms", "", None),
    ]  # fmt: skip


if __name__ == "__main__":
    for row in rows():
        print(row)
