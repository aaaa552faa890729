"""Studies: the commands' own answers, with pictures in the page's colours, as plain values."""

from __future__ import annotations

import json
import shutil
from collections.abc import Mapping
from pathlib import Path
from typing import Any, Final

import pytest

from cringle.book.store import Book
from cringle.errors import BookFileError, InputError
from cringle.workflows.numbers.csv import import_csv
from cringle.workflows.rig.as_json import backstay_json
from cringle.workflows.rig.backstay import BackstayRequest, rig_backstay
from cringle.workflows.serving import studies
from cringle.workflows.serving.studies import STUDIES, study
from cringle.workflows.speed.as_json import lane_json
from cringle.workflows.speed.lanes import LaneQuestion, speed_lane
from cringle.workflows.speed.open import SpeedAsked


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory, examples: Path) -> Path:
    own = tmp_path_factory.mktemp("studied") / "book"
    own.mkdir()
    for name in ("class.toml", "boat.toml", "crew.toml", "survey.toml"):
        shutil.copyfile(examples / name, own / name)
    shutil.copytree(examples / "plays", own / "plays")
    with Book.open(own, create=True, who="coach"):
        pass
    import_csv(own, examples / "table.csv", examples / "cues.csv", who="coach")
    return own


ASKED: Final[Mapping[str, dict[str, Any]]] = {
    "lane": {"question": "shift", "wind_kn": 11.0, "right_m": 100.0, "shift_deg": 8.0},
    "rig": {"sea": "chop"},
    "backstay": {"wind_kn": 12.0},
    "play": {"play": "tack"},
}


@pytest.mark.parametrize("name", sorted(ASKED))
def test_an_answer_is_plain_and_its_pictures_follow_the_page(folder: Path, name: str) -> None:
    found = study(folder, name, ASKED[name])
    text = json.dumps(found, allow_nan=False)
    assert json.loads(text) == found
    pictures = json.dumps([found.get("charts"), found.get("svg")])
    assert "var(--ink)" in pictures
    assert "#12313A" not in pictures
    assert "<script" not in pictures
    assert "style=" not in pictures


def test_a_lane_is_what_the_command_says(folder: Path) -> None:
    asked = LaneQuestion(**ASKED["lane"])
    command = lane_json(speed_lane(folder, asked, about=SpeedAsked(members=studies.LANE_MEMBERS)).answer)
    assert study(folder, "lane", ASKED["lane"])["answer"] == json.loads(json.dumps(command))


def test_the_backstay_is_what_the_command_says(folder: Path) -> None:
    command = backstay_json(rig_backstay(folder, BackstayRequest(12.0)))
    assert study(folder, "backstay", ASKED["backstay"])["answer"] == command


def test_the_rig_has_base_sheet_loads_and_sides(folder: Path) -> None:
    answer = study(folder, "rig", {"sea": "chop"})["answer"]
    assert {"base", "sheet", "loads", "check"} == set(answer)
    assert answer["sheet"]["rows"]
    assert answer["loads"]["cautions"]


def test_a_play_with_a_mistake_is_refused(folder: Path, tmp_path: Path) -> None:
    own = tmp_path / "book"
    shutil.copytree(folder, own)
    path = own / "plays" / "tack.toml"
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace("[[actions]]", "[[actions]]\nafter_nobody = 1", 1), encoding="utf-8")
    with pytest.raises(BookFileError):
        study(own, "play", {"play": "tack"})


def test_a_kept_answer_is_not_worked_out_again(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("CRINGLE_CACHE", str(tmp_path / "cache"))
    first = study(folder, "lane", ASKED["lane"])
    monkeypatch.setattr("cringle.workflows.speed.lanes.speed_lane", None)
    assert study(folder, "lane", ASKED["lane"]) == first
    assert len(list((tmp_path / "cache").glob("study-lane-*.json"))) == 1


def test_an_unknown_study_is_refused_with_those_that_are_known(folder: Path) -> None:
    with pytest.raises(InputError) as caught:
        study(folder, "fortune", {})
    assert all(name in str(caught.value.next_step) for name in STUDIES)
