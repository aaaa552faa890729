"""``cringle book``: make, check, look back, go back, back up and bring back."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from cringle.book.exchange import preferred
from cringle.cli.book_new import NEW_EXAMPLES, new
from cringle.cli.book_screen import (
    show_backup,
    show_history_of,
    show_import,
    show_pocket_taken,
    show_report,
    show_restored,
    show_reverted,
)
from cringle.cli.common import DEFAULT_WHO, BookOption, JsonOption, WhoOption, emit_json, find_book
from cringle.workflows.books.book import back_up, bring_back, check_book, export_history, import_history
from cringle.workflows.books.history import Back, Wanted, revert, show_history
from cringle.workflows.serving.pocket import take_in_file

app = typer.Typer(
    rich_markup_mode=None,
    no_args_is_help=True,
    help="Make, check, look back, go back, back up and bring back a book.",
    epilog="Examples: cringle book new my-boat, cringle book check, cringle book revert",
)

FolderArgument = Annotated[
    Path | None, typer.Argument(help="The book's folder.", show_default="--book, this folder, or ./demo-book")
]


app.command("new", epilog=NEW_EXAMPLES)(new)


@app.command(epilog="Examples: cringle book check, cringle book check my-boat --json")
def check(folder: FolderArgument = None, book: BookOption = None, as_json: JsonOption = False) -> None:
    """Check the files, the history, the logs it names, and what no longer belongs to anything."""
    report = check_book(folder or find_book(book))
    show_report(report, as_json=as_json)
    if not report.is_well:
        raise typer.Exit(1)


@app.command(epilog="Example: cringle book history --kind table --role backstay --limit 10")
def history(  # noqa: PLR0913, PLR0917 - one parameter for each option of the command
    kind: Annotated[str | None, typer.Option("--kind", help="table, setting, observation ...")] = None,
    subject: Annotated[str | None, typer.Option("--subject", help="What it is about.")] = None,
    role: Annotated[str | None, typer.Option("--role", help="Role of a line.")] = None,
    wind: Annotated[float | None, typer.Option("--wind", help="Wind of the row [kn].")] = None,
    by: Annotated[str | None, typer.Option("--by", help="Who wrote it.")] = None,
    limit: Annotated[int, typer.Option("--limit", min=1, help="The newest so many entries.")] = 50,
    book: BookOption = None,
    as_json: JsonOption = False,
) -> None:
    """Show what was written, when, by whom and why."""
    wanted = Wanted(kind=kind, subject=subject, role=role, wind_kn=wind, who=by, limit=limit)
    show_history_of(show_history(find_book(book), wanted), as_json=as_json)


@app.command("revert", epilog="Examples: cringle book revert, cringle book revert --to 2026-05-01 --dry-run")
def revert_command(  # noqa: PLR0913, PLR0917 - one parameter for each option of the command
    to: Annotated[str | None, typer.Option("--to", help="A date, date and time, or entry (#12).")] = None,
    steps: Annotated[int, typer.Option("--steps", min=1, help="Without --to: so many changes back.")] = 1,
    kind: Annotated[str, typer.Option("--kind", help="What to bring back.")] = "table",
    why: Annotated[str | None, typer.Option("--why", help="Why; kept with the entries.")] = None,
    dry_run: Annotated[bool, typer.Option("--dry-run", help="Only show what would change.")] = False,
    book: BookOption = None,
    who: WhoOption = DEFAULT_WHO,
    as_json: JsonOption = False,
) -> None:
    """Bring back an earlier table as new entries; nothing is deleted."""
    back = Back(kind=kind, to=to, steps=steps, why=why)
    show_reverted(revert(find_book(book), back, who=who, only_show=dry_run), as_json=as_json)


@app.command(epilog="Example: cringle book backup brindle-2026-05-01.zip")
def backup(
    target: Annotated[Path, typer.Argument(help="The file to write.")],
    replace: Annotated[bool, typer.Option("--replace", help="Write over an older backup.")] = False,
    book: BookOption = None,
    as_json: JsonOption = False,
) -> None:
    """Write the whole book to one file; caches are left out."""
    show_backup(back_up(find_book(book), target, replace=replace), as_json=as_json)


@app.command(epilog="Example: cringle book restore brindle-2026-05-01.zip my-boat --replace")
def restore(
    file: Annotated[Path, typer.Argument(help="A backup.")],
    folder: Annotated[Path, typer.Argument(help="Where the book shall stand.")],
    replace: Annotated[
        bool, typer.Option("--replace", help="Move a book that stands there aside; it is kept.")
    ] = False,
    as_json: JsonOption = False,
) -> None:
    """Bring a backup back; it is checked before anything is replaced."""
    show_restored(bring_back(file, folder, replace=replace), as_json=as_json)


@app.command("export", epilog="Example: cringle book export history.jsonl")
def export_command(
    target: Annotated[Path, typer.Argument(help="The file to write.")],
    book: BookOption = None,
    as_json: JsonOption = False,
) -> None:
    """Write the whole history as JSON lines, for another copy of this book."""
    count = export_history(find_book(book), target)
    emit_json({"schema": 1, "path": str(target), "entries": count}) if as_json else typer.echo(
        f"{count} entries written to {target}"
    )


@app.command("import", epilog="Example: cringle book import history.jsonl --prefer ours")
def import_command(
    file: Annotated[Path, typer.Argument(help="What `cringle book export` or a pocket page wrote.")],
    prefer: Annotated[
        str | None, typer.Option("--prefer", help="ours or theirs, where both changed.")
    ] = None,
    book: BookOption = None,
    who: WhoOption = DEFAULT_WHO,
    as_json: JsonOption = False,
) -> None:
    """Take in the history of another copy, or what a pocket page gave out; each entry counts once."""
    taken = take_in_file(find_book(book), file, who=who)
    if taken is not None:
        show_pocket_taken(taken, as_json=as_json)
        return
    show_import(import_history(find_book(book), file, who=who, prefer=preferred(prefer)), as_json=as_json)
