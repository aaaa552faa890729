"""Write the command reference from the commands' own help: ``python docs/make_commands.py``."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import typer

from cringle.cli.main import app

PAGE = Path(__file__).parent / "reference" / "commands.md"
HEAD = """# Commands

Written from the commands' own help by `python docs/make_commands.py`; a test keeps it true. `--book DIR`
names the book's folder (else the current one, or `./demo-book`); `--json` prints one JSON document. Exit
status: 0 done, 1 bad input, 2 usage, 3 conflict, 130 interrupted.
"""


def walk(command: Any, path: tuple[str, ...], context: Any) -> Iterator[tuple[tuple[str, ...], Any, Any]]:
    """Yield every command below one, with its path and context."""
    inner = type(context)(command, info_name=path[-1], parent=context)
    yield path, command, inner
    if hasattr(command, "list_commands"):
        for name in command.list_commands(inner):
            yield from walk(command.get_command(inner, name), (*path, name), inner)


def page() -> str:
    """Return the whole page."""
    root = typer.main.get_command(app)
    context = root.context_class(root, info_name="cringle", terminal_width=100, max_content_width=100)
    parts = [HEAD]
    for name in root.list_commands(context):  # type: ignore[attr-defined]  # the root is a group
        command = root.get_command(context, name)  # type: ignore[attr-defined]
        for path, one, inner in walk(command, (name,), context):
            marks = "#" * (len(path) + 1)
            parts.append(f"{marks} cringle {' '.join(path)}\n\n```text\n{one.get_help(inner).strip()}\n```\n")
    return "\n".join(line.rstrip() for line in "\n".join(parts).splitlines()) + "\n"


if __name__ == "__main__":
    PAGE.parent.mkdir(exist_ok=True)
    PAGE.write_text(page(), encoding="utf-8")
    sys.stdout.write(f"{PAGE}\n")
