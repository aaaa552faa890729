"""Deeds since the visit before, told once each in plain words."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from cringle.book.entries import CellFilter, NewEntry, number_payload
from cringle.book.store import Book
from cringle.findings import Number, Source
from cringle.workflows.book_open import Records, open_records
from cringle.workflows.books.history import Batch, batches
from cringle.workflows.numbers.csv import import_csv
from cringle.workflows.numbers.gauge import study_gauge
from cringle.workflows.numbers.marks import set_stage
from cringle.workflows.outings.notes import Observed, note_observation
from cringle.workflows.outings.outing import Door, start_outing
from cringle.workflows.rig.record import record_locks
from cringle.workflows.round.visit_since import Since, since_visit
from cringle.workflows.survey import survey_set_state

TODAY = datetime.now(UTC)


def since(folder: Path) -> Since:
    with open_records(folder) as records:
        return since_visit(records, "visit", datetime.now(records.zone).date().isoformat())


def words(found: Since) -> str:
    return "\n".join(one.words for one in (*found.earlier, *found.today))


def test_an_empty_history_holds_nothing(book_folder: Path) -> None:
    found = since(book_folder)
    assert (found.before, found.before_id, found.today, found.earlier) == (None, 0, (), ())
    assert (found.seen, found.outings, found.gauges, found.items_done) == ((), 0, (), frozenset())


def test_each_kind_is_told_in_words(book_folder: Path, examples: Path) -> None:
    Book.open(book_folder, create=True).close()
    import_csv(book_folder, examples / "table.csv", who="coach", why="first table")
    set_stage(book_folder, "vang", "taped", who="coach")
    record_locks(book_folder, ["all"], "locked", who="Keo")
    survey_set_state(book_folder, "screw_locks", "done", who="Keo")
    said = words(since(book_folder))
    assert "numbers of the table: first table" in said
    assert "Marks: Vang taped" in said
    assert "Screws: cap port locked" in said
    assert "and 1 more" in said
    assert "Lock every rigging screw and mark its base turn: done" in said


def test_only_the_last_word_on_an_item_counts(book_folder: Path) -> None:
    survey_set_state(book_folder, "screw_locks", "done", who="Keo")
    survey_set_state(book_folder, "screw_locks", "open", who="Keo")
    assert since(book_folder).items_done == frozenset()


def test_things_noted_of_our_own_boat_are_found_others_not(book_folder: Path) -> None:
    start_outing(Door(book_folder))
    note_observation(Door(book_folder), Observed("helm went light"))
    note_observation(Door(book_folder), Observed("higher than us", boat="hull 17"))
    found = since(book_folder)
    assert [one.split(" (")[0] for one in found.seen] == ["helm went light"]
    assert found.outings == 1


def test_the_newest_gauge_study_of_a_control_is_told(book_folder: Path, tmp_path: Path) -> None:
    rows = ["person,mark,reading_mm"]
    for mark in range(2, 8):
        for turn in (0.0, 0.5):
            rows += [
                f"{person},{mark},{mark * 20.0 + turn + shift}" for person, shift in (("a", 0.0), ("b", 0.4))
            ]
    readings = tmp_path / "readings.csv"
    readings.write_text("\n".join(rows), encoding="utf-8")
    study_gauge(book_folder, "jib_sheet_port", readings, who="coach")
    study_gauge(book_folder, "jib_sheet_port", readings, who="coach")
    (one,) = since(book_folder).gauges
    assert one.control == "jib_sheet_port"
    assert one.verdict == "good"
    assert "scale's step" in one.words
    assert one.change is None


def decided(records: Records, decision: str) -> Batch:
    key: CellFilter = {
        "sail_set": "main+jib",
        "sea": "chop",
        "wind_kn": 12.0,
        "gear": "settled",
        "role": "jib_halyard",
    }
    number = number_payload(Number(4.5, "mark", Source.TRIAL))
    entries = [
        NewEntry("trial_decision", "table", {"before": 4.0, "after": 4.5, "decided": decision}, **key),
        NewEntry("setting", "table", number, unit="mark", **key),
    ]
    return batches(records.book.write(entries if decision == "accepted" else entries[:1], why="3 trials"))[0]


@pytest.mark.parametrize(("decision", "told"), [("accepted", True), ("declined", False)])
def test_an_accepted_trial_is_told_once_and_a_declined_one_not(
    book_folder: Path, decision: str, told: bool
) -> None:
    with open_records(book_folder) as records:
        decided(records, decision)
    said = words(since(book_folder))
    assert ("On trials: jib halyard 4 to 4½ in 12 kn (3 trials)" in said) is told
    assert "of the table" not in said
