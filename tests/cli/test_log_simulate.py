"""``cringle log simulate`` from the command line."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from cringle.cli.main import run
from cringle.track.frozen_polar import sketch_polar
from cringle.workflows.afloat import simulate


@pytest.fixture(autouse=True)
def quick_polar(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(simulate, "book_polar", lambda book, sea, member: sketch_polar())


def ran(*words: str) -> int:
    with pytest.raises(SystemExit) as ended:
        run(["log", "simulate", *words])
    return int(ended.value.code or 0)


def test_json_names_every_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    words = ["--seed", "4", "--boats", "2", "--laps", "1", "--leg", "400", "--format", "csv"]
    assert ran("--out", str(tmp_path), *words, "--json") == 0
    told = json.loads(capsys.readouterr().out)
    assert [Path(one["log"]).name for one in told["logs"]] == ["Brindle.csv", "Sorrel.csv"]
    truth = json.loads((tmp_path / "Sorrel.truth.json").read_text(encoding="utf-8"))
    assert {"manoeuvres", "twd_deg", "tws_kn", "ledger", "heel_bias_deg"} <= set(truth)


def test_text_and_options(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    words = ["--laps", "1", "--leg", "400", "--heel-bias", "3", "--rate", "1", "--no-heel"]
    assert ran("--out", str(tmp_path), *words) == 0
    assert "Brindle" in capsys.readouterr().out
    truth = json.loads((tmp_path / "Brindle.truth.json").read_text(encoding="utf-8"))
    assert truth["heel_bias_deg"] == 3.0
    assert "XDR" not in (tmp_path / "Brindle.nmea").read_text(encoding="ascii")


@pytest.mark.parametrize(("format", "mark"), [("nmea", "WIMWV"), ("csv", "awa_deg"), ("gpx", "wind_angle")])
def test_instruments_are_recorded_unless_left_out(tmp_path: Path, format: str, mark: str) -> None:
    words = ["--laps", "1", "--leg", "400", "--rate", "1", "--format", format]
    assert ran("--out", str(tmp_path / "with"), *words) == 0
    assert ran("--out", str(tmp_path / "without"), *words, "--no-instruments") == 0
    whole, bare = (
        (tmp_path / one / f"Brindle.{format}").read_text(encoding="ascii") for one in ("with", "without")
    )
    assert mark in whole and mark not in bare


@pytest.mark.parametrize("words", [["--wind", "99"], ["--clock", "late"], ["--format", "kml"]])
def test_bad_options_say_what_is_accepted(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], words: list[str]
) -> None:
    assert ran("--out", str(tmp_path / "x"), *words) == 1
    assert "accepted" in (told := capsys.readouterr().err) or "use one of" in told
    assert not (tmp_path / "x").exists()
