"""``cringle serve``: the book as pages, on this machine or for phones on the same Wi-Fi."""

from __future__ import annotations

from typing import Annotated

import typer

from cringle.cli.common import BookOption, find_book

app = typer.Typer(rich_markup_mode=None)

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
    from cringle.web.server import announced, run_server, server_for

    ready = server_for(find_book(book), port=port, lan=lan)
    typer.echo(announced(ready), nl=False)
    run_server(ready)
