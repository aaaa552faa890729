"""``cringle log`` as a person runs it: text, JSON, files and exit status."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from cringle.cli.main import run
from cringle.track.frozen_polar import sketch_polar
from cringle.track.simulator.options import SimOptions, SimSensors
from cringle.track.simulator.simulate import simulate
from cringle.track.simulator.write import write_csv

REAL = Path(__file__).parents[1] / "data" / "logs"


@pytest.fixture(autouse=True)
def wide(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "160")
    monkeypatch.delenv("CRINGLE_BOOK", raising=False)


@pytest.fixture
def log(examples: Path) -> str:
    return str(examples / "evening.nmea")


def status(*arguments: str) -> int:
    with pytest.raises(SystemExit) as caught:
        run(["log", *arguments])
    return int(caught.value.code or 0)


def told(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    assert status(*arguments) == 0
    return capsys.readouterr().out


def as_json(capsys: pytest.CaptureFixture[str], *arguments: str) -> Any:
    return json.loads(told(capsys, *arguments, "--json"))


def test_debrief_begins_with_what_is_unknown(capsys: pytest.CaptureFixture[str], log: str) -> None:
    text = told(capsys, "debrief", log)
    assert text.startswith("What the data cannot tell")
    assert "You made 8 tacks and 6 gybes." in text
    assert "14  18:03:20  gybe" in text
    assert "4 wrong checksum" in text


def test_debrief_as_json(capsys: pytest.CaptureFixture[str], log: str) -> None:
    values = as_json(capsys, "debrief", log, "--heel-target", "upwind=14", "--heel-target", "downwind=6")
    assert (values["tacks"], values["gybes"], values["rows"], values["lines_read"]) == (8, 6, 2204, 11025)
    assert values["lines_skipped"] == {"bad_checksum": 4}
    assert 0.3 < values["heel"]["in_band_share"] < 0.9
    assert values["manoeuvres"][0]["time"] == "2026-06-17T17:35:21+00:00"


def test_debrief_writes_the_report(capsys: pytest.CaptureFixture[str], log: str, tmp_path: Path) -> None:
    out = tmp_path / "report.html"
    text = told(
        capsys, "debrief", log, "--out", str(out), "--boat", "Brindle", "--time-zone", "Europe/London"
    )
    assert str(out) in text
    page = out.read_text(encoding="utf-8")
    assert "Debrief of Brindle" in page
    assert "18:30 to 19:06" in page


def test_real_tacks_beside_the_noted_ones(capsys: pytest.CaptureFixture[str]) -> None:
    log, noted = str(REAL / "upwind-tacks-2008.log"), str(REAL / "upwind-tacks-2008-tacks.csv")
    text = told(capsys, "debrief", log, "--noted", noted)
    assert "6 found as noted, 0 noted but not found, 0 found but not noted" in text
    assert text.count("found  ") == text.count("noted  ") == 6


def test_a_log_without_a_date_asks_for_it(capsys: pytest.CaptureFixture[str]) -> None:
    motoring = str(REAL / "motoring-2014.log")
    assert status("debrief", motoring) == 1
    assert "--date" in capsys.readouterr().err
    values = as_json(capsys, "debrief", motoring, "--date", "2014-06-01")
    assert (values["tacks"], values["gybes"], values["heel"]) == (0, 0, None)


@pytest.mark.parametrize(
    ("wrong", "message"),
    [
        (("--date", "yesterday"), "accepted: 2026-06-17"),
        (("--heel-target", "14"), "accepted: NAME=VALUE"),
        (("--heel-target", "upwind=much"), "a number of degrees"),
        (("--column", "=x"), "accepted: NAME=VALUE"),
    ],
)
def test_wrong_options_are_usage_errors(
    capsys: pytest.CaptureFixture[str], log: str, wrong: tuple[str, str], message: str
) -> None:
    assert status("debrief", log, *wrong) == 2
    assert message in capsys.readouterr().err


def test_a_missing_log_outside_a_book(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert status("debrief", "absent.nmea") == 1
    assert "absent.nmea: there is no such file" in capsys.readouterr().err


def test_read_list_and_debrief_by_name(
    capsys: pytest.CaptureFixture[str], log: str, book_folder: Path
) -> None:
    book = ("--book", str(book_folder))
    assert "no logs yet" in told(capsys, "list", *book)
    first = as_json(capsys, "read", log, *book)["logs"][0]
    assert (first["already_there"], first["rows"]) == (False, 2204)
    assert "already there" in told(capsys, "read", log, *book)
    assert "evening.nmea" in told(capsys, "list", *book)
    assert as_json(capsys, "list", *book)["logs"][0]["sha256"] == first["sha256"]
    values = as_json(capsys, "debrief", "evening", *book)
    assert (values["boat"], values["tacks"], values["time_zone"]) == ("Brindle", 8, "Europe/London")


def test_bad_logs_name_the_next_step(
    capsys: pytest.CaptureFixture[str], book_folder: Path, tmp_path: Path
) -> None:
    empty = tmp_path / "empty.nmea"
    empty.write_bytes(b"")
    assert status("read", str(empty), "--book", str(book_folder)) == 1
    assert "Next:" in capsys.readouterr().err


@pytest.mark.parametrize("command", ["read", "list", "debrief"])
def test_every_command_has_help_with_an_example(capsys: pytest.CaptureFixture[str], command: str) -> None:
    text = told(capsys, command, "--help")
    assert "Usage:" in text
    assert "cringle log" in text


def days_csv(path: Path) -> Path:
    """Write a CSV of two evenings, an hour and half an hour long, at anchor in between."""
    lines = ["time_utc,lat_deg,lon_deg,sog_kn,cog_deg"]
    for day, minutes in ((16, 60), (17, 30)):
        for second in range(0, minutes * 60, 5):
            clock = f"2026-06-{day}T17:{second // 60:02d}:{second % 60:02d}Z"
            lines.append(f"{clock},{54.0 + 1e-5 * second:.6f},{10.0 + 1e-5 * second:.6f},4.0,30")
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


def test_each_day_of_a_file_or_the_one_asked_for(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    log = str(days_csv(tmp_path / "days.csv"))
    text = told(capsys, "debrief", log, "--out", str(tmp_path / "page.html"))
    assert text.count("What happened") == 2
    assert (
        "The file holds 2 days of sailing. This is 2026-06-16; for the others (2026-06-17) say --day." in text
    )
    assert "17 June 2026" in (tmp_path / "page-2026-06-17.html").read_text(encoding="utf-8")
    assert "16 June 2026" in (tmp_path / "page.html").read_text(encoding="utf-8")
    both = as_json(capsys, "debrief", log)
    assert (both["day"], [one["day"] for one in both["other_days"]]) == ("2026-06-16", ["2026-06-17"])
    one = as_json(capsys, "debrief", log, "--day", "2026-06-17")
    assert (one["day"], one["days"], one["other_days"]) == ("2026-06-17", both["days"], [])
    assert status("debrief", log, "--day", "2026-06-20") == 1
    assert "it has: 2026-06-16, 2026-06-17" in capsys.readouterr().err


def test_a_csv_that_counts_seconds_needs_its_start(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, book_folder: Path
) -> None:
    log = tmp_path / "counts.csv"
    rows = [f"{one},{54.0 + 1e-5 * one:.6f},10.0,4.0,0" for one in range(300)]
    log.write_text("\n".join(["elapsed_s,lat_deg,lon_deg,sog_kn,cog_deg", *rows]) + "\n", encoding="utf-8")
    assert status("debrief", str(log)) == 1
    assert "--start-time" in capsys.readouterr().err
    start = ("--start-time", "2026-06-17T17:30:00")
    assert as_json(capsys, "debrief", str(log), *start)["start"] == "2026-06-17T17:30:00+00:00"
    (kept,) = as_json(capsys, "read", str(log), *start, "--book", str(book_folder))["logs"]
    assert kept["end"] == "2026-06-17T17:34:59+00:00"
    assert status("debrief", str(log), "--start-time", "soon") == 2
    assert "is no time" in capsys.readouterr().err


def test_a_spotters_list_stands_in_for_a_sensor(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    log = tmp_path / "race.csv"
    sensors = SimSensors(rate_hz=1.0, instruments=True, heel=False)
    boat = simulate(SimOptions(sensors=sensors), sketch_polar(), 8).boats[0]
    log.write_bytes(write_csv(boat.fixes, boat.name))
    seen = tmp_path / "seen.csv"
    lines = [f"17:{minute:02d},{12 + minute % 3}" for minute in range(34, 59)]
    seen.write_text("\n".join(["time,heel_deg", *lines]) + "\n", encoding="utf-8")
    found = as_json(capsys, "debrief", str(log), "--spotter", str(seen))
    assert found["heel"] is None
    assert found["heel_discipline"] is None
    up = found["heel_spotted"]["upwind"]
    assert up["count"] >= 5
    assert up["in_band_share_low"] <= up["in_band_share"] <= up["in_band_share_high"]
    page = tmp_path / "page.html"
    text = told(capsys, "debrief", str(log), "--spotter", str(seen), "--out", str(page))
    assert "readings were within 2° of the target" in text
    assert "Heel against its target" in page.read_text(encoding="utf-8")
    seen.write_text("time,heel_deg\n17:40,much\n", encoding="utf-8")
    assert status("debrief", str(log), "--spotter", str(seen)) == 1
    assert "seen.csv:2" in capsys.readouterr().err


def test_marks_that_were_given(capsys: pytest.CaptureFixture[str], log: str) -> None:
    found = as_json(capsys, "debrief", log)["structure"]
    (windward, *_) = [one for one in found["roundings"] if one["mark"] == "windward"]
    place = f"windward={windward['lat_deg'] + 5e-5:.6f},{windward['lon_deg']:.6f}"
    given = as_json(capsys, "debrief", log, "--mark", place)["structure"]
    (mark,) = [one for one in given["marks"] if one["name"] == "windward"]
    assert mark["given"]
    (moved, *_) = [one for one in given["roundings"] if one["mark"] == "windward"]
    assert moved["confidence"] > windward["confidence"]
    for wrong in ("windward", "windward=54", "pin=54.2,-5.0", "windward=here,there"):
        assert status("debrief", log, "--mark", wrong) == 2
    assert status("debrief", log, "--mark", "windward=154.2,-5.0") == 1
    assert "windward: found 154.2, -5" in capsys.readouterr().err


RACE = SimOptions(laps=1, leg_m=700.0, sensors=SimSensors(rate_hz=1.0, instruments=True))


def raced(path: Path, options: SimOptions) -> str:
    """Write one simulated race; the seed is the same for all."""
    boat = simulate(options, sketch_polar(), 8).boats[0]
    path.write_bytes(write_csv(boat.fixes, boat.name))
    return str(path)


@pytest.mark.parametrize(("lat", "lon"), [(-17.0, 179.999), (0.0, -179.999), (85.0, 10.0), (-85.0, 180.0)])
def test_the_race_is_the_same_anywhere(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, lat: float, lon: float
) -> None:
    home = as_json(capsys, "debrief", raced(tmp_path / "home.csv", RACE))
    far = as_json(capsys, "debrief", raced(tmp_path / "far.csv", replace(RACE, lat_deg=lat, lon_deg=lon)))
    assert (far["tacks"], far["gybes"]) == (home["tacks"], home["gybes"])
    assert [one["duration_s"] for one in far["legs"]] == [one["duration_s"] for one in home["legs"]]
    assert far["ledger"]["total"] == pytest.approx(home["ledger"]["total"], abs=2.0)
    assert far["distance_nm"] == pytest.approx(home["distance_nm"], rel=0.005)


@pytest.mark.parametrize("hertz", [0.2, 50.0])
def test_slow_and_fast_receivers(capsys: pytest.CaptureFixture[str], tmp_path: Path, hertz: float) -> None:
    usual = as_json(capsys, "debrief", raced(tmp_path / "usual.csv", RACE))
    sensors = SimSensors(rate_hz=hertz, instruments=True)
    found = as_json(capsys, "debrief", raced(tmp_path / "other.csv", replace(RACE, sensors=sensors)))
    assert (found["tacks"], found["gybes"]) == (usual["tacks"], usual["gybes"])
    assert [one["kind"] for one in found["legs"]] == [one["kind"] for one in usual["legs"]]
    assert found["ledger"]["total"] == pytest.approx(usual["ledger"]["total"], abs=8.0)


def test_lines_in_the_wrong_order_and_a_heel_sensor_turned_round(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    usual = as_json(capsys, "debrief", raced(tmp_path / "usual.csv", RACE))
    head, *rows = (tmp_path / "usual.csv").read_text(encoding="utf-8").splitlines()
    upside = tmp_path / "upside.csv"
    upside.write_text("\n".join([head, *reversed(rows)]) + "\n", encoding="utf-8")
    turned = as_json(capsys, "debrief", str(upside))
    assert turned["clock_repairs"] == {"backward": len(rows) - 1}
    assert turned["ledger"] == usual["ledger"]
    sensors = SimSensors(rate_hz=1.0, instruments=True, heel_sign=-1)
    wrong = as_json(capsys, "debrief", raced(tmp_path / "wrong.csv", replace(RACE, sensors=sensors)))
    assert wrong["heel"]["sign_turned"]
    assert wrong["heel"]["mean_deg"] == pytest.approx(usual["heel"]["mean_deg"], abs=0.2)
    assert any("counts the wrong way round" in one for one in wrong["unknown"])
