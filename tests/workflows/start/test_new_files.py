from __future__ import annotations

import tomllib
from collections.abc import Mapping
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from cringle.boat.book_files import BookFiles
from cringle.boat.read import read_book_files
from cringle.errors import BookFileError, InputError
from cringle.workflows.start.new_answers import Answers
from cringle.workflows.start.new_files import STARTER, guessed_crew, new_files

TODAY = date(2026, 5, 1)


def written(folder: Path, answers: Mapping[str, Any]) -> BookFiles:
    folder.mkdir(exist_ok=True)
    for name, text in new_files(Answers.model_validate(answers), TODAY).texts.items():
        (folder / name).write_text(text, encoding="utf-8")
    return read_book_files(folder)


@pytest.fixture
def answers(examples: Path) -> dict[str, Any]:
    return {"class_file": str(examples / "class.toml"), "name": "Wren", "time_zone": "Europe/Berlin"}


def test_files_made_from_a_class_file_agree_with_each_other(tmp_path: Path, answers: dict[str, Any]) -> None:
    more = {"hull_number": 7, "water": "fresh", "home_water": "Tarrow Water"}
    files = written(tmp_path / "b", answers | more)
    boat = files.boat_file.boat
    assert (boat.name, boat.hull_number, boat.class_name, boat.water) == ("Wren", 7, "Ouzel", "fresh")
    assert (boat.home_water, boat.time_zone) == ("Tarrow Water", "Europe/Berlin")
    assert files.class_file.identity.name == "Ouzel"


def test_the_usual_lines_are_there_with_both_sides_alike(tmp_path: Path, answers: dict[str, Any]) -> None:
    boat = written(tmp_path / "b", answers).boat_file
    names = (
        "jib_sheet_port jib_sheet_starboard jib_halyard jib_track_port main_halyard mainsheet traveller "
        "cunningham outhaul vang backstay kite_sheet_port tack_line"
    )
    wanted = set(names.split())
    assert wanted <= {one.id for one in boat.controls}
    assert {one.role for one in boat.screws} == {"cap_shrouds", "lower_shrouds", "forestay"}
    for one in (*boat.controls, *boat.screws):
        if one.pair is not None:
            other = boat.control(one.pair)
            assert other is not None
            assert other.pair == one.id


def test_a_rule_state_comes_from_the_class_and_is_unknown_where_it_says_nothing(
    tmp_path: Path, answers: dict[str, Any]
) -> None:
    boat = written(tmp_path / "b", answers).boat_file
    states = {one.id: one.rule_state.value for one in (*boat.controls, *boat.screws)}
    assert states["cap_port"] == "between races"
    assert states["forestay_screw"] == "ashore"
    assert states["jib_halyard"] == "any time"
    assert states["outhaul"] == "unknown"


def test_lengths_say_that_they_are_guesses(tmp_path: Path, answers: dict[str, Any]) -> None:
    written(tmp_path / "b", answers)
    text = (tmp_path / "b" / "boat.toml").read_text(encoding="utf-8")
    assert "Lengths are guesses until the marking day" in text
    assert "Pitches are guesses" in text
    crew = (tmp_path / "b" / "crew.toml").read_text(encoding="utf-8")
    assert "masses are guesses" in crew


def test_people_get_seats_the_class_allows(tmp_path: Path, answers: dict[str, Any]) -> None:
    crew = [
        {"name": "Inês", "mass_kg": 66, "role": "helm"},
        {"name": "Åsa", "mass_kg": 70, "role": "main"},
        {"name": "åsa", "mass_kg": 71, "role": "jib"},
        {"name": "3", "mass_kg": 72, "role": "forward", "height_m": 1.9},
    ]
    files = written(tmp_path / "b", {**answers, "crew": crew})
    people = files.crew_file.people
    assert [one.id for one in people] == ["ines", "asa", "asa_2", "person_3"]
    assert [one.name for one in people] == ["Inês", "Åsa", "åsa", "3"]
    by_role = {one.role: one for one in people}
    assert by_role["forward"].station == "rail_1"
    assert by_role["helm"].station == "rail_4"
    assert by_role["helm"].posture.value == "legs in"
    assert sum(one.posture.value == "hike" for one in people) == files.class_file.limits.hiking_max
    assert len({one.station for one in people}) == 4


@pytest.mark.parametrize("count", [3, 4, 5])
def test_any_number_of_people_the_class_takes_finds_a_seat(
    tmp_path: Path, answers: dict[str, Any], count: int
) -> None:
    roles = ["helm", "main", "jib", "forward", "jib"]
    crew = [{"name": f"P{number}", "mass_kg": 60, "role": roles[number]} for number in range(count)]
    assert len(written(tmp_path / "b", {**answers, "crew": crew}).crew_file.people) == count


def test_a_guessed_crew_is_not_too_heavy_for_the_class(
    tmp_path: Path, answers: dict[str, Any], examples: Path
) -> None:
    files = written(tmp_path / "b", answers)
    assert files.crew_file.mass_kg <= files.class_file.limits.crew_mass_max
    tight = files.class_file.model_copy(
        update={"limits": files.class_file.limits.model_copy(update={"crew_mass_max": 200.0, "crew_max": 3})}
    )
    crew = guessed_crew(tight)
    assert len(crew) == 3
    assert sum(one.mass_kg for one in crew) <= 200.0


def test_another_book_gives_its_lines_and_keeps_its_comments(tmp_path: Path, examples: Path) -> None:
    files = written(
        tmp_path / "b", {"from_book": str(examples), "name": "Dipper", "hull_number": 9, "time_zone": "UTC"}
    )
    text = (tmp_path / "b" / "boat.toml").read_text(encoding="utf-8")
    assert files.boat_file.boat.name == "Dipper"
    assert "# the table's winds refer to this height" in text
    assert "# two legs drawn together by a ring hauled down" in text
    source = read_book_files(examples)
    assert files.boat_file.controls == source.boat_file.controls
    assert files.survey_file == source.survey_file
    assert {one.hours for one in files.boat_file.sails} == {0.0}, "new sails"
    assert {one.made for one in files.boat_file.sails} == {TODAY}


def test_a_source_that_is_not_there_or_not_right_is_named(tmp_path: Path, answers: dict[str, Any]) -> None:
    with pytest.raises(InputError, match="no such file"):
        written(tmp_path / "b", {**answers, "class_file": str(tmp_path / "none.toml")})
    (tmp_path / "class.toml").write_text("schema_version = 1\n", encoding="utf-8")
    with pytest.raises(BookFileError, match=r"class\.toml"):
        written(tmp_path / "b", {**answers, "class_file": str(tmp_path / "class.toml")})


def test_the_starter_is_plain_toml() -> None:
    data = tomllib.loads(STARTER.read_text(encoding="utf-8"))
    assert set(data) == {"controls"}
    assert all("rule_state" not in control for control in data["controls"]), "the class file has the say"
