"""``cringle season`` from the command line."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from cringle.cli.main import run
from cringle.track.frozen_polar import sketch_polar
from cringle.track.simulator.options import SimOptions, SimSensors
from cringle.track.simulator.simulate import simulate
from cringle.track.simulator.write import write_csv


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    logs = tmp_path_factory.mktemp("season")
    sensors = SimSensors(rate_hz=1.0, instruments=True)
    boat = simulate(SimOptions(leg_m=500.0, laps=1, sensors=sensors), sketch_polar(), 5).boats[0]
    (logs / "one.csv").write_bytes(write_csv(boat.fixes, boat.name))
    (logs / "bad.nmea").write_text("nothing", encoding="utf-8")
    return logs


@pytest.fixture(autouse=True)
def own_cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    monkeypatch.delenv("CRINGLE_BOOK", raising=False)


def ran(*words: str) -> int:
    with pytest.raises(SystemExit) as ended:
        run(["season", *words])
    return int(ended.value.code or 0)


def test_csv_page_paper_text_and_json(
    folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out, html, pdf = (tmp_path / f"season.{one}" for one in ("csv", "html", "pdf"))
    files = ("--out", str(out), "--html", str(html), "--pdf", str(pdf))
    assert ran(str(folder), "--workers", "1", *files) == 0
    text = capsys.readouterr().out
    assert "beat 1" in text
    assert "2 logs, 0 unchanged and not read again, 1 without rows" in text
    assert "nothing is clear yet" in text
    assert "not used:" in text
    assert out.read_text(encoding="utf-8").count("\n") == 3
    assert "Every leg" in html.read_text(encoding="utf-8")
    assert pdf.read_bytes().startswith(b"%PDF")
    assert ran(str(folder), "--workers", "1", "--json") == 0
    told = json.loads(capsys.readouterr().out)
    assert (told["schema"], told["files"], told["unchanged"], len(told["rows"])) == (1, 2, 2, 2)
    assert told["rows"][0]["day"] == told["days"][0]["day"] == "2026-06-17"


def test_with_a_book_it_is_her_season(
    folder: Path, tmp_path: Path, book_folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    html = tmp_path / "season.html"
    assert ran(str(folder), "--workers", "1", "--book", str(book_folder), "--html", str(html)) == 0
    assert "Season of Brindle" in html.read_text(encoding="utf-8")


def test_no_such_folder(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert ran(str(tmp_path / "none")) == 1
    assert "no such folder" in capsys.readouterr().err


def test_a_page_that_cannot_be_written_is_said(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert ran(str(folder), "--workers", "1", "--html", str(folder / "none" / "season.html")) == 1
    assert "season.html" in capsys.readouterr().err
