from __future__ import annotations

import json
from dataclasses import replace

import pytest

from cringle.speed.factors import Factors
from cringle.workflows.speed import cache as speed_cache
from cringle.workflows.speed.cache import CACHE_VARIABLE, cache_folder, kept, kept_in, key_of, model_text
from cringle.workflows.speed.open import SpeedAsked, open_speed


@pytest.fixture(autouse=True)
def own_cache(monkeypatch):
    monkeypatch.delenv(CACHE_VARIABLE, raising=False)


def test_an_answer_is_made_once(tmp_path):
    made = []

    def make():
        made.append(1)
        return {"value": 3}

    assert kept(tmp_path, "q", ("a",), make) == kept(tmp_path, "q", ("a",), make) == {"value": 3}
    assert len(made) == 1
    assert len(list((tmp_path / "cache").iterdir())) == 1


def test_other_inputs_questions_and_versions_have_their_own(tmp_path, monkeypatch):
    keys = {key_of("q", ("a",)), key_of("q", ("b",)), key_of("p", ("a",)), key_of("q", ("a", ""))}
    monkeypatch.setattr(speed_cache, "MODEL_VERSION", "next")
    assert len({*keys, key_of("q", ("a",))}) == 5


def test_a_broken_file_is_made_anew(tmp_path):
    kept(tmp_path, "q", (), lambda: 1)
    path = next((tmp_path / "cache").iterdir())
    path.write_text("{half", encoding="utf-8")
    assert kept(tmp_path, "q", (), lambda: 2) == 2
    assert json.loads(path.read_text(encoding="utf-8")) == 2


def test_a_folder_that_cannot_be_written_still_answers(tmp_path):
    (tmp_path / "cache").write_text("a file, not a folder", encoding="utf-8")
    assert kept(tmp_path, "q", (), lambda: 5) == 5


def test_another_folder_can_be_named(tmp_path, monkeypatch):
    monkeypatch.setenv(CACHE_VARIABLE, str(tmp_path / "elsewhere"))
    assert cache_folder(tmp_path / "book") == tmp_path / "elsewhere"


def test_a_folder_of_no_book_keeps_too(tmp_path):
    assert (
        kept_in(tmp_path / "own", "q", ("a",), lambda: 4) == kept_in(tmp_path / "own", "q", ("a",), int) == 4
    )


def test_everything_that_changes_a_model_changes_its_text(book_folder):
    model = open_speed(book_folder, SpeedAsked()).model
    around = model.around
    texts = {
        model_text(one)
        for one in (
            model,
            model.with_sea("flat"),
            model.with_crew(replace(model.crew, mass_kg=321.0)),
            model.with_around(replace(around, factors=Factors(hull_drag=1.01))),
            model.with_around(replace(around, water=replace(around.water, hull_drag_factor=1.01))),
        )
    }
    assert len(texts) == 5
    assert model_text(open_speed(book_folder, SpeedAsked()).model) in texts
