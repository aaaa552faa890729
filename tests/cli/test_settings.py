from __future__ import annotations

import json

import pytest

from cringle.book.store import Book
from cringle.cli.main import run
from cringle.workflows.numbers.csv import import_csv


@pytest.fixture
def folder(book_folder, examples):
    with Book.open(book_folder, create=True, who="coach"):
        pass
    import_csv(book_folder, examples / "table.csv", examples / "cues.csv", who="Ines")
    return book_folder


@pytest.fixture
def cringle(folder, capsys, monkeypatch):
    monkeypatch.setenv("CRINGLE_BOOK", str(folder))

    def called(*arguments):
        with pytest.raises(SystemExit) as caught:
            run(["settings", *arguments])
        out = capsys.readouterr()
        return int(caught.value.code or 0), out.out, out.err

    return called


def test_show_is_a_table_with_provenance(cringle):
    status, out, _ = cringle("show", "--gear", "settled")
    assert status == 0
    assert max(len(line) for line in out.splitlines()) <= 80
    row = next(line for line in out.splitlines() if line.startswith("jib sheet, leeward"))
    assert row.split()[-10:] == ["6E", "5E", "4E", "3E", "2½T", "3E", "3½E", "4½E", "5½?", "7?"]


def test_show_json_gives_the_ids_to_write_with(cringle):
    found = json.loads(cringle("show", "--sail-set", "main+kite", "--gear", "soak", "--json")[1])
    assert {cell["gear"] for cell in found["cells"]} == {"soak"}
    assert all(isinstance(cell["entry_id"], int) for cell in found["cells"])
    assert found["rows"][0]["posture"] == "leeward forward"


def test_show_says_where_rows_are_when_there_are_none(cringle):
    assert "No rows for waves. There are rows for: chop, flat." in cringle("show", "--sea", "waves")[1]
    assert "No rows" in cringle("show", "--as-of", "2020-01-01")[1]


def test_set_then_conflict_shows_both_values_and_ends_with_3(cringle):
    shown = json.loads(cringle("show", "--json")[1])["cells"]
    seen = next(
        cell["entry_id"]
        for cell in shown
        if (cell["sea"], cell["wind_kn"], cell["gear"], cell["role"])
        == ("chop", 10, "settled", "jib_sheet_leeward")
    )
    status, out, _ = cringle("set", "jib_sheet_leeward", "3½", "--wind", "10", "--who", "Tobias")
    assert status == 0
    assert "3½ marks (before 3E; entry" in out
    assert "trim the jib sheet, windward by ½, from 12 to 11½. The table is" in out
    status, out, err = cringle("set", "jib_sheet_leeward", "5", "--wind", "10", "--base-id", str(seen))
    assert (status, out) == (3, "")
    assert "5 mark" in err
    assert "3.5 mark" in err
    assert "Tobias" in err


def test_set_takes_negative_numbers_and_warns_off_step(cringle):
    status, out, _ = cringle("set", "traveller", "-2.3", "--wind", "16", "--why", "test")
    assert status == 0
    assert "−2.3 marks" in out
    assert "Warning  -2.3 is not on a step of 0.5 mark" in out


def test_set_json(cringle):
    found = json.loads(cringle("set", "vang", "3", "--wind", "10", "--source", "measured", "--json")[1])
    assert (found["cell"]["value"], found["cell"]["source"], found["before"]["value"]) == (
        3.0,
        "measured",
        1.0,
    )
    assert found["advice"] is None


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("vang", "30", "--wind", "10"), "vang: found 30 marks, accepted 0 to 12 marks"),
        (("vang", "three", "--wind", "10"), "'three' is no number of marks"),
        (("vagn", "3", "--wind", "10"), "did you mean 'vang'"),
        (("vang", "3", "--wind", "10", "--source", "felt"), "accepted: guess, entered"),
    ],
)
def test_set_refuses_and_ends_with_1(cringle, arguments, words):
    status, out, err = cringle("set", *arguments)
    assert (status, out) == (1, "")
    assert words in err


