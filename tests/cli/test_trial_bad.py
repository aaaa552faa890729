"""What a trial cannot use, by the real commands: each says the cause and what to do, and is not kept."""

from __future__ import annotations

import csv
import json
import re
from collections.abc import Callable
from pathlib import Path

import pytest
from trial_days import keep, log_writer

from cringle.boat.base import RuleState
from cringle.book.store import Book
from cringle.cli.main import run
from cringle.settings.roles import role_scales
from cringle.workflows.book_open import open_records
from cringle.workflows.numbers.csv import import_csv
from cringle.workflows.trials.records import outcomes

Called = Callable[..., tuple[int, str, str]]
Write = Callable[..., Path]


@pytest.fixture
def called(
    book_folder: Path, examples: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> Called:
    Book.open(book_folder, create=True).close()
    import_csv(book_folder, examples / "table.csv", who="coach", why="first table")
    monkeypatch.setenv("CRINGLE_BOOK", str(book_folder))
    monkeypatch.setenv("COLUMNS", "300")

    def call(*arguments: str) -> tuple[int, str, str]:
        with pytest.raises(SystemExit) as caught:
            run(list(arguments))
        out = capsys.readouterr()
        return int(caught.value.code or 0), out.out, out.err

    return call


@pytest.fixture
def sailed(called: Called) -> Called:
    """Return the command after a trial of 45 minutes was planned, sailed and stopped."""
    day = "2026-05-01T"
    steps = (
        "trial plan jib_sheet_leeward=3 --wind 11 --beside Sorrel",
        f"outing start --at {day}18:00",
        f"outing wind 11 --direction 0 --at {day}18:00",
        f"trial start --at {day}18:00",
        f"trial change --at {day}18:22",
        f"trial stop --at {day}18:45",
    )
    for one in steps:
        code, _, err = called(*one.split())
        assert code == 0, err
    return called


@pytest.fixture
def write(tmp_path: Path) -> Write:
    return log_writer(tmp_path)


def without_control(folder: Path, control: str) -> None:
    """Take a control out of the boat file, and out of the survey that measured it."""
    path = folder / "boat.toml"
    first, *rest = path.read_text(encoding="utf-8").split("[[controls]]")
    left = [one for one in rest if f'\nid = "{control}"\n' not in one]
    assert len(left) == len(rest) - 1
    path.write_text("[[controls]]".join([first, *left]), encoding="utf-8")
    survey = folder / "survey.toml"
    text = survey.read_text(encoding="utf-8")
    text = re.sub(rf'"{control}", |, "{control}"', "", text)
    survey.write_text(text, encoding="utf-8")


def changed(log: Path, name: str, change: Callable[[dict[str, str]], None]) -> Path:
    """Write a log anew with every row changed."""
    with log.open(encoding="utf-8", newline="") as stream:
        rows = list(csv.DictReader(stream))
    for row in rows:
        change(row)
    path = log.with_name(name)
    with path.open("w", encoding="utf-8", newline="") as stream:
        made = csv.DictWriter(stream, list(rows[0]))
        made.writeheader()
        made.writerows(rows)
    return path


def downwind(row: dict[str, str]) -> None:
    row["lat"] = f"{54.02 - (float(row['lat']) - 54.0):.8f}"


def no_heel(row: dict[str, str]) -> None:
    row["roll_deg"] = "nan"


def refused(sailed: Called, folder: Path, ours: Path, other: Path) -> str:
    """Return what the command says of two logs it cannot use; nothing is kept."""
    code, out, err = sailed("trial", "result", str(ours), str(other))
    assert (code, out) == (1, "")
    assert "Next: " in err
    with open_records(folder) as records:
        assert outcomes(records) == []
    return err


def test_clocks_an_hour_apart(sailed: Called, book_folder: Path, write: Write) -> None:
    said = refused(sailed, book_folder, write("ours", seed=1), write("other", seed=2, east=70.0, late_s=3600))
    assert "share less than 120 s" in said
    assert "--shift -3600" in said
    code, out, _ = sailed(
        "trial", "result", str(write("ours", seed=1)), "--dry-run",
        str(write("other", seed=2, east=70.0, late_s=3600)), "--shift", "-3600",
    )  # fmt: skip
    assert code == 0
    assert "usable minutes" in out


def test_boats_on_different_legs(sailed: Called, book_folder: Path, write: Write) -> None:
    other = changed(write("other", seed=2, east=70.0), "legs.csv", downwind)
    said = refused(sailed, book_folder, write("ours", seed=1), other)
    assert "min on different legs" in said
    assert "while both sail the same leg" in said


def test_no_overlap(sailed: Called, book_folder: Path, write: Write) -> None:
    said = refused(
        sailed, book_folder, write("ours", seed=1), write("other", seed=2, east=70.0, late_s=20_000)
    )
    assert "two logs of the same time" in said
    assert "22:33:20" in said


def test_identical_files(sailed: Called, book_folder: Path, write: Write) -> None:
    ours = write("ours", seed=1)
    copy = ours.with_name("copy.csv")
    copy.write_bytes(ours.read_bytes())
    assert "both logs are the same track" in refused(sailed, book_folder, ours, copy)


def test_heel_that_is_not_a_number(sailed: Called, book_folder: Path, write: Write) -> None:
    other = changed(write("other", seed=2, east=70.0), "nan.csv", no_heel)
    code, out, _ = sailed("trial", "result", str(write("ours", seed=1)), str(other), "--json")
    assert code == 0
    assert "NaN" not in out
    assert json.loads(out)["effective_minutes"] > 5.0
    with open_records(book_folder) as records:
        assert [one.heel_deg for one in outcomes(records)] == [None]


def test_a_control_deleted_before_the_start(called: Called, book_folder: Path) -> None:
    called("trial", "plan", "jib_halyard=4.5", "--wind", "11")
    called("outing", "start", "--at", "2026-05-01T17:00")
    without_control(book_folder, "jib_halyard")
    code, _, err = called("trial", "start", "--at", "2026-05-01T17:10")
    assert code == 1
    assert "t1, jib_halyard: the boat file no longer has this control" in err
    assert "put it back into boat.toml" in err


def test_a_control_deleted_after_the_trial(called: Called, book_folder: Path) -> None:
    keep(book_folder, 2, 2.0, role="jib_halyard", tried=4.5, reference=4.0)
    without_control(book_folder, "jib_halyard")
    out = called("trial", "evidence")[1]
    assert out.count("no longer has this control; put it back into boat.toml") == 2
    code, _, err = called("trial", "evidence", "--role", "jib_halyard")
    assert code == 1
    assert "no longer has this control" in err


def test_contradictory_observations_are_flagged(called: Called, book_folder: Path) -> None:
    keep(book_folder, 3, 4.0)
    keep(book_folder, 3, -4.0)
    code, out, _ = called("trial", "evidence", "--role", "jib_sheet_leeward")
    assert code == 0
    row = next(line for line in out.splitlines() if line.startswith("    12 kn"))
    assert "not known" in row
    assert "disagrees with the others: look at its wind, sails and settings, and sail it again" in out
    assert "Move " not in out
    code, _, err = called("trial", "accept", "jib_sheet_leeward", "--wind", "12")
    assert code == 1
    assert "asks for no change" in err


def test_a_tip_says_when_the_class_rule_is_not_known(called: Called, book_folder: Path) -> None:
    path = book_folder / "boat.toml"
    text = path.read_text(encoding="utf-8")
    before = json.loads(called("trial", "suggest", "--wind", "11", "--json")[1])
    assert all("ask first" not in one["reason"] for one in before)
    path.write_text(text.replace('rule_state = "any time"', 'rule_state = "unknown"'), encoding="utf-8")
    after = json.loads(called("trial", "suggest", "--wind", "11", "--json")[1])
    with open_records(book_folder) as records:
        scales = role_scales(records.files.boat_file, rules=records.files.class_file)
    unknown = [one for one in after if scales[one["role"]].rule_state is RuleState.UNKNOWN]
    assert unknown
    assert [one for one in after if one["reason"].endswith("is not known: ask first")] == unknown
