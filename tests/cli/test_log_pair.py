"""``cringle log pair``, the debrief's race options and ``cringle season`` as a person runs them."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from cringle.cli.main import run
from cringle.track.frozen_polar import sketch_polar
from cringle.track.simulator.options import SimOptions, SimSensors
from cringle.track.simulator.simulate import simulate
from cringle.track.simulator.write import writer_of


@pytest.fixture(scope="module")
def logs(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("race")
    options = SimOptions(boats=2, leg_m=700.0, laps=1, sensors=SimSensors(rate_hz=1.0))
    for boat in simulate(options, sketch_polar(), 9).boats:
        (folder / f"{boat.name}.csv").write_bytes(writer_of("csv")(boat.fixes, boat.name))
    return folder


@pytest.fixture(autouse=True)
def quiet(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("COLUMNS", "160")
    monkeypatch.delenv("CRINGLE_BOOK", raising=False)
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))


def ran(capsys: pytest.CaptureFixture[str], *arguments: object) -> tuple[int, str, str]:
    with pytest.raises(SystemExit) as caught:
        run([str(one) for one in arguments])
    shown = capsys.readouterr()
    return int(caught.value.code or 0), shown.out, shown.err


def as_json(capsys: pytest.CaptureFixture[str], *arguments: object) -> Any:
    code, out, err = ran(capsys, *arguments, "--json")
    assert code == 0, err
    return json.loads(out)


def test_pair_in_text_json_and_a_page(capsys: pytest.CaptureFixture[str], logs: Path, tmp_path: Path) -> None:
    pair = ("log", "pair", logs / "Brindle.csv", logs / "Sorrel.csv", "--wind", 10)
    code, out, _ = ran(capsys, *pair, "--out", tmp_path / "pair.html")
    assert code == 0
    assert out.startswith("Brindle against Sorrel: ")
    assert (tmp_path / "pair.html").read_text(encoding="utf-8").startswith("<!doctype html>")
    values = as_json(capsys, *pair)
    total = values["height_m_per_min"] + values["speed_m_per_min"]
    assert values["gain_m_per_min"] == pytest.approx(total, abs=1e-3)
    assert values["gain_m_per_min_low"] <= values["gain_m_per_min"] <= values["gain_m_per_min_high"]


def test_pair_with_itself_is_nothing(capsys: pytest.CaptureFixture[str], logs: Path) -> None:
    values = as_json(capsys, "log", "pair", logs / "Brindle.csv", logs / "Brindle.csv", "--wind", 10)
    assert values["gain_m_per_min"] == 0.0
    assert values["words"] == "same height, same speed, +0 m a minute"


def test_an_entered_wind_gives_a_ledger(capsys: pytest.CaptureFixture[str], logs: Path) -> None:
    values = as_json(capsys, "log", "debrief", logs / "Brindle.csv", "--wind", 10)
    parts = {name: value for name, value in values["ledger"].items() if name != "total"}
    assert sum(parts.values()) == pytest.approx(values["ledger"]["total"], abs=0.5)
    assert values["wind_source"]["strength"] == "entered"
    assert {"mean", "spread"} == set(values["twd_deg"])
    assert len(values["advice"]) <= 3
    assert all("metres_lost" in one for one in values["manoeuvres"])


def test_against_another_boat(capsys: pytest.CaptureFixture[str], logs: Path, tmp_path: Path) -> None:
    other = ("--against", logs / "Sorrel.csv", "--wind", 10, "--pdf", tmp_path / "r.pdf")
    values = as_json(capsys, "log", "debrief", logs / "Brindle.csv", *other)
    assert values["ledger_detail"]["baseline"] == "Sorrel"
    assert (tmp_path / "r.pdf").read_bytes().startswith(b"%PDF")


@pytest.mark.parametrize(
    ("options", "code", "words"),
    [
        (("--baseline", "best"), 1, "model, fitted, own, boat"),
        (("--baseline", "boat"), 1, "--against FILE"),
        (("--stream", "fast"), 2, "KNOTS@DEGREES"),
        (("--stream", "40@90"), 1, "current"),
        (("--sea", "choppy"), 1, "flat, chop, waves"),
        (("--felt", "none.csv"), 1, "none.csv"),
        (("--wind-file", "none.csv"), 1, "none.csv"),
    ],
)
def test_what_cannot_be_is_said(
    capsys: pytest.CaptureFixture[str], logs: Path, options: tuple[str, ...], code: int, words: str
) -> None:
    got, _, err = ran(capsys, "log", "debrief", logs / "Brindle.csv", *options)
    assert got == code
    assert words in err


def test_season_writes_a_row_for_each_leg(
    capsys: pytest.CaptureFixture[str], logs: Path, tmp_path: Path
) -> None:
    code, out, _ = ran(capsys, "season", logs, "--workers", 1, "--wind", 10, "--out", tmp_path / "s.csv")
    assert code == 0
    assert "2 logs, 0 unchanged" in out
    again = as_json(capsys, "season", logs, "--workers", 1, "--wind", 10)
    assert again["unchanged"] == 2
    assert len(again["rows"]) == len((tmp_path / "s.csv").read_text(encoding="utf-8").splitlines()) - 1


def test_season_of_nothing(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    code, _, err = ran(capsys, "season", tmp_path)
    assert code == 1
    assert "no log in it" in err


def test_a_day_is_asked_for_of_both_logs(capsys: pytest.CaptureFixture[str], logs: Path) -> None:
    pair = ("log", "pair", logs / "Brindle.csv", logs / "Sorrel.csv", "--wind", 10)
    days = {
        line.partition("T")[0] for line in (logs / "Brindle.csv").read_text(encoding="utf-8").split("\n")[1:]
    }
    (day,) = {one.split(",")[0] for one in days if one}
    assert as_json(capsys, *pair, "--day", day) == as_json(capsys, *pair)
    code, out, err = ran(capsys, *pair, "--day", "2020-01-01")
    assert (code, out) == (1, "")
    assert "2020-01-01" in err
    code, _, err = ran(capsys, *pair, "--day", "yesterday")
    assert code == 2
    assert "is no date" in err
