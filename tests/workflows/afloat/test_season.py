from __future__ import annotations

import json
from pathlib import Path

import pytest

from cringle.errors import InputError
from cringle.track.frozen_polar import sketch_polar
from cringle.track.season.trends import log_means
from cringle.track.simulator.options import SimOptions, SimSensors
from cringle.track.simulator.simulate import simulate
from cringle.track.simulator.write import writer_of
from cringle.workflows.afloat import season as season_module
from cringle.workflows.afloat import season_run
from cringle.workflows.afloat.corrections import Asked, correct_log, undo_in_log
from cringle.workflows.afloat.season import SeasonAsked, logs_in, season


@pytest.fixture(scope="module")
def fleet(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("fleet")
    options = SimOptions(boats=3, leg_m=500.0, laps=1, sensors=SimSensors(rate_hz=1.0, instruments=True))
    formats = ("csv", "gpx", "nmea")
    for boat, name in zip(simulate(options, sketch_polar(), 5).boats, formats, strict=True):
        (folder / f"{boat.name}.{name}").write_bytes(writer_of(name)(boat.fixes, boat.name))
    (folder / "broken.nmea").write_text("nothing here", encoding="utf-8")
    (folder / "notes.md").write_text("no log", encoding="utf-8")
    return folder


@pytest.fixture
def own_cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    return tmp_path / "cache"


def test_any_mix_and_one_bad_file_stops_nothing(fleet: Path, own_cache: Path):
    told: list[tuple[int, int]] = []
    found = season(SeasonAsked(fleet, workers=1), lambda done, total, _: told.append((done, total)))
    assert found.files == 4
    assert [Path(one.path).name for one in found.failed] == ["broken.nmea"]
    assert {Path(row["file"]).suffix for row in found.rows} == {".csv", ".gpx", ".nmea"}
    assert told[-1] == (4, 4)


def test_unchanged_files_are_not_read_again(fleet: Path, own_cache: Path, monkeypatch: pytest.MonkeyPatch):
    first = season(SeasonAsked(fleet, workers=1))

    def refuse(_: object) -> None:
        raise AssertionError("read again")

    monkeypatch.setattr(season_run, "season_file", refuse)
    second = season(SeasonAsked(fleet, workers=1))
    assert second.unchanged == 4
    assert second.rows == first.rows
    with pytest.raises(AssertionError, match="read again"):
        season(SeasonAsked(fleet, workers=1, again=True))


def test_a_changed_file_is_read_again(fleet: Path, own_cache: Path, tmp_path: Path):
    folder = tmp_path / "logs"
    folder.mkdir()
    source = next(fleet.glob("*.csv"))
    log = folder / "one.csv"
    log.write_bytes(source.read_bytes())
    season(SeasonAsked(folder, workers=1))
    log.write_bytes(source.read_bytes()[:-200])
    assert season(SeasonAsked(folder, workers=1)).unchanged == 0


def test_a_run_that_was_stopped_goes_on(fleet: Path, own_cache: Path, monkeypatch: pytest.MonkeyPatch):
    asked = SeasonAsked(fleet, workers=1)

    def stop(done: int, total: int, path: str) -> None:
        if done == 2:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        season(asked, stop)
    whole = season(asked)
    assert whole.unchanged == 2
    assert whole.rows == season(SeasonAsked(fleet, workers=1, again=True)).rows


def test_processes_give_the_same_rows(fleet: Path, own_cache: Path):
    alone = season(SeasonAsked(fleet, workers=1, again=True))
    both = season(SeasonAsked(fleet, workers=2, again=True))
    assert both.rows == alone.rows
    assert json.dumps(both.to_json(), allow_nan=False)


def test_csv_has_a_line_for_each_row(fleet: Path, own_cache: Path, tmp_path: Path):
    found = season(SeasonAsked(fleet, workers=1))
    season_module.write_season_csv(found, tmp_path / "s.csv")
    lines = (tmp_path / "s.csv").read_text(encoding="utf-8").splitlines()
    assert len(lines) == len(found.rows) + 1
    assert lines[0].startswith("file,sha256,log_start,day,leg")


def test_no_folder_and_no_log(tmp_path: Path):
    with pytest.raises(InputError, match="no such folder"):
        logs_in(tmp_path / "none")
    with pytest.raises(InputError, match="no log in it"):
        logs_in(tmp_path)


def test_corrections_of_the_book_are_followed(sailed_book: Path, examples: Path, tmp_path: Path):
    folder = tmp_path / "logs"
    folder.mkdir()
    (folder / "that-evening.nmea").write_bytes((examples / "evening.nmea").read_bytes())
    asked = SeasonAsked(folder, book=sailed_book, workers=1)
    before = season(asked)
    assert season(asked).unchanged == 1
    said = [Asked("remove", "manoeuvre", number=1), Asked("move", "start", to="18:34:00")]
    correct_log(sailed_book, folder / "that-evening.nmea", said, who="Ines", why="seen")
    after = season(asked)
    assert after.unchanged == 0
    assert after.rows[0]["tacks"] == before.rows[0]["tacks"] - 1
    assert after.rows[0]["start"] == "2026-06-17T17:34:00+00:00"
    assert after.rows[1]["lost_s"] == before.rows[1]["lost_s"]
    assert season(asked).unchanged == 1
    undo_in_log(sailed_book, folder / "that-evening.nmea", [1, 2], who="Ines", why="no")
    assert season(asked).rows == before.rows


def test_two_days_in_one_file_are_two_logs(fleet: Path, own_cache: Path, tmp_path: Path):
    folder = tmp_path / "logs"
    folder.mkdir()
    lines = next(fleet.glob("*.csv")).read_text(encoding="utf-8").splitlines()
    day = lines[1][:10]
    later = [line.replace(day, "2027-01-02") for line in lines[1:]]
    (folder / "both.csv").write_text("\n".join([*lines, *later]) + "\n", encoding="utf-8")
    found = season(SeasonAsked(folder, workers=1))
    assert sorted({row["day"] for row in found.rows}) == [day, "2027-01-02"]
    assert [row["kind"] for row in found.rows] == ["up", "run", "up", "run"]
    first, second = found.rows[:2], found.rows[2:]
    assert [row["lost_s"] for row in first] == [row["lost_s"] for row in second]
    assert len(log_means(found.rows)) == 2
