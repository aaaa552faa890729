from __future__ import annotations

import pytest

from cringle.book.entries import NewEntry
from cringle.book.store import Book
from cringle.errors import BookError, InputError
from cringle.findings import Number, Source
from cringle.settings.records import TonightRequest
from cringle.settings.tonight import ModelAnswers, tonight_json
from cringle.workflows.numbers.csv import import_csv
from cringle.workflows.numbers.tonight import tonight, tonight_records


@pytest.fixture
def folder(book_folder, examples):
    with Book.open(book_folder, create=True, who="coach"):
        pass
    import_csv(book_folder, examples / "table.csv", examples / "cues.csv", who="Ines")
    return book_folder


def write(folder, *entries):
    with Book.open(folder, who="Keo") as book:
        return book.write(entries, why="test")


def test_reads_the_book_and_answers(folder):
    found = tonight(folder, TonightRequest(wind_kn=12))
    assert found.numbers.find("settled", "jib_sheet_leeward").value == 2.5
    source = tonight_json(found)["source"]["jib_sheet_leeward"]
    assert (source["kind"], source["by"], source["n"]) == ("entered", "Ines", None)
    assert found.posture == "hike"


def test_the_newest_number_counts(folder):
    before = tonight(folder, TonightRequest(wind_kn=12)).numbers.find("settled", "vang").value
    with Book.open(folder) as book:
        seen = book.one(
            "setting", "table", sail_set="main+jib", sea="chop", wind_kn=12.0, gear="settled", role="vang"
        )
    write(
        folder,
        NewEntry(
            "setting",
            "table",
            {"value": 6.0, "source": "trial", "n": 4},
            unit="mark",
            sail_set="main+jib",
            sea="chop",
            wind_kn=12.0,
            gear="settled",
            role="vang",
            base_id=seen.id,
        ),
    )
    found = tonight(folder, TonightRequest(wind_kn=12)).numbers.find("settled", "vang")
    assert before != 6.0
    assert (found.value, found.number.source, found.observations) == (6.0, Source.TRIAL, 4)


def test_an_emptied_cell_is_not_read(folder):
    with Book.open(folder) as book:
        seen = book.current(
            "setting", subject="table", wind_kn=12.0, role="vang", gear="settled", sea="chop"
        )[0]
    write(
        folder,
        NewEntry(
            "setting",
            "table",
            {"value": None},
            unit="mark",
            sail_set="main+jib",
            sea="chop",
            wind_kn=12.0,
            gear="settled",
            role="vang",
            base_id=seen.id,
        ),
    )
    found = tonight(folder, TonightRequest(wind_kn=12)).numbers.find("settled", "vang")
    assert found.rows_kn == (10, 14)


def test_locks_turns_and_goal_come_from_the_book(folder):
    first = tonight(folder, TonightRequest(wind_kn=10))
    assert first.rig.warnings[0].startswith("check and lock every rigging screw")
    screws = ("cap_port", "cap_starboard", "lower_port", "lower_starboard", "forestay_screw")
    write(
        folder,
        *(NewEntry("screw_lock", one, {"value": "locked"}) for one in screws),
        *(
            NewEntry("rig_turns", one, {"value": 0.0, "source": "measured"}, unit="turn")
            for one in screws[:4]
        ),
        NewEntry("rig_turns", "forestay_screw", {"value": 1.0, "source": "measured"}, unit="turn"),
        NewEntry("goal", "o1/1", {"text": "old goal", "state": "met", "met": True}),
        NewEntry("goal", "o1/2", {"text": "tack on the word", "state": "open", "met": None}),
    )
    found = tonight(folder, TonightRequest(wind_kn=10))
    assert found.rig.warnings == (
        "turn the Forestay screw by -1: on record at +1, the 10 kn row says 0 (ashore)",
    )
    assert found.goal == "tack on the word"
    assert found.first == found.rig.warnings[0]


def test_heel_target_kept_in_the_book(folder):
    kept = {"value": 16.0, "source": "measured"}
    write(
        folder,
        NewEntry("heel_target", "table", kept, unit="deg", sail_set="main+jib", wind_kn=20.0, gear="settled"),
    )
    model = ModelAnswers("speed 1", heel_up=Number(22.0, "deg", Source.COMPUTED))
    assert tonight(folder, TonightRequest(wind_kn=20), model=model).heel_up.value == 16.0
    assert tonight(folder, TonightRequest(wind_kn=4), model=model).heel_up.value == 22.0
    found = tonight_json(tonight(folder, TonightRequest(wind_kn=20)))
    assert found["heel_targets_deg"] == {"up": 16.0, "down": None}


def test_only_the_asked_sail_set_is_read(folder):
    with Book.open(folder) as book:
        assert tonight_records(book, "main+kite").table.sail_sets() == ("main+kite",)


def test_a_folder_without_a_book(tmp_path, book_folder):
    with pytest.raises(InputError, match="there is no book here"):
        tonight(tmp_path / "none", TonightRequest(wind_kn=12))
    with pytest.raises(BookError, match="there is no book here"):
        tonight(book_folder, TonightRequest(wind_kn=12))


def test_a_role_the_boat_no_longer_has_is_named(folder):
    path = folder / "boat.toml"
    text = path.read_text(encoding="utf-8")
    start = text.index('[[controls]]\nid = "outhaul"')
    path.write_text(text[:start] + text[text.index("[[controls]]", start + 5) :], encoding="utf-8")
    found = tonight(folder, TonightRequest(wind_kn=12))
    assert "outhaul" not in found.numbers.roles
    assert "the table has numbers for 'outhaul', which the boat file no longer has" in found.notes
