from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from cringle.cli.main import run

Called = Callable[..., tuple[int, str, str]]


@pytest.fixture
def cringle(book_folder: Path, capsys: pytest.CaptureFixture[str]) -> Called:
    def called(command: str, *arguments: str) -> tuple[int, str, str]:
        with pytest.raises(SystemExit) as caught:
            run(["survey", command, "--book", str(book_folder), *arguments])
        out = capsys.readouterr()
        return int(caught.value.code or 0), " ".join(out.out.split()), out.err

    return called


def test_show_ranks_and_sets_the_forbidden_apart(cringle: Called) -> None:
    status, out, _ = cringle("show")
    assert status == 0
    assert "1 Lock every rigging screw and mark its base turn [screw_locks]" in out
    assert out.index("ask the class first") < out.index("The class forbids it: not advice")
    assert "Caution: the class rules in force have the last word" in out


def test_show_as_json(cringle: Called, book_folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status, out, _ = cringle("show", "--json")
    assert status == 0
    assert json.loads(out)["schema"] == 1


def test_done_dropped_and_open_again(cringle: Called) -> None:
    assert cringle("done", "marks", "--who", "Keo")[1] == "marks: done"
    assert "Behind us marks: Number every line" in cringle("show")[1]
    found = json.loads(cringle("done", "marks", "--state", "open", "--json")[1])
    assert (found["id"], found["state"]) == ("marks", "open")
    status, _, err = cringle("done", "mark")
    assert status == 1
    assert "did you mean 'marks'" in err
    assert "Next:" in err


def test_add_and_what_is_wrong_with_it(cringle: Called) -> None:
    new = ("cleat", "Move the cleat", "--why-do", "out of reach", "--control", "vang", "--rule", "C.1")
    assert cringle("add", *new, "--cost", "20", "--hours", "1")[:2] == (0, "added cleat: Move the cleat")
    assert "1 h, 20 EUR; ask the class first, rule C.1 (unknown)." in cringle("show")[1]
    assert cringle("add", *new)[0] == 1
    status, _, err = cringle("add", "x", "y", "--category", "vital")
    assert status == 1
    assert "survey.toml" in err
    assert cringle("add", "x")[0] == 2
    assert cringle("add", "bottom", "Fair the bottom", "--effect", "hull_surface")[0] == 0
    items = {one["id"]: one["effect"] for one in json.loads(cringle("show", "--json")[1])["items"]}
    assert (items["bottom"], items["rail_sheeting"], items["cleat"]) == ("hull_surface", "rail", None)
    assert cringle("add", "fast", "Be fast", "--effect", "speed")[0] == 1
    assert cringle("add", "--starter")[1].startswith("19 added: start_rail_sheeting")
    assert "everything was there already" in cringle("add", "--starter")[1]


def test_print_and_departure(cringle: Called, tmp_path: Path) -> None:
    work, check = tmp_path / "w.pdf", tmp_path / "d.pdf"
    assert json.loads(cringle("print", "--out", str(work), "--json")[1])["items"] == 11
    status, out, _ = cringle("departure", "--tick", "radio", "--who", "Keo", "--out", str(check))
    assert status == 0
    assert "[x] Radio charged and on the race channel (radio), Keo" in out
    assert "7 left." in out
    assert work.read_bytes()[:4] == check.read_bytes()[:4] == b"%PDF"
    found = json.loads(cringle("departure", "--json")[1])
    assert [one["id"] for one in found["checks"] if one["ticked"]] == ["radio"]
    assert cringle("departure", "--tick", "radar")[0] == 1


def test_all_ticked_says_so(cringle: Called) -> None:
    names = [one["id"] for one in json.loads(cringle("departure", "--json")[1])["checks"]]
    ticks = [part for name in names for part in ("--tick", name)]
    assert "All ticked." in cringle("departure", *ticks)[1]
