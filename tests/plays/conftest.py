"""A crew, a deck and a small play to bend."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from cringle.boat.book_files import BookFiles
from cringle.boat.read import read_book_files
from cringle.boat.toml_lines import locate
from cringle.boat.toml_text import TomlText
from cringle.plays.crew import Hand
from cringle.plays.deck import Deck, DeckPlace, deck_of
from cringle.plays.plan import Aboard
from cringle.plays.play_file import PlayFile, Spot
from cringle.plays.read import PlayText, play_paths, read_play

HEAD: dict[str, Any] = {
    "schema_version": 1,
    "id": "small",
    "title": "Small play",
    "kind": "change",
    "summary": "A play for tests.",
    "point": "run",
    "techniques": ["soak"],
    "wind_low_kn": 4,
    "wind_high_kn": 20,
    "sails_before": "main+kite",
    "sails_after": "main+kite",
    "heel_before_deg": 6.0,
    "heel_after_deg": 6.0,
    "done_by": "due",
    "end": "All done.",
    "roles": [
        {"id": "helm", "at": {"station": "rail_4", "posture": "aft"}},
        {"id": "main", "at": {"station": "rail_2", "posture": "legs in"}},
        {"id": "jib", "at": {"station": "rail_3", "posture": "legs in"}},
        {"id": "forward", "at": {"station": "hatch", "posture": "hatch"}},
    ],
    "cues": [
        {"id": "called", "words": "Called", "at_s": [0, 0, 0]},
        {"id": "due", "words": "Due", "at_s": [8, 10, 14]},
    ],
}


def action(name: str, role: str = "main", seconds: float = 2.0, **more: Any) -> dict[str, Any]:
    """Return an action; three equal shares of spread unless `duration_s` is given."""
    base = {
        "id": name,
        "do": f"do {name}",
        "role": role,
        "duration_s": [seconds * 0.8, seconds, seconds * 1.5],
    }
    return {**base, **more}


def play_with(actions: list[dict[str, Any]], **head: Any) -> PlayFile:
    """Return a play with these actions; anything of the head may be given."""
    return PlayFile.model_validate({**HEAD, **head, "actions": actions})


def text_with(play: PlayFile) -> PlayText:
    """Return a play with a text that names no lines."""
    return PlayText(play, TomlText(Path("small.toml"), "", {}, locate("")))


@pytest.fixture(scope="session")
def make() -> Callable[..., PlayFile]:
    """Return the maker of plays."""
    return play_with


@pytest.fixture(scope="session")
def act() -> Callable[..., dict[str, Any]]:
    """Return the maker of actions."""
    return action


@pytest.fixture(scope="session")
def as_text() -> Callable[[PlayFile], PlayText]:
    """Return the maker of texts."""
    return text_with


@pytest.fixture(scope="session")
def files() -> BookFiles:
    """Return the demo's files."""
    return read_book_files(Path(__file__).parents[2] / "examples")


@pytest.fixture(scope="session")
def hands(files: BookFiles) -> tuple[Hand, ...]:
    """Return the demo's crew."""
    return tuple(
        Hand(
            one.id,
            one.name,
            one.role,
            one.roles,
            one.skills,
            one.mass_kg,
            one.height_m,
            Spot(station=one.station, posture=one.posture),
        )
        for one in files.crew_file.people
    )


@pytest.fixture(scope="session")
def deck(files: BookFiles) -> Deck:
    """Return the demo's deck."""
    return deck_of(
        [
            DeckPlace(one.id, one.name, one.x, one.y, one.z, one.capacity, one.neighbours, abs(one.y) <= 0.15)
            for one in files.class_file.stations
        ]
    )


@pytest.fixture(scope="session")
def aboard(hands: tuple[Hand, ...], deck: Deck) -> Aboard:
    """Return crew and deck."""
    return Aboard(hands, deck)


@pytest.fixture(scope="session")
def library(examples: Path) -> dict[str, PlayText]:
    """Return every play of the library."""
    return {name: read_play(path) for name, path in play_paths(examples / "plays").items()}


@pytest.fixture
def write_play(tmp_path: Path, examples: Path) -> Callable[..., Path]:
    """Return a function that writes a library play with some text of it replaced."""

    def write(name: str, *changes: tuple[str, str]) -> Path:
        text = (examples / "plays" / f"{name}.toml").read_text(encoding="utf-8")
        for old, new in changes:
            assert old in text, old
            text = text.replace(old, new, 1)
        target = tmp_path / f"{name}.toml"
        target.write_text(text, encoding="utf-8")
        return target

    return write