def test_moves_by_person_with_rule_state(cringle):
    _, out, _ = cringle("moves", "--from", "10", "--to", "14")
    assert out.splitlines()[0] == "Marit"
    assert "  jib halyard           harder      3½ to 6      5 steps" in out.splitlines()
    assert any(line.endswith("4 steps   between races") for line in out.splitlines())
    assert cringle("moves", "--from", "10", "--to", "10")[1] == "Nothing to move.\n"
    found = json.loads(cringle("moves", "--from", "10", "--to", "14", "--json")[1])["moves"]
    assert set(found[0]) == {"to_wind_kn", "who", "role", "from", "to", "steps", "unit", "rule_state"}


def test_pair_says_what_the_other_does_and_writes_nothing(cringle, folder):
    with Book.open(folder) as book:
        before = book.newest()
    status, out, _ = cringle("pair", "jib_sheet_leeward", "3", "4", "--other", "8")
    assert (status, out) == (
        0,
        "Now trim the jib sheet, windward by 1, from 8 to 7. The table is not changed by this.\n",
    )
    out = cringle("pair", "cap_port", "-½", "1", "--other", "0")[1]
    assert out.startswith("Now tighten the Cap shroud screw, starboard by 1½, from 0 to 1½.")
    assert cringle("pair", "jib_sheet_port", "3", "3", "--other", "8")[1].startswith("Leave the")
    found = json.loads(cringle("pair", "jib_sheet_port", "5", "2", "--other", "11", "--json")[1])
    assert found["role"] == "jib_sheet_starboard"
    assert (found["from"], found["to"], found["steps"]) == (11.0, 12.0, 2)
    assert "kept at its top" in found["note"]
    with Book.open(folder) as book:
        assert book.newest() == before


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("vang", "1", "2", "--other", "1"), "vang is not one of a pair"),
        (("jib_sheet_prt", "1", "2", "--other", "1"), "did you mean 'jib_sheet_port'"),
        (("jib_sheet_port", "1", "2", "--other", "14"), "found 14 marks, accepted 0 to 12 marks"),
        (("jib_sheet_port", "x", "2", "--other", "1"), "'x' is no number of marks"),
    ],
)
def test_pair_refuses_what_has_no_other(cringle, arguments, words):
    status, out, err = cringle("pair", *arguments)
    assert (status, out) == (1, "")
    assert words in err


def test_import_twice_and_export(cringle, examples, tmp_path):
    table, cues = examples / "table.csv", examples / "cues.csv"
    assert "nothing written" in cringle("import", str(table), "--cues", str(cues))[1]
    status, out, _ = cringle("export", "--out", str(tmp_path / "o.csv"), "--cues", str(tmp_path / "c.csv"))
    assert status == 0
    assert out.count("written: ") == 2
    assert cringle("export")[1] == (tmp_path / "o.csv").read_text(encoding="utf-8")
    found = json.loads(cringle("import", str(tmp_path / "o.csv"), "--json")[1])
    assert (found["written"], found["read"]) == (0, found["unchanged"])


def test_import_reports_file_line_and_column(cringle, tmp_path):
    wrong = tmp_path / "wrong.csv"
    wrong.write_text(
        "sail_set,sea,wind_kn,gear,role,value\nmain+jib,chop,10,settled,vang,lots\n", encoding="utf-8"
    )
    status, _, err = cringle("import", str(wrong))
    assert status == 1
    assert "wrong.csv:2: value: not a number; found 'lots'" in err


def test_usage_errors_end_with_2(cringle):
    assert cringle("import")[0] == 2
    assert cringle("export", "--cues", "x.csv")[0] == 2
    assert cringle("set", "vang")[0] == 2


def test_help_lists_the_other_helpful_commands(cringle):
    out = cringle("--help")[1]
    for name in ("show", "set", "moves", "import", "export", "marks", "mark-up", "strips", "gauge"):
        assert name in out
