from __future__ import annotations

import json
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path

import numpy as np
import pytest

from cringle.track.debrief.race import RaceOptions
from cringle.track.frozen_polar import sketch_polar
from cringle.track.ledger.ledger import PARTS
from cringle.track.race.correction import Correction
from cringle.track.reading.options import ReadOptions
from cringle.track.season.season import (
    EMPTY,
    SeasonTask,
    corrections_mark,
    season_file,
    season_file_from,
    signature,
)
from cringle.track.simulator.options import SimOptions, SimSensors
from cringle.track.simulator.simulate import simulate
from cringle.track.simulator.write import writer_of

POLAR = sketch_polar()
RACE = RaceOptions(POLAR)


@pytest.fixture(scope="module")
def log(tmp_path_factory: pytest.TempPathFactory) -> Path:
    options = SimOptions(leg_m=600.0, laps=1, sensors=SimSensors(rate_hz=1.0, instruments=True))
    boat = simulate(options, POLAR, 3).boats[0]
    path = tmp_path_factory.mktemp("season") / "brindle.csv"
    path.write_bytes(writer_of("csv")(boat.fixes, boat.name))
    return path


def test_one_row_for_each_leg(log: Path):
    found = season_file(SeasonTask(str(log), race=RACE))
    assert found.error is None
    assert [row["kind"] for row in found.rows] == ["up", "run"]
    assert [row["leg"] for row in found.rows] == [1, 2]
    assert found.rows[0]["tacks"] > 0
    assert found.rows[1]["gybes"] > 0


def test_the_parts_of_a_row_add_up(log: Path):
    for row in season_file(SeasonTask(str(log), race=RACE)).rows:
        assert sum(row[f"lost_{part}_s"] for part in PARTS) == pytest.approx(row["lost_s"], abs=0.01)


def test_the_same_file_gives_the_same_rows(log: Path):
    first, second = (season_file(SeasonTask(str(log), race=RACE)) for _ in range(2))
    assert first == second


def test_rows_survive_json(log: Path):
    found = season_file(SeasonTask(str(log), race=RACE))
    again = season_file_from(json.loads(json.dumps(found.to_json(), allow_nan=False)))
    assert again == found


def test_without_a_race_one_row_with_every_column(log: Path):
    found = season_file(SeasonTask(str(log)))
    assert len(found.rows) == 1
    assert found.rows[0]["leg"] is None
    assert set(EMPTY) <= set(found.rows[0])


@pytest.mark.parametrize("content", [b"", b"junk", b"\x00\xff" * 50, b"PAR1 cut off", b"time,lat\n1,2\n"])
def test_a_bad_file_gives_its_reason(tmp_path: Path, content: bytes):
    path = tmp_path / "bad.nmea"
    path.write_bytes(content)
    found = season_file(SeasonTask(str(path), race=RACE))
    assert found.rows == ()
    assert found.error


def test_a_file_that_is_gone(tmp_path: Path):
    assert season_file(SeasonTask(str(tmp_path / "none.nmea"), race=RACE)).error


def test_a_fault_of_ours_is_named_not_raised(log: Path, monkeypatch: pytest.MonkeyPatch):
    from cringle.track.season import season

    def fail(*_: object, **__: object) -> None:
        raise ZeroDivisionError("by nought")

    monkeypatch.setattr(season, "debrief", fail)
    assert season_file(SeasonTask(str(log), race=RACE)).error == "ZeroDivisionError: by nought"


def test_the_signature_knows_what_rows_depend_on(log: Path):
    plain = SeasonTask(str(log), race=RACE)
    assert signature(plain) == signature(SeasonTask("elsewhere", race=RaceOptions(sketch_polar())))
    others = [
        replace(plain, race=None),
        replace(plain, race=replace(RACE, baseline="own")),
        replace(plain, race=replace(RACE, targets_deg={"upwind": 12.0})),
        replace(plain, read=ReadOptions(accept_no_checksum=True)),
        replace(plain, race=replace(RACE, polar=replace(POLAR, speed_kn=np.asarray(POLAR.speed_kn * 1.01)))),
    ]
    assert len({signature(one) for one in (plain, *others)}) == len(others) + 1


def test_corrections_of_this_log_are_followed_and_marked(log: Path):
    plain = season_file(SeasonTask(str(log), race=RACE))
    assert plain.sha256 is not None
    start = datetime.fromisoformat(plain.rows[0]["start"])
    said = (Correction("start", "move", start, start + timedelta(seconds=30)),)
    task = SeasonTask(str(log), race=RACE, corrections={plain.sha256: said, "0" * 64: ()})
    found = season_file(task)
    assert found.rows[0]["duration_s"] == plain.rows[0]["duration_s"] - 30
    assert (plain.corrected, found.corrected) == ("", corrections_mark(said))
    assert corrections_mark(said) != corrections_mark(said * 2) != ""
    assert season_file(SeasonTask(str(log), race=RACE, corrections={"0" * 64: said})) == plain


def test_two_boats_mixed_are_named(log: Path, tmp_path: Path):
    lines = log.read_text(encoding="utf-8").splitlines()
    head, rows = lines[0].split(","), [line.split(",") for line in lines[1:]]
    lat = head.index("lat_deg")
    for row in rows[1::2]:
        row[lat] = f"{float(row[lat]) + 0.02:.7f}"
    path = tmp_path / "mixed.csv"
    path.write_text("\n".join([lines[0], *(",".join(row) for row in rows)]) + "\n", encoding="utf-8")
    found = season_file(SeasonTask(str(path), race=RACE))
    assert found.rows == ()
    assert "two boats in one file" in str(found.error)
