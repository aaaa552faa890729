from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from cringle.cli.main import run

Outing = Callable[..., tuple[int, str, str]]


@pytest.fixture
def outing(book_folder: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Outing:
    monkeypatch.setenv("CRINGLE_BOOK", str(book_folder))
    monkeypatch.setenv("COLUMNS", "200")

    def called(*arguments: str) -> tuple[int, str, str]:
        with pytest.raises(SystemExit) as caught:
            run(["outing", *arguments])
        out = capsys.readouterr()
        return int(caught.value.code or 0), out.out, out.err

    return called


@pytest.fixture
def begun(outing: Outing) -> Outing:
    assert outing("start", "--at", "2026-05-01T18:00", "--who", "Ines")[0] == 0
    return outing


def test_a_whole_evening(begun: Outing, tmp_path: Path) -> None:
    photo = tmp_path / "leech.jpg"
    photo.write_bytes(b"\xff\xd8 a picture")
    steps = [
        (
            "wind",
            "11",
            "--low",
            "9",
            "--high",
            "13",
            "--gust",
            "15",
            "--direction",
            "240",
            "--height",
            "2",
            "--at",
            "18:05",
        ),
        ("sea", "chop", "--at", "18:05"),
        ("crew", "ines", "tobias", "keo", "--at", "18:10"),
        ("rig", "cap_port=1", "cap_starboard=1", "--row", "12", "--at", "17:50"),
        ("set", "jib_sheet_leeward=4.5", "backstay=3", "--at", "18:30"),
        ("set", "backstay=4", "--at", "19:00"),
        (
            "note",
            "helm went [light]",
            "--tag",
            "trim",
            "--photo",
            str(photo),
            "--at",
            "19:05",
            "--who",
            "Keo",
        ),
        ("use", "main_1=2", "jib_1=1.5", "--at", "20:00"),
        ("goal", "heel 12 degrees"),
        ("goal", "--met", "1"),
        ("action", "splice the tail", "--route", "work list"),
        ("end", "--at", "20:15"),
    ]
    for step in steps:
        status, _, err = begun(*step)
        assert (status, err) == (0, ""), step
    shown = begun("show")[1]
    assert shown.splitlines()[0] == "Outing 2026-05-01, Tarrow Water, from 18:00 to 20:15"
    for line in (
        "18:05  wind   11 kn (9 to 13), gusts 15, from 240 deg, felt at 2 m",
        "18:05  sea    chop",
        "18:00  crew   ines, tobias, marit, keo, 320 kg",
        "18:10  crew   ines, tobias, keo, 247 kg",
        "17:50  rig    cap_port +1, cap_starboard +1",
        "18:30  set    jib_sheet_leeward 4.5 mark",
        "19:00  set    backstay 4 mark, changed once",
        "sail   main_1 2 h",
        "19:05  note   Keo on Brindle: helm went [light] [trim] (logs/photos/",
        "goal 1 + heel 12 degrees (met)",
        "action a1 splice the tail → work list (opened 2026-05-01)",
    ):
        assert line in shown
    found = json.loads(begun("show", "--json")[1])
    assert found["settings"][-1] == {
        "at_utc": "2026-05-01T18:00:00.000000Z", "role": "backstay", "value": 4.0, "unit": "mark"
    }  # fmt: skip
    assert found["observations"][0]["by"] == "Keo"


def test_list_and_actions(begun: Outing) -> None:
    begun("wind", "8", "--at", "18:05")
    assert "2026-05-01   Tarrow Water      goes on  8 kn, felt at 10 m" in begun("list")[1]
    assert len(json.loads(begun("list", "--json")[1])["outings"]) == 1
    assert "no open action" in begun("action")[1]
    begun("action", "gybe drill", "--route", "drill")
    assert json.loads(begun("action", "--json")[1])["actions"][0]["route"] == "drill"
    assert "closed 2026-05-01" in begun("action", "--close", "a1")[1]


def test_nothing_yet_says_how_to_begin(outing: Outing) -> None:
    status, _, err = outing("show")
    assert status == 1
    assert "there is no outing yet" in err
    assert "Next: run: cringle outing start" in err
    assert "no outing yet" in outing("list")[1]


@pytest.mark.parametrize(
    ("arguments", "status", "words"),
    [
        (("wind", "120"), 1, "accepted 0 to 80 kn"),
        (("wind", "lots"), 2, "valid number"),
        (("sea", "lumpy"), 1, "accepted: flat, chop, waves"),
        (("set", "backstay"), 1, "is not ROLE=NUMBER"),
        (("set",), 2, "give ROLE=NUMBER, or --wind"),
        (("set", "backstay=3", "--wind", "10"), 2, "give ROLE=NUMBER, or --wind"),
        (("set", "--wind", "10"), 1, "Next: "),
        (("set", "bakstay=3"), 1, "no role 'bakstay'"),
        (("use", "main_1=99"), 1, "accepted 0 to 48 h"),
        (("crew", "nobody"), 1, "nobody of that id"),
        (("note", ""), 1, "accepted 1 to"),
        (("goal",), 2, "give a new goal"),
        (("goal", "x", "--met", "1"), 2, "give a new goal"),
        (("goal", "--met", "1", "--missed", "2"), 2, "give a new goal"),
        (("goal", "--met", "1"), 1, "has no goal 1"),
        (("end", "--at", "noon"), 1, "is no time"),
        (("show", "2025-01-01"), 1, "no outing '2025-01-01'"),
        (("start", "--at", "2026-05-01T19:00"), 1, "still goes on"),
        (("action", "--close", "a9"), 1, "no open action 'a9'"),
    ],
)
def test_bad_input_says_what_to_do(
    begun: Outing, arguments: tuple[str, ...], status: int, words: str
) -> None:
    at = () if "--at" in arguments or arguments[0] in ("goal", "show", "action") else ("--at", "18:30")
    found, out, err = begun(*arguments, *at)
    assert found == status
    assert words in err
    assert out == ""


def test_missed_goals_are_said_to_be_missed(begun: Outing) -> None:
    begun("goal", "two clean tacks")
    assert json.loads(begun("goal", "--missed", "1", "--json")[1])["goals"][0]["state"] == "not met"
