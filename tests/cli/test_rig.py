from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from cringle.cli.main import run

Command = Callable[..., tuple[int, str, str]]


@pytest.fixture
def rig(book_folder: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Command:
    monkeypatch.setenv("CRINGLE_BOOK", str(book_folder))
    monkeypatch.setenv("COLUMNS", "200")

    def called(*arguments: str) -> tuple[int, str, str]:
        with pytest.raises(SystemExit) as caught:
            run(["rig", *arguments])
        out = capsys.readouterr()
        return int(caught.value.code or 0), out.out, out.err

    return called


def test_turns_as_json(rig: Command) -> None:
    status, out, _ = rig("turns", "--cap", "1", "--lower", "0.5", "--json")
    found = json.loads(out)
    assert status == 0
    assert {"tensions_n", "prebend_mm", "sag_mm", "rake_mm", "slack"} <= set(found)
    assert found["tensions_n"]["cap_port"] > 2800.0


def test_turns_as_text_say_when_and_how_carefully(rig: Command) -> None:
    status, out, _ = rig("turns", "--cap", "1", "--screw", "cap_port=1.5")
    assert status == 0
    assert "cap port +1½, cap starboard +1" in out
    for words in (
        "One turn tighter",
        "forestay ashore",
        "Warning: no lock",
        "Caution: Slacken",
        "qualified rigger",
    ):
        assert words in out


def test_keep_then_base_shows_them(rig: Command) -> None:
    assert rig("turns", "--cap", "1", "--keep")[0] == 0
    assert rig("lock", "all")[0] == 0
    status, out, _ = rig("base")
    assert status == 0
    assert "cap port +1" in out
    assert "Warning" not in out
    assert "−0 mm" not in out and "-0 mm" not in out


def test_base_measured(rig: Command) -> None:
    status, out, _ = rig("base", "--set", "cap=2700", "--prebend", "27", "--temperature", "14", "--json")
    assert status == 0
    assert json.loads(out)["source"] == "measured"
    assert json.loads(rig("base", "--json")[1])["prebend_mm"] == 27.0


def test_solve(rig: Command) -> None:
    status, out, _ = rig("solve", "--cap-tension", "3000", "--prebend", "28")
    assert status == 0
    assert "Cap shrouds: +1" in out
    assert "asked: 3000 N" in out
    found = json.loads(
        rig("solve", "--sag-change", "-8", "--wind", "12", "--role", "cap_shrouds", "--json")[1]
    )
    assert list(found["turns"]) == ["cap_shrouds"]
    assert rig("solve")[0] == 2


def test_sheet_writes_paper_and_picture(rig: Command, tmp_path: Path) -> None:
    pdf, svg = tmp_path / "tune.pdf", tmp_path / "tune.svg"
    status, out, _ = rig("sheet", "--winds", "8,14", "--pdf", str(pdf), "--out", str(svg))
    assert status == 0
    assert "Tune sheet, Brindle" in out
    assert pdf.read_bytes().startswith(b"%PDF")
    assert "<svg" in svg.read_text(encoding="utf-8")
    status, out, err = rig("sheet", "--winds", "8", "--pdf", str(pdf), "--json")
    assert json.loads(out)["rows"][0]["wind_kn"] == 8.0
    assert "written" in err


def test_choose(rig: Command) -> None:
    status, out, _ = rig("choose", "--low", "8", "--high", "15", "--winds", "8,12,16")
    assert status == 0
    assert out.startswith("For 8 to 15 kn set the 12 kn row")
    assert "no source" in out
    found = json.loads(rig("choose", "--percentile", "50=9", "--winds", "8,16", "--json")[1])
    assert found["candidates"][0]["row_kn"] == 8.0
    assert rig("choose")[0] == 2


def test_backstay(rig: Command, tmp_path: Path) -> None:
    picture = tmp_path / "geometry.svg"
    status, out, _ = rig("backstay", "--points", "5", "--geometry", str(picture))
    assert status == 0
    assert "only removes slack" in out
    assert "shorter, equal height" in out
    assert picture.exists()
    rows = json.loads(rig("backstay", "--points", "5", "--json")[1])["rows"]
    assert [row["travel_pct"] for row in rows] == [0.0, 25.0, 50.0, 75.0, 100.0]


def test_loads(rig: Command) -> None:
    status, out, _ = rig("loads", "--winds", "14")
    assert status == 0
    assert "by righting moment" in out
    assert "low confidence" in out
    assert rig("loads", "--factor", "2")[0] == 1
    assert "our rigger" in rig("loads", "--winds", "14", "--factor", "2", "--factor-source", "our rigger")[1]


def test_measure_check_and_fit(rig: Command) -> None:
    status, out, _ = rig("measure", "forestay", "--cycles", "40", "--seconds", "5.2")
    assert status == 0
    assert "by swing (7.69 Hz)" in out
    assert (
        rig("measure", "cap_port", "--span", "300", "--deflection", "5", "--force", "175", "--keep")[0] == 0
    )
    assert rig("measure", "cap_starboard", "--tension", "2900", "--keep")[0] == 0
    status, out, _ = rig("check", "--port", "9404", "--starboard", "9404")
    assert "starboard is" in out
    assert "stands in the middle" in out
    status, _, err = rig("fit")
    assert status == 1
    assert "no measurements away from the base" in err


def test_half_a_gauge_reading_is_a_usage_mistake(rig: Command) -> None:
    assert rig("measure", "cap_port", "--span", "300")[0] == 2
    assert rig("measure", "cap_port", "--cycles", "30")[0] == 2
    assert rig("check", "--port", "9404")[0] == 2


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("turns", "--cap", "9"), "accepted -4 to 6"),
        (("turns", "--screw", "nut=1"), "no rigging screw 'nut'"),
        (("turns", "--wind", "90"), "wind: found 90"),
        (
            ("turns", "--lower", "-4", "--cap", "-4", "--wind", "39", "--backstay-pull", "5000"),
            "backstay pull",
        ),
        (("measure", "kicker", "--tension", "100"), "no wire 'kicker'"),
        (("measure", "forestay", "--cycles", "4000", "--seconds", "5"), "this wire can carry"),
        (("measure", "forestay", "--wav", "none.wav"), "no such file"),
        (("base", "--set", "forestay=1500"), "the base is set by cap, lower"),
        (("sheet", "--winds", "8,8"), "each wind once"),
        (("choose", "--low", "15", "--high", "8"), "winds that rise"),
        (("lock", "all", "--state", "loose"), "lock state"),
    ],
)
def test_bad_input_has_a_name_and_a_next_step(rig: Command, arguments: tuple[str, ...], words: str) -> None:
    status, _, err = rig(*arguments)
    assert status == 1
    assert words in err
    assert "Next:" in err
    assert "Traceback" not in err
