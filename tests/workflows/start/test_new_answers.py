from __future__ import annotations

from pathlib import Path

import pytest

from cringle.errors import BookFileError, InputError
from cringle.workflows.start.new_answers import (
    QUESTIONS,
    Answers,
    answers_from_file,
    answers_from_words,
    crew_from_words,
)

BASE = {"class_file": "class.toml", "name": "Wren"}


def test_there_are_a_dozen_questions_and_each_has_an_answer() -> None:
    assert len(QUESTIONS) == 12
    assert {question.name for question in QUESTIONS} <= set(Answers.model_fields)


def test_nothing_said_takes_the_defaults() -> None:
    answers = answers_from_words({**BASE, "home_water": " ", "table": ""})
    assert (answers.time_zone, answers.water, answers.wind_height_m) == ("UTC", "salt", 10.0)
    assert answers.crew == ()


def test_words_become_numbers_and_people() -> None:
    words = {**BASE, "wind_height_m": "9.5", "hull_number": "41", "crew": "Ines 66 helm, Ana Maria 70.5 jib"}
    answers = answers_from_words(words)
    assert (answers.wind_height_m, answers.hull_number) == (9.5, 41)
    assert [(one.name, one.mass_kg, one.role) for one in answers.crew] == [
        ("Ines", 66.0, "helm"), ("Ana Maria", 70.5, "jib")
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("given", "choice"),
    [
        ({}, "starting"),
        ({"table": "blank"}, "blank"),
        ({"table_from": "other"}, "copy"),
        ({"class_file": "", "from_book": "other"}, "copy"),
        ({"class_file": "", "from_book": "other", "table": "starting"}, "starting"),
    ],
)
def test_where_the_first_table_comes_from(given: dict[str, str], choice: str) -> None:
    answers = answers_from_words({**BASE, **given})
    assert answers.table_choice == choice
    assert (answers.table_book is not None) == ("other" in given.values())


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"name": ""}, "name: missing field"),
        ({"class_file": ""}, "either class_file or from_book"),
        ({"from_book": "other"}, "either class_file or from_book"),
        ({"table": "copy"}, "needs from_book or table_from"),
        ({"table": "best"}, "accepted: copy, starting or blank"),
        ({"time_zone": "Mars/Base"}, "IANA"),
        ({"water": "slat"}, "did you mean 'salt'"),
        ({"keel_condition": "shiny"}, "accepted: new, faired"),
        ({"wind_height_m": "high"}, "wind_height_m"),
        ({"wind_height_m": "400"}, "less than 40"),
        ({"hull_number": "0"}, "hull_number"),
        ({"colour": "red"}, "colour: no such field"),
        ({"crew": "Ines 6 helm"}, "greater than or equal to 25"),
        ({"crew": "Ines 66 cook"}, "accepted: helm, main, jib"),
    ],
)
def test_an_answer_that_does_not_fit_says_what_does(given: dict[str, str], words: str) -> None:
    with pytest.raises(BookFileError, match=words):
        answers_from_words({**BASE, **given})


@pytest.mark.parametrize("text", ["Ines", "Ines 66", "Ines 66 helm,"])
def test_people_are_name_mass_and_role(text: str) -> None:
    with pytest.raises(InputError, match="is not NAME MASS ROLE"):
        crew_from_words(text)


def test_an_answer_file_names_line_and_field(tmp_path: Path) -> None:
    path = tmp_path / "answers.toml"
    path.write_text(
        'name = "Wren"\nclass_file = "class.toml"\nwater = "sweet"\nzone = "UTC"\n', encoding="utf-8"
    )
    with pytest.raises(BookFileError) as refused:
        answers_from_file(path)
    words = sorted(str(one) for one in refused.value.findings)
    assert words[0].startswith(f"{path}:3: water")
    assert words[1].startswith(f"{path}:4: zone")
    path.write_text(
        'name = "Wren"\nclass_file = "c.toml"\n[[crew]]\nname = "Ines"\nmass_kg = 66\nrole = "helm"\n',
        encoding="utf-8",
    )
    assert answers_from_file(path).crew[0].height_m == 1.75
