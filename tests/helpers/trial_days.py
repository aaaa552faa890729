"""Invented days with a trial: planned, sailed, kept."""

from __future__ import annotations

import csv
import math
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np

from cringle.workflows.book_open import open_records
from cringle.workflows.outings.notes import WindSaid, note_wind
from cringle.workflows.outings.outing import Door, start_outing
from cringle.workflows.trials.records import Outcome, outcome_entry, outcomes
from cringle.workflows.trials.trial import (
    TrialWish,
    change_trial,
    plan_trial,
    start_trial,
    stop_trial,
)

ROLE = "jib_sheet_leeward"
START = datetime(2026, 5, 1, 17, 0, tzinfo=UTC)


def log_writer(folder: Path) -> Callable[..., Path]:
    """Return a writer of invented logs: upwind, tacking every 450 s, faster for a while."""

    def write(
        name: str,
        *,
        seed: int,
        east: float = 0.0,
        fast: tuple[int, int, float] = (0, 0, 0.0),
        late_s: int = 0,
    ) -> Path:
        rng, count = np.random.default_rng(seed), 2700
        noise = np.zeros(count)
        for second in range(1, count):
            noise[second] = 0.97 * noise[second - 1] + 0.25 * rng.standard_normal()
        seconds = np.arange(count)
        side = np.where((seconds // 450) % 2 == 0, 1.0, -1.0)
        more = np.where(
            (seconds >= fast[0]) & (seconds < fast[1]), fast[2] / 60.0 / math.cos(math.radians(42.0)), 0.0
        )
        course = np.radians(42.0 * side)
        speed = 2.8 + 0.05 * noise + more
        north, away = np.cumsum(speed * np.cos(course)), east + np.cumsum(speed * np.sin(course))
        path = folder / f"{name}.csv"
        with path.open("w", encoding="utf-8", newline="") as stream:
            rows = csv.writer(stream)
            rows.writerow(["time", "lat", "lon"])
            for n in range(count):
                at = START + timedelta(seconds=int(n) + late_s)
                rows.writerow(
                    [at.isoformat(), f"{54.0 + north[n] / 111320.0:.8f}", f"{-5.0 + away[n] / 65430.0:.8f}"]
                )
        return path

    return write


def wish(value: float = 3.0, **more: object) -> TrialWish:
    return TrialWish({ROLE: value}, 11.0, other="Sorrel", **more)  # type: ignore[arg-type]


def at(folder: Path, text: str) -> Door:
    return Door(folder, "Ines", at=f"2026-05-01T{text}")


def sailed(folder: Path, *, wind: bool = True, **more: object) -> None:
    plan_trial(folder, wish(**more), who="Ines")
    start_outing(at(folder, "17:30"))
    if wind:
        note_wind(at(folder, "17:31"), WindSaid(11.0, direction_deg=0.0))
    start_trial(at(folder, "18:00"))
    change_trial(at(folder, "18:22:30"))
    stop_trial(at(folder, "18:45"))


def keep(
    folder: Path,
    count: int,
    gain: float,
    *,
    role: str = ROLE,
    tried: float = 3.0,
    wind_kn: float | None = 12.0,
    **more: object,
) -> None:
    """Keep invented results of trials of one step."""
    with open_records(folder, who="test") as records:
        taken = len(outcomes(records))
        entries = [
            outcome_entry(
                replace(
                    Outcome(
                        f"t{taken + n + 1}",
                        role,
                        "mark",
                        tried,
                        2.5,
                        0.5,
                        wind_kn,
                        "main+jib",
                        "chop",
                        "settled",
                        f"2026-05-{n + 1:02d}",
                        "pair",
                    ),
                    **{
                        "gain": gain,
                        "low": gain - 0.5,
                        "high": gain + 0.5,
                        "standard_error": 0.3,
                        "swapped": True,
                        "used": True,
                        **more,
                    },
                ),
                None,
            )
            for n in range(count)
        ]
        records.book.write(entries, why="test")
