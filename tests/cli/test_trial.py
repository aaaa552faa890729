from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from cringle.book.store import Book
from cringle.cli.main import run
from cringle.workflows.numbers.csv import import_csv

Called = Callable[..., tuple[int, str, str]]


@pytest.fixture
def trial(
    book_folder: Path, examples: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> Called:
    Book.open(book_folder, create=True).close()
    import_csv(book_folder, examples / "table.csv", who="coach", why="first table")
    monkeypatch.setenv("CRINGLE_BOOK", str(book_folder))
    monkeypatch.setenv("COLUMNS", "200")

    def called(*arguments: str) -> tuple[int, str, str]:
        with pytest.raises(SystemExit) as caught:
            run([*(() if arguments[0] == "outing" else ("trial",)), *arguments])
        out = capsys.readouterr()
        return int(caught.value.code or 0), out.out, out.err

    return called


def test_plan_start_change_stop_and_a_note(trial: Called) -> None:
    code, out, _ = trial("plan", "jib_sheet_leeward=3", "--wind", "11", "--beside", "Sorrel")
    assert code == 0
    assert "swap it" in out
    assert "class rules have the last word" in out
    trial("outing", "start", "--at", "2026-05-01T18:00")
    assert "going on" in trial("start", "--at", "2026-05-01T18:10")[1]
    assert "the change: them" in trial("change", "--at", "2026-05-01T18:20")[1]
    assert "stopped" in trial("stop", "--at", "2026-05-01T18:30")[1]
    code, out, _ = trial("result", "--note", "felt slow")
    assert code == 0
    assert "Kept, not used" in out
    assert "Not used: t1" in trial("evidence")[1]


def test_plan_as_json(trial: Called) -> None:
    data = json.loads(trial("plan", "jib_sheet_leeward=3", "--wind", "11", "--dry-run", "--json")[1])
    assert (data["role"], data["from"], data["to"]) == ("jib_sheet_leeward", 2.5, 3.0)
    assert data["minutes"] >= 20


def test_suggest_as_json_is_a_list_of_three(trial: Called) -> None:
    data = json.loads(trial("suggest", "--wind", "11", "--json")[1])
    assert len(data) == 3
    assert {"role", "from", "to", "reason", "expected_gain_m_per_min", "sd_m_per_min"} <= set(data[0])


def test_suggest_in_words(trial: Called) -> None:
    out = trial("suggest", "--wind", "11")[1]
    assert out.startswith("1. ")
    assert "Left out: forestay" in out


def test_evidence_as_json_and_picture(trial: Called, tmp_path: Path) -> None:
    data = json.loads(trial("evidence", "--json", "--out", str(tmp_path / "e.svg"))[1])
    assert data["roles"] == []
    assert (tmp_path / "e.svg").read_text(encoding="utf-8").startswith("<svg")


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("plan", "jib_sheet_leeward=3", "vang=2", "--wind", "11"), "2 controls at once"),
        (("plan", "jib_sheet_leeward=9", "--wind", "11"), "one step from the table's"),
        (("plan", "forestay=0.5", "--wind", "11"), "ashore"),
        (("start",), "no trial that is planned"),
        (("result", "--note", "slow"), "no trial"),
        (("accept", "vang", "--wind", "12"), "asks for no change"),
        (("suggest", "--wind", "0"), "wind 0 kn"),
    ],
)
def test_bad_input_says_what_and_what_next(trial: Called, arguments: tuple[str, ...], words: str) -> None:
    code, _, err = trial(*arguments)
    assert code == 1
    assert words in err
