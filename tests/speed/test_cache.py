from dataclasses import replace

import pytest

from cringle.errors import BookError
from cringle.speed import cache
from cringle.speed.cache import cached, key_of
from cringle.speed.factors import Factors


def test_the_second_reading_makes_nothing(tmp_path, demo):
    made = []

    def make():
        made.append(1)
        return {"speed_kn": 5.25}

    key = key_of(demo, "targets", wind_kn=[8.0, 10.0])
    assert cached(tmp_path / "cache", key, make) == {"speed_kn": 5.25}
    assert cached(tmp_path / "cache", key, make) == {"speed_kn": 5.25}
    assert made == [1]
    assert [one.suffix for one in (tmp_path / "cache").iterdir()] == [".json"]


def test_everything_that_changes_the_answer_changes_the_key(demo):
    others = [
        demo.with_sea("flat"),
        demo.with_crew(replace(demo.crew, mass_kg=321.0)),
        demo.with_around(replace(demo.around, factors=Factors(hull_drag=1.01))),
        demo.with_around(replace(demo.around, water=replace(demo.around.water, hull_drag_factor=1.01))),
    ]
    heavier = demo.class_file.hull.model_copy(update={"mass": 740.0})
    boat = demo.class_file.model_copy(update={"hull": heavier})
    others.append(replace(demo, class_file=boat))
    keys = {key_of(one, "targets") for one in [demo, *others]}
    keys |= {key_of(demo, "polar"), key_of(demo, "targets", wind_kn=[5.0])}
    assert len(keys) == 8
    assert key_of(demo, "targets") == key_of(demo.with_crew(demo.crew), "targets")


def test_a_new_version_of_the_model_reads_no_old_answer(demo, monkeypatch):
    before = key_of(demo, "targets")
    monkeypatch.setattr(cache, "MODEL_VERSION", "next")
    assert key_of(demo, "targets") != before


@pytest.mark.parametrize("text", ["", "{", "[1]", '{"a": 1'])
def test_a_damaged_file_is_made_again(tmp_path, text):
    (tmp_path / "speed-k.json").write_text(text, encoding="utf-8")
    assert cached(tmp_path, "k", lambda: {"a": 2}) == {"a": 2}
    assert cached(tmp_path, "k", lambda: {"a": 3}) == {"a": 2}


def test_no_number_that_json_has_not(tmp_path):
    with pytest.raises(ValueError, match="JSON"):
        cached(tmp_path, "k", lambda: {"a": float("nan")})
    assert list(tmp_path.iterdir()) == []


def test_a_folder_that_cannot_be_written_says_what_to_do(tmp_path):
    (tmp_path / "cache").write_text("in the way", encoding="utf-8")
    with pytest.raises(BookError, match="cannot be written"):
        cached(tmp_path / "cache", "k", dict)
