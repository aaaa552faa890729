"""``cringle log steady`` from the command line."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from cringle.cli.main import run
from cringle.track.frozen_polar import sketch_polar
from cringle.track.simulator.options import SimOptions
from cringle.track.simulator.simulate import simulate
from cringle.track.simulator.write import writer_of


@pytest.fixture(scope="module")
def race(tmp_path_factory: pytest.TempPathFactory) -> Path:
    boat = simulate(SimOptions(laps=2), sketch_polar(), 3).boats[0]
    path = tmp_path_factory.mktemp("race") / "race.csv"
    path.write_bytes(writer_of("csv")(boat.fixes, boat.name))
    return path


def ran(*words: str) -> int:
    with pytest.raises(SystemExit) as ended:
        run(["log", "steady", *words])
    return int(ended.value.code or 0)


def test_text_csv_and_json(race: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "steady.csv"
    assert ran(str(race), "--wind", "10", "--out", str(out)) == 0
    assert "stretches; wind: direction: track, speed: entered" in capsys.readouterr().out
    assert out.read_text(encoding="utf-8").startswith("start,seconds,leg,kind")
    assert ran(str(race), "--wind", "10", "--json") == 0
    told = json.loads(capsys.readouterr().out)
    assert told["stretches"][0]["seconds"] == 40


def test_a_missing_log_is_an_error(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert ran(str(tmp_path / "none.nmea")) == 1
    assert "none.nmea" in capsys.readouterr().err
