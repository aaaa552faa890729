"""``cringle book new``: a dozen questions, asked, or answered by options or a file."""

from __future__ import annotations

import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Annotated

import typer

from cringle.cli.book_screen import show_made
from cringle.cli.common import DEFAULT_WHO, JsonOption, WhoOption
from cringle.errors import InputError
from cringle.workflows.start.new_answers import (
    QUESTIONS,
    Answers,
    answers_from_file,
    answers_from_words,
)
from cringle.workflows.start.new_book import make_book

NEW_EXAMPLES = (
    "Examples: cringle book new my-boat (asks), cringle book new my-boat --answers answers.toml, "
    "cringle book new my-boat --class class.toml --set name=Wren --set time_zone=UTC --table starting"
)


def new(  # noqa: PLR0913, PLR0917 - one parameter for each option of the command
    folder: Annotated[Path, typer.Argument(help="Where the book shall stand; must be new or empty.")],
    class_file: Annotated[Path | None, typer.Option("--class", help="Start from this class.toml.")] = None,
    from_book: Annotated[
        Path | None, typer.Option("--from", help="Start from another book of the class.")
    ] = None,
    table: Annotated[
        str | None, typer.Option("--table", help="First table: copy, starting or blank.")
    ] = None,
    table_from: Annotated[
        Path | None, typer.Option("--table-from", help="Copy this book's table, through millimetres.")
    ] = None,
    settings: Annotated[
        list[str] | None, typer.Option("--set", help="NAME=ANSWER for any other question; repeat.")
    ] = None,
    answers_file: Annotated[
        Path | None, typer.Option("--answers", help="A TOML file with the answers; nothing is asked.")
    ] = None,
    who: WhoOption = DEFAULT_WHO,
    as_json: JsonOption = False,
) -> None:
    """Make a first book from a class file or another book, and a dozen questions."""
    paths = {"class_file": class_file, "from_book": from_book, "table_from": table_from}
    given = {name: str(path) for name, path in paths.items() if path is not None}
    given |= {"table": table} if table else {}
    answers = _answers(given | _named(settings or []), answers_file)
    show_made(make_book(folder, answers, who=who), as_json=as_json)


def _answers(given: Mapping[str, str], path: Path | None) -> Answers:
    if path is not None:
        if given:
            raise InputError("--answers goes without other answers", next_step="put them into the file")
        return answers_from_file(path)
    return answers_from_words(given if "name" in given or not sys.stdin.isatty() else ask(given))


def _named(arguments: list[str]) -> dict[str, str]:
    known = {question.name for question in QUESTIONS} | {"table_from"}
    found = {}
    for argument in arguments:
        name, equals, text = argument.partition("=")
        if not equals or name not in known:
            raise InputError(
                f"--set {argument!r} is not NAME=ANSWER; names: {', '.join(sorted(known))}",
                next_step="see them with their defaults: cringle book new --help",
            )
        found[name] = text
    return found


def ask(given: Mapping[str, str]) -> dict[str, str]:
    """Ask what is not answered yet; an empty answer takes the default."""
    found = dict(given)
    for question in QUESTIONS:
        settled = question.name in found or (question.name == "from_book" and found.get("class_file"))
        if not settled:
            words = question.words + (f" ({question.hint})" if question.hint else "")
            found[question.name] = typer.prompt(
                words, default=question.default, show_default=bool(question.default)
            )
    return found
