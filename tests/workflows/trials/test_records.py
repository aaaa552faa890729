from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest

from cringle.errors import ConflictError, InputError
from cringle.workflows.book_open import open_records
from cringle.workflows.trials.records import (
    Carried,
    Outcome,
    Trial,
    all_trials,
    next_id,
    outcome_entry,
    outcomes,
    trial_named,
    write_trial,
)

NOON = datetime(2026, 5, 1, 12, tzinfo=UTC)


def trial(name: str = "t1", **more: object) -> Trial:
    plain = Trial(name, "vang", "mark", 1.5, 2.0, 0.5, 11.0, "main+jib", "chop", "settled", other="Sorrel")
    return replace(plain, **more)  # type: ignore[arg-type]


def test_a_trial_comes_back_as_it_was(book_folder: Path) -> None:
    stated = trial(
        state="stopped",
        outing="2026-05-01",
        carried=(Carried(NOON, "us"), Carried(NOON, "them")),
        stopped=NOON,
    )
    with open_records(book_folder) as records:
        kept = write_trial(records, stated, why="test")
        assert all_trials(records) == [kept]
        assert replace(kept, entry_id=None) == stated


def test_ids_count_on_past_ten(book_folder: Path) -> None:
    with open_records(book_folder) as records:
        assert next_id(records) == "t1"
        for number in range(1, 11):
            write_trial(records, trial(f"t{number}"), why="test")
        assert next_id(records) == "t11"
        assert all_trials(records)[-1].id == "t10"


def test_an_old_view_is_a_conflict(book_folder: Path) -> None:
    with open_records(book_folder) as records:
        kept = write_trial(records, trial(), why="test")
        write_trial(records, replace(kept, state="going on"), why="test")
        with pytest.raises(ConflictError):
            write_trial(records, replace(kept, state="stopped"), why="test")


def test_the_newest_in_a_state(book_folder: Path) -> None:
    with open_records(book_folder) as records:
        write_trial(records, trial("t1"), why="test")
        write_trial(records, trial("t2", state="stopped"), why="test")
        assert trial_named(records, None).id == "t2"
        assert trial_named(records, None, "planned").id == "t1"
        with pytest.raises(InputError, match=r"t1 \(planned\), t2 \(stopped\)"):
            trial_named(records, "t9")


def test_an_outcome_comes_back_as_it_was(book_folder: Path) -> None:
    stated = Outcome(
        "t1", "vang", "mark", 2.0, 1.5, 0.5, 11.0, "main+jib", "chop", "settled", "2026-05-01", "pair",
        gain=1.0, low=0.5, high=1.5, standard_error=0.3, swapped=True, used=True,
        people=("ines", "keo"), settings={"vang": 2.0}, deviations={"vang": 1.0}, sail_hours={"jib_1": 2.0},
    )  # fmt: skip
    with open_records(book_folder) as records:
        records.book.write([outcome_entry(stated, None)], why="test")
        assert outcomes(records) == [stated]


def test_the_text_says_what_and_beside_whom() -> None:
    assert trial().text == "vang 1½ → 2 beside Sorrel, 20 min, 1 swap"
    assert "alone, A-B-A" in trial(kind="alone").text
