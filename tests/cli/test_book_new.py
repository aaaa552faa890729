from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from cringle.cli import book_new
from cringle.cli.main import run
from cringle.workflows.start.new_answers import QUESTIONS

Command = Callable[..., tuple[int, str, str]]


@pytest.fixture
def new(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Command:
    monkeypatch.setenv("COLUMNS", "200")

    def called(*arguments: str) -> tuple[int, str, str]:
        with pytest.raises(SystemExit) as caught:
            run(["book", "new", *arguments])
        out = capsys.readouterr()
        return int(caught.value.code or 0), out.out, out.err

    return called


def test_options_make_a_book(new: Command, tmp_path: Path, examples: Path) -> None:
    status, out, _ = new(
        str(tmp_path / "wren"), "--class", str(examples / "class.toml"), "--set", "name=Wren",
        "--set", "time_zone=Europe/Berlin", "--who", "Ines",
    )  # fmt: skip
    assert status == 0
    assert "the book of Wren; first table: starting" in out
    assert "are guesses, and say so wherever they are shown" in out
    assert "next: cringle book check" in out


def test_a_file_answers_everything(new: Command, tmp_path: Path, examples: Path) -> None:
    path = tmp_path / "answers.toml"
    path.write_text(
        f'name = "Wren"\nclass_file = "{examples / "class.toml"}"\ntable = "blank"\n', encoding="utf-8"
    )
    found = json.loads(new(str(tmp_path / "wren"), "--answers", str(path), "--json")[1])
    assert (found["boat"], found["table"], found["cells"], found["guesses"]) == ("Wren", "blank", 0, 0)
    status, _, err = new(str(tmp_path / "x"), "--answers", str(path), "--table", "blank")
    assert status == 1
    assert "--answers goes without other answers" in err
    assert not (tmp_path / "x").exists()


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("--set", "name"), "is not NAME=ANSWER; names: class_file"),
        (("--set", "nom=Wren"), "is not NAME=ANSWER"),
        (("--set", "name=Wren"), "give either class_file or from_book"),
        (("--table", "blank"), "name: missing field"),
        (("--answers", "none.toml"), "no such file"),
    ],
)
def test_bad_answers_make_nothing(
    new: Command, tmp_path: Path, arguments: tuple[str, ...], words: str
) -> None:
    status, out, err = new(str(tmp_path / "wren"), *arguments)
    assert status == 1
    assert words in err
    assert "Next: " in err
    assert out == ""
    assert not (tmp_path / "wren").exists()


def test_a_conversation_asks_what_is_not_settled(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    asked: list[str] = []

    def prompt(words: str, *, default: str, show_default: bool) -> str:
        asked.append(words)
        return default

    monkeypatch.setattr(book_new.typer, "prompt", prompt)
    found = book_new.ask({"class_file": "class.toml", "water": "fresh"})
    assert len(asked) == len(QUESTIONS) - 3, "not the class file, not another book, not the water"
    assert found["name"] == "My boat"
    assert found["water"] == "fresh"
    assert any("IANA" in words for words in asked)


def test_in_a_conversation_the_answers_make_the_book(
    new: Command, monkeypatch: pytest.MonkeyPatch, tmp_path: Path, examples: Path
) -> None:
    said = {
        "Class file": str(examples / "class.toml"),
        "Name": "Wren",
        "Crew": "Ines 66 helm, Tobias 92 main, Marit 73 jib",
    }

    def prompt(words: str, *, default: str, show_default: bool) -> str:
        return next((text for start, text in said.items() if words.startswith(start)), default)

    monkeypatch.setattr(book_new.typer, "prompt", prompt)
    monkeypatch.setattr("sys.stdin.isatty", lambda: True)
    found = json.loads(new(str(tmp_path / "wren"), "--json")[1])
    assert found["boat"] == "Wren"
    assert 'name = "Tobias"' in (tmp_path / "wren" / "crew.toml").read_text(encoding="utf-8")
