"""The marking day as a guided walk: one question at a time, in the order of the work on the boat."""

from __future__ import annotations

import math
from collections.abc import Sequence
from pathlib import Path

import typer
from rich.console import Console

from cringle.boat.boat_file import Control
from cringle.boat.book_files import BookFiles
from cringle.boat.read import read_book_files
from cringle.cli.lines import print_lines
from cringle.errors import InputError
from cringle.workflows.numbers.marking_day import LineAnswers, MarkingAnswers, line_answers, work_out
from cringle.workflows.numbers.marks import control_named

OPENING = (
    "Marking day. A steel tape, a pencil, tape and a helper. The boat tied up, no load on the rig beyond",
    "what the line itself gives; keep fingers out of cleats and blocks under load.",
    "All lengths are millimetres from the datum, growing the way the numbers will grow.",
)


def walk(folder: Path, names: Sequence[str], console: Console) -> MarkingAnswers:
    """Ask about each line and return the answers; nothing is written before the end.

    Parameters
    ----------
    folder : Path
        The book.
    names : sequence of str
        Ids of the controls, in the order of the walk.
    console : Console
        Where the words go.

    Raises
    ------
    InputError
        No control was named, or there is none of that name.
    """
    files = read_book_files(folder)
    if not names:
        raise InputError("no line named", next_step="run: cringle settings mark-up jib_sheet_port")
    controls = [control_named(files, name) for name in names]
    print_lines(console, OPENING)
    done: list[LineAnswers] = []
    for control in controls:
        done.append(_one(files, control, done, console))
    typer.confirm("Write these scales into boat.toml", abort=True)
    return MarkingAnswers(lines=tuple(done))


def _one(files: BookFiles, control: Control, done: Sequence[LineAnswers], console: Console) -> LineAnswers:
    """Ask about one line until a scale can be made of the answers."""
    while True:
        answer = _ask(control, done, console)
        try:
            scale = work_out(files, MarkingAnswers(lines=(*done, answer)), whole_day=False)[-1]
        except InputError as error:
            print_lines(console, [f"  {error.message}", f"  Next: {error.next_step}", "  Once more."])
            continue
        ends = f"{scale.to_mm(scale.low):g} to {scale.to_mm(scale.high):g} mm"
        print_lines(console, [f"  Marks {scale.low:g} to {scale.high:g} at {ends}.", *scale.words])
        return answer


def _ask(control: Control, done: Sequence[LineAnswers], console: Console) -> LineAnswers:
    print_lines(console, ["", control.name])
    datum = typer.prompt("  Datum: where zero millimetres is", default=control.datum)
    low = _length("  1. Physical stop at the low end", control.stop_low_mm)
    high = _length("  2. Physical stop at the high end; no mark will lie beyond it", control.stop_high_mm)
    first = next((one for one in done if one.control == control.pair), None)
    if first is None:
        start = _length("  3. Sailing range, low end", None)
        end = _length("  4. Sailing range, high end", None)
        length = _length("  5. Length of one mark", control.mm_per_mark)
        return line_answers(
            control=control.id,
            datum=datum,
            stop_low_mm=low,
            stop_high_mm=high,
            sail_low_mm=start,
            sail_high_mm=end,
            mm_per_mark=length,
        )
    print_lines(console, ["  Now match the other side: same number, same shape of the sail."])
    matches = []
    for which in ("a low", "a high"):
        mark = _length(f"  Other side at {which} mark: which mark", None)
        reading = _length("  This side at the same shape of the sail", None)
        matches.append({"mark": mark, "reading_mm": reading})
    return line_answers(control=control.id, datum=datum, stop_low_mm=low, stop_high_mm=high, match=matches)


def _length(question: str, default: float | None) -> float:
    return float(typer.prompt(question, default=default, value_proc=_finite))


def _finite(text: str) -> float:
    try:
        value = float(str(text).replace(",", "."))
    except ValueError as error:
        raise typer.BadParameter(f"{text!r} is not a number; give millimetres") from error
    if not math.isfinite(value):
        raise typer.BadParameter("give a finite number")
    return value
