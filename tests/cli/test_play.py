"""``cringle play`` from the outside."""

from __future__ import annotations

import json
import shutil

import pytest
from typer.testing import CliRunner

from cringle.cli.main import app
from cringle.cli.play_text import check_lines
from cringle.errors import CringleError
from cringle.workflows.plays.play import check_play

RUNNER = CliRunner()


@pytest.fixture
def run(book_folder, monkeypatch):
    monkeypatch.setenv("CRINGLE_BOOK", str(book_folder))
    monkeypatch.setenv("COLUMNS", "120")

    def go(*arguments, **more):
        return RUNNER.invoke(app, ["play", *arguments], **more)

    return go


def data(result):
    assert result.exit_code == 0, result.output
    return json.loads(result.stdout)


def test_list(run):
    text = run("list").stdout
    assert "set_straight" in text
    assert " lib\n" in text
    assert len(data(run("list", "--json"))["plays"]) == 21
    assert {
        one["id"] for one in data(run("list", "--technique", "wing", "--wind", "12", "--json"))["plays"]
    } >= {"wing_gybe"}


def test_show(run, tmp_path):
    text = run("show", "set_straight").stdout
    for part in ("Hoist", "Usual faults", "No acceleration after the hoist", "RRS 41", "Forward"):
        assert part in text
    assert data(run("show", "tack", "--json"))["id"] == "tack"
    out = tmp_path / "tack.svg"
    assert "written" in run("show", "tack", "--out", str(out)).stdout
    assert out.read_text(encoding="utf-8").startswith("<svg")


def test_check(run):
    text = run("check", "set_straight", "--weight").stdout
    assert "can be done, 17.8 s" in text
    assert "Critical" in text
    assert "heel stays in its band" in text
    found = data(run("check", "set_straight", "--json"))
    assert set(found) >= {"feasible", "makespan_s", "critical", "slack_s", "conflicts", "loop"}
    assert "weight" in data(run("check", "set_straight", "--wind", "12", "--json"))


def test_a_loop_exits_with_one_and_names_its_lines(run, book_folder, examples):
    shutil.copytree(examples / "plays", book_folder / "plays")
    path = book_folder / "plays" / "tack.toml"
    text = path.read_text(encoding="utf-8").replace('after = ["call"]', 'after = ["call", "turn_up"]', 1)
    path.write_text(text, encoding="utf-8")
    result = run("check", "tack")
    assert result.exit_code == 1
    assert "look waits for turn_up" in result.stdout
    assert "tack.toml:" in result.stdout
    lines = check_lines(check_play(book_folder, "tack"))
    assert any("tack.toml:" in one and one.strip().endswith(": look") for one in lines)
    as_json = run("check", "tack", "--json")
    assert as_json.exit_code == 1
    assert json.loads(as_json.stdout)["loop"]


def test_deal(run):
    text = run("deal", "tack", "--without", "keo").stdout
    assert "proven shortest" in text
    assert "(new)" in text
    result = run("deal", "speed_build", "--hands", "2")
    assert result.exit_code == 1
    assert "Proven: it cannot be done. Bow_down, jib_build, main_build" in result.stdout
    assert data(run("deal", "tack", "--hands", "3", "--json"))["status"] == "proven"


def test_a_deal_at_its_limit_says_not_proven(run):
    result = run("deal", "set_straight", "--hands", "2", "--limit", "0.0001")
    assert "ot proven" in result.stdout
    assert "impossible" not in result.stdout


def test_lacking_is_written_person_colon_skill(run):
    result = run("deal", "tack", "--lacking", "keo")
    assert isinstance(result.exception, CringleError)
    assert "PERSON:SKILL" in str(result.exception)


def test_risk(run):
    text = run("risk", "set_straight", "--samples", "2000").stdout
    assert "Done by" in text
    assert "Head arrives" in text
    found = data(run("risk", "tack", "--samples", "500", "--json"))
    assert set(found) >= {"p_done", "p50_s", "p90_s", "criticality", "tack_head_gap_s"}


def test_duties(run):
    assert "Everything is said by exactly one person." in run("duties").stdout
    short = run("duties", "--role", "helm", "--role", "main").stdout
    assert "Hole: " in short
    assert data(run("duties", "--json"))["holes"] == []


def test_rehearse_with_times(run):
    text = run("rehearse", "tack", "--times", "cross_jib=2.6", "--total", "12.5").stdout
    assert "1 run kept" in text
    assert "cross_jib: 2.3" in text
    found = data(run("rehearse", "tack", "--total", "11", "--role", "helm=ines", "--ashore", "--json"))
    assert found["runs"] == 2
    assert "2 runs kept" in run("rehearse", "tack", "--progress").stdout
    assert "ines" in run("skills").stdout
    assert data(run("skills", "--json"))["seen"]


def test_learn_from_a_log(run, examples):
    text = run("learn", "tack", str(examples / "evening.nmea")).stdout
    assert "taken from the log" in text
    assert "turn_up:" in text
    again = data(run("learn", "tack", str(examples / "evening.nmea"), "--json"))
    assert again["kept"] == 0
    assert again["known"] > 0


def test_nobody_seen_yet(run):
    assert "Nobody has been seen" in run("skills").stdout


@pytest.mark.parametrize("bad", [["--times", "cross_jib"], ["--role", "helm", "--total", "3"]])
def test_rehearse_with_bad_words(run, bad):
    assert isinstance(run("rehearse", "tack", *bad).exception, CringleError)


def test_cards(run, tmp_path):
    out = tmp_path / "keo.pdf"
    assert "written" in run("cards", "tack", "--for", "keo", "--out", str(out)).stdout
    assert out.read_bytes().startswith(b"%PDF")
    assert data(run("cards", "tack", "--out", str(out), "--json"))["cards"] == [
        "Ines",
        "Tobias",
        "Marit",
        "Keo",
    ]


def test_an_unknown_play_lists_the_known_ones(run):
    result = run("check", "takc")
    assert isinstance(result.exception, CringleError)
    assert "tack" in str(result.exception)
