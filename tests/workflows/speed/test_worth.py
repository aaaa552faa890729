"""What the speed model says of advice: seconds a mile with intervals, kept, and silence where it has none."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from cringle.boat.write import set_value
from cringle.errors import RuleError
from cringle.workflows.speed import worth as speed_worth
from cringle.workflows.speed.worth import Improves, improves

ITEMS = {"rail_sheeting": "rail", "keel_surface": "keel_surface"}


@pytest.fixture(scope="module")
def priced(tmp_path_factory: pytest.TempPathFactory, examples: Path) -> dict[str, Improves]:
    """Return what is priced in 11 kn and chop."""
    folder = tmp_path_factory.mktemp("priced")
    for name in ("class.toml", "boat.toml", "crew.toml", "survey.toml"):
        shutil.copyfile(examples / name, folder / name)
    set_value(folder / "boat.toml", ("boat", "keel_condition"), "rough")
    return {one.effect: one for one in improves(folder, 11.0, "chop", items=ITEMS)}


def test_heel_the_rail_and_the_surface_an_item_asks_for(priced: dict[str, Improves]) -> None:
    assert set(priced) == {"heel", "rail", "keel_surface"}
    for one in priced.values():
        assert one.low <= one.s_per_mile <= one.high
        assert 0.0 < one.s_per_mile < 60.0, "nothing of this costs a minute a mile"
    assert priced["rail"].items == ("rail_sheeting",)
    assert priced["heel"].items == ()


@pytest.mark.parametrize(("condition", "asked"), [("faired", []), ("new", []), ("fair", ["keel_surface"])])
def test_a_keel_that_is_faired_has_nothing_to_win(
    book_folder: Path, monkeypatch: pytest.MonkeyPatch, tmp_path: Path, condition: str, asked: list[str]
) -> None:
    monkeypatch.setenv("CRINGLE_CACHE", str(tmp_path / "cache"))
    seen: list[str] = []

    def priced(_book: object, _wind: float, effects: list[str]) -> list[dict[str, object]]:
        seen.extend(effects)
        return []

    monkeypatch.setattr(speed_worth, "_priced", priced)
    set_value(book_folder / "boat.toml", ("boat", "keel_condition"), condition)
    assert improves(book_folder, 11.0, "chop", items=ITEMS) == ()
    assert seen == asked


def test_clear_means_larger_than_its_own_uncertainty() -> None:
    assert Improves("heel", "x", 5.0, 0.1, 9.0).is_clear
    assert not Improves("heel", "x", 5.0, 0.0, 9.0).is_clear


def test_without_a_model_there_is_silence(book_folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object) -> None:
        raise RuleError("crew of 400 kg, the class allows 330 kg")

    monkeypatch.setattr(speed_worth, "open_speed", refuse)
    assert improves(book_folder, 11.0, "chop") == ()


def test_an_answer_is_kept(book_folder: Path, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("CRINGLE_CACHE", str(tmp_path / "cache"))
    row = {"effect": "heel", "words": "x", "s_per_mile": 5.0, "low": 1.0, "high": 9.0}
    asked: list[int] = []

    def priced(*_: object) -> list[dict[str, object]]:
        asked.append(1)
        return [row]

    monkeypatch.setattr(speed_worth, "_priced", priced)
    first, second = (improves(book_folder, 11.0, "chop") for _ in range(2))
    assert first == second == (Improves("heel", "x", 5.0, 1.0, 9.0),)
    assert len(asked) == 1
    improves(book_folder, 12.0, "chop")
    assert len(asked) == 2, "another wind is another question"
