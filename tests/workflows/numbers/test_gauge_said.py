from __future__ import annotations

import shutil
from datetime import UTC, datetime
from pathlib import Path

from cringle.workflows.book_open import open_records
from cringle.workflows.numbers.gauge import gauge_kept, study_gauge
from cringle.workflows.numbers.gauge_said import gauges_said


def test_a_control_without_a_study_is_not_named(trial_folder: Path) -> None:
    assert gauge_kept(trial_folder) == {}


def test_the_newest_study_of_a_control_is_told(trial_folder: Path, examples: Path, tmp_path: Path) -> None:
    readings = tmp_path / "readings.csv"
    shutil.copyfile(examples / "gauge.csv", readings)
    for why in ("first", "again"):
        done = study_gauge(trial_folder, "jib_halyard", readings, who="coach", why=why)
    with open_records(trial_folder, who="coach") as records:
        (said,) = gauges_said(records)
    assert said.control == "jib_halyard"
    assert said.words
    assert said.day == datetime.now(UTC).astimezone(records.zone).date()
    assert done is not None
