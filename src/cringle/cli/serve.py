"""``cringle serve``: the book as pages, on this machine or for phones on the same Wi-Fi."""

from __future__ import annotations

import importlib
from typing import Annotated

import typer

from cringle.cli.common import BookOption, find_book

app = typer.Typer(rich_markup_mode=None)

OTHER_DOOR = "cringle.web.server"
"""Opened by name when it is asked for: the two doors know nothing of each other."""

EPILOG = "Examples: cringle serve · cringle serve --lan · cringle serve --lan --port 8050"


@app.command(epilog=EPILOG)
def serve(
    lan: Annotated[
        bool, typer.Option("--lan", help="Also for phones on the same Wi-Fi, with a code.")
    ] = False,
    port: Annotated[int, typer.Option("--port", min=1, max=65535, help="Port to listen on.")] = 8040,
    book: BookOption = None,
) -> None:
    """Serve the book as pages until you press Ctrl-C; nothing leaves the local network."""
    server = importlib.import_module(OTHER_DOOR)
    ready = server.server_for(find_book(book), port=port, lan=lan)
    typer.echo(server.announced(ready), nl=False)
    server.run_server(ready)
