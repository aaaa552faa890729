from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

from cringle.workflows.book_open import open_records
from cringle.workflows.numbers.gauge import gauge_kept, study_gauge
from cringle.workflows.numbers.gauge_said import GaugeSaid, gauges_said

CONTROL, MM_PER_MARK = "jib_sheet_port", 25.0


def readings(path: Path, spread_mm: float) -> Path:
    """Write what two people read at six marks, twice each."""
    rows = ["person,mark,reading_mm"]
    for mark in range(2, 8):
        for turn in (-1.0, 1.0):
            rows += [
                f"{person},{mark},{mark * MM_PER_MARK + turn * spread_mm}" for person in ("Keo", "Marit")
            ]
    path.write_text("\n".join(rows) + "\n", encoding="utf-8")
    return path


def said_of(folder: Path) -> list[GaugeSaid]:
    with open_records(folder, who="coach") as records:
        return list(gauges_said(records))


def test_a_book_without_a_study_says_nothing(trial_folder: Path) -> None:
    assert said_of(trial_folder) == []
    assert gauge_kept(trial_folder) == {}


def test_the_newest_study_of_a_control_is_told(trial_folder: Path, tmp_path: Path) -> None:
    for spread_mm in (20.0, 0.5):
        study_gauge(trial_folder, CONTROL, readings(tmp_path / "r.csv", spread_mm), who="coach")
    (said,) = said_of(trial_folder)
    assert (said.control, said.verdict) == (CONTROL, "good")
    assert said.words
    assert abs((datetime.now(UTC).date() - said.day).days) <= 1
    assert gauge_kept(trial_folder) == {CONTROL: said}
