from __future__ import annotations

import json
import shutil
import subprocess
import sys

import pytest

from cringle.book.entries import NewEntry, number_payload
from cringle.book.store import Book
from cringle.findings import Number, Source
from cringle.settings.records import TonightRequest
from cringle.settings.tonight import tonight_json
from cringle.workflows.numbers.csv import import_csv
from cringle.workflows.numbers.entries import HEEL, SUBJECT
from cringle.workflows.speed.tonight import BY, model_answers, read_table, tonight_with_model

ELEVEN = TonightRequest(wind_kn=11.0)


@pytest.fixture
def folder(book_folder, examples):
    with Book.open(book_folder, create=True, who="coach"):
        pass
    import_csv(book_folder, examples / "table.csv", examples / "cues.csv", who="Ines")
    return book_folder


@pytest.fixture
def bare(book_folder):
    with Book.open(book_folder, create=True, who="coach"):
        pass
    return book_folder


def test_an_empty_book_gets_heel_places_and_call(bare):
    found = tonight_with_model(bare, TonightRequest(wind_kn=14.0))
    assert found.heel_up.source is Source.COMPUTED
    assert found.heel_up.by == BY
    assert found.heel_up.low <= found.heel_up.value <= found.heel_up.high + 0.5
    assert found.heel_down is not None
    assert found.call.technique in {"soak", "wing", "plane"}
    assert {one.posture for one in found.crew} == {"hike", "legs in"}
    assert any("computed by the speed model" in one and "places" in one for one in found.cautions)
    json.dumps(tonight_json(found), allow_nan=False)


def test_the_books_own_entries_stand(folder):
    found = tonight_with_model(folder, ELEVEN)
    assert (found.heel_up.value, found.heel_up.source) == (12.0, Source.ENTERED)
    note = next(one for one in found.cautions if "computed by" in one)
    assert "heel up" not in note
    assert "places" not in note
    assert "heel down the wind, the call for the run" in note


def test_an_entered_heel_beats_the_model(bare):
    number = number_payload(Number(9.0, "deg", Source.ENTERED))
    with Book.open(bare, who="Ines") as book:
        book.write(
            [
                NewEntry(
                    HEEL,
                    SUBJECT,
                    number,
                    unit="deg",
                    sail_set="main+jib",
                    sea="chop",
                    wind_kn=14.0,
                    gear="settled",
                )
            ],
            why="test",
        )
    assert tonight_with_model(bare, TonightRequest(wind_kn=14.0)).heel_up.value == 9.0


def test_another_crew_is_shifted_by_the_models_righting_moment(folder):
    request = TonightRequest(wind_kn=15.0, aboard=("Ines", "Tobias", "Marit"))
    found = tonight_with_model(folder, request)
    assert found.wind.reads_at_kn > 15.0
    assert any(BY in one for one in found.wind.notes)


def test_a_crew_the_class_forbids_still_gets_tonight(folder):
    said = []
    request = TonightRequest(wind_kn=12.0, aboard=("Ines", "Tobias", "Keo", "Guest=140"))
    found = tonight_with_model(folder, request, tell=said.append)
    assert found.model is None
    assert any("no answer" in one and "allows" in one for one in said)


def test_beyond_its_winds_the_model_is_silent(bare):
    found = tonight_with_model(bare, TonightRequest(wind_kn=35.0))
    assert found.heel_up is None
    assert found.call is None


def test_a_measured_height_is_brought_to_ten_metres(bare):
    low = model_answers(bare, TonightRequest(wind_kn=11.0, height_m=2.0))
    same = model_answers(bare, TonightRequest(wind_kn=12.9))
    assert low.heel_up.value >= model_answers(bare, ELEVEN).heel_up.value
    assert abs(low.heel_up.value - same.heel_up.value) <= 2


def test_reading_between_two_winds():
    table = {
        "winds_kn": [10.0, 12.0], "moment_ratio": [1.0, None], "calls": [None, None],
        "heel_up_deg": {"value": [4.0, 8.0], "low": [2.0, 6.0], "high": [6.0, 10.0]},
        "heel_down_deg": {"value": [None, None], "low": [None, None], "high": [None, None]},
        "places_up": [None, None], "places_down": [None, None],
    }  # fmt: skip
    found = read_table(table, 11.0, point="up")
    assert (found.heel_up.value, found.heel_up.low) == (6, 4.0)
    assert found.heel_down is None
    assert found.places is None
    assert read_table(table, 10.4, point="up").moment_ratio == 1.0
    assert read_table(table, 9.0, point="up") is None


def test_a_kept_answer_loads_nothing_heavy(folder):
    tonight_with_model(folder, ELEVEN)
    code = (
        "import sys\nfrom pathlib import Path\n"
        "from cringle.settings.records import TonightRequest\n"
        "from cringle.workflows.speed.tonight import tonight_with_model\n"
        "said = []\n"
        f"found = tonight_with_model(Path({str(folder)!r}), TonightRequest(wind_kn=12.0), tell=said.append)\n"
        "heavy = [m for m in ('scipy', 'polars', 'alembic', 'altair', 'ortools') if m in sys.modules]\n"
        "print(heavy, said, found.model)\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == f"[] [] {BY}"


def test_the_cache_may_be_deleted(folder, monkeypatch, tmp_path):
    monkeypatch.setenv("CRINGLE_CACHE", str(tmp_path / "kept"))
    said = []
    first = tonight_with_model(folder, ELEVEN, tell=said.append)
    shutil.rmtree(tmp_path / "kept")
    assert tonight_with_model(folder, ELEVEN, tell=said.append).call == first.call
    assert len(said) == 2
