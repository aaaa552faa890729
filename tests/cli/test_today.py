from __future__ import annotations

import json

import pytest

from cringle.book.entries import NewEntry
from cringle.book.store import Book
from cringle.cli.main import run
from cringle.cli.today import names
from cringle.workflows.numbers.csv import import_csv

KEYS = [
    "schema", "wind_kn", "wind_reference", "gust_kn", "sea", "sail_set", "gears", "units", "source",
    "heel_target_deg", "heel_targets_deg", "moves", "crew", "call", "rig", "goal", "trial", "cautions",
]  # fmt: skip


@pytest.fixture
def folder(book_folder, examples):
    with Book.open(book_folder, create=True, who="coach"):
        pass
    import_csv(book_folder, examples / "table.csv", examples / "cues.csv", who="Ines")
    return book_folder


@pytest.fixture
def cringle(folder, capsys):
    def called(*arguments):
        with pytest.raises(SystemExit) as caught:
            run(["today", "--book", str(folder), *arguments])
        out = capsys.readouterr()
        return int(caught.value.code or 0), out.out, out.err

    return called


def test_json_has_the_published_keys(cringle):
    status, out, _ = cringle("--wind", "11", "--json")
    found = json.loads(out)
    assert status == 0
    assert list(found) == KEYS
    assert found["gears"]["settled"]["jib_sheet_leeward"] == 2.5
    assert set(found["gears"]) == {"build", "settled"}
    assert found["heel_target_deg"] == found["heel_targets_deg"]["up"] == 12.0
    assert found["heel_targets_deg"]["down"] == 0.0  # on the wing, from the speed model
    assert {move["to_wind_kn"] for move in found["moves"]} == {10.0, 12.0}


def test_page_says_first_things_first_and_fits_80_columns(cringle):
    status, out, _ = cringle("--wind", "19", "--gust", "24", "--height", "4", "--aboard", "Ines,Keo,Guest=64")
    lines = out.splitlines()
    assert status == 0
    assert max(len(line) for line in lines) <= 80
    assert lines[2].startswith("FIRST    check and lock every rigging screw")
    assert "GUEST, main" in lines
    assert any(line.startswith("Wind") and "log law" in line for line in lines)


def test_page_groups_by_person_with_both_gears_and_provenance(cringle):
    _, out, _ = cringle("--wind", "12")
    lines = out.splitlines()
    assert next(line for line in lines if "settled" in line).split() == ["build", "settled"]
    marit = lines.index("MARIT, jib")
    assert lines[marit + 1].startswith("  jib sheet, leeward   4 (E)     2½ (T)    o┼")
    assert lines[marit + 1].endswith("o 0 to 12")
    assert "(T) trial" in out
    assert "~" not in out


def test_a_guess_looks_like_nothing_else(cringle):
    _, out, _ = cringle("--wind", "20")
    row = next(line for line in out.splitlines() if line.startswith("  backstay"))
    assert "~10½ (?)" in row
    assert "█" not in row
    assert "mark a guess" in out


def test_goal_and_trial_are_shown(cringle, folder):
    with Book.open(folder, who="coach") as book:
        book.write(
            [NewEntry("goal", "o/1", {"text": "count out loud", "state": "open", "met": None})], why="x"
        )
        book.write([NewEntry("trial", "t1", {"text": "vang half a mark harder"})], why="x")
    _, out, _ = cringle("--wind", "12")
    assert "Goal     count out loud" in out
    assert "Trial    vang half a mark harder" in out


def test_text_from_a_book_cannot_steer_the_terminal(cringle, folder):
    with Book.open(folder, who="coach") as book:
        book.write([NewEntry("goal", "o/1", {"text": "red \x1b[31m alert", "met": None})], why="x")
    assert "\x1b" not in cringle("--wind", "12")[1]


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ((), "no wind given"),
        (("--wind", "-3"), "wind: found -3 kn, accepted 0 to 80 kn"),
        (("--wind", "300"), "wind: found 300 kn"),
        (("--wind", "nan"), "wind: found nan kn"),
        (("--wind", "11", "--sail-set", "main+jip"), "did you mean 'main+jib'"),
        (("--wind", "11", "--sea", "swell"), "accepted: flat, chop, waves"),
        (("--wind", "11", "--aboard", "Marjt"), "did you mean 'Marit'"),
        (("--wind", "11", "--height", "0"), "more than 0"),
        (("--low", "8"), "two ends"),
    ],
)
def test_bad_input_says_what_to_do_and_ends_with_1(cringle, arguments, words):
    status, out, err = cringle(*arguments)
    assert (status, out) == (1, "")
    assert words in err


def test_usage_errors_end_with_2(cringle):
    assert cringle("--wind", "eleven")[0] == 2
    assert cringle("--winds", "11")[0] == 2


def test_names_by_comma():
    assert names(" Ines, Keo,,") == ("Ines", "Keo")
    assert names("") == ()
