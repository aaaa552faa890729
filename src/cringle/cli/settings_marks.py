"""``cringle settings marks | mark-up | strips | gauge``: scales, marks, and whether they can be trusted."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from cringle.cli.common import (
    DEFAULT_WHO,
    BookOption,
    JsonOption,
    WhoOption,
    WhyOption,
    console,
    emit_json,
    find_book,
)
from cringle.cli.lines import print_lines
from cringle.cli.marking_walk import walk
from cringle.cli.marks_text import gauge_lines, marking_lines, marks_lines
from cringle.errors import InputError
from cringle.workflows.numbers import gauge as gauge_work
from cringle.workflows.numbers import marking_day, marks
from cringle.workflows.numbers.display import shown

PaperOption = Annotated[str, typer.Option("--paper", help="a4 or letter.")]
Millimetres = Annotated[float | None, typer.Option(help="From the datum [mm].")]


def register(app: typer.Typer) -> None:
    """Add these commands to the settings group."""
    app.command(
        "marks", epilog="Examples: cringle settings marks · cringle settings marks --stage vang=inked"
    )(show_marks)
    app.command(
        "mark-up",
        epilog="Examples: cringle settings mark-up jib_sheet_port jib_sheet_starboard · "
        "cringle settings mark-up --answers day.toml --strips strips.pdf",
    )(mark_up)
    app.command("strips", epilog="Example: cringle settings strips jib_sheet_port --out strips.pdf")(strips)
    app.command("gauge", epilog="Example: cringle settings gauge jib_sheet_port readings.csv")(gauge)


def show_marks(
    stage: Annotated[
        list[str] | None, typer.Option("--stage", help="CONTROL=taped, inked or whipped; may be repeated.")
    ] = None,
    moved: Annotated[
        list[str] | None,
        typer.Option("--moved", help="CONTROL=mm a mark was found from its place; 0 when it stayed put."),
    ] = None,
    book: BookOption = None,
    who: WhoOption = DEFAULT_WHO,
    why: WhyOption = "",
    as_json: JsonOption = False,
) -> None:
    """Show the stage of each control's marks, what to do with them, and checks of each scale."""
    folder = find_book(book)
    for control, wanted in _pairs(stage, "taped"):
        marks.set_stage(folder, control, wanted, who=who, why=why)
    for control, millimetres in _pairs(moved, "4"):
        marks.record_check(folder, control, _number(millimetres), who=who, why=why)
    rows = marks.marks_shown(folder)
    if as_json:
        emit_json(marks.marks_json(rows))
        return
    print_lines(console(), shown(folder, marks_lines(rows)))


def _pairs(given: list[str] | None, example: str) -> list[tuple[str, str]]:
    """Return CONTROL=VALUE options as pairs, all checked before any is used."""
    pairs = []
    for one in given or []:
        control, sign, value = one.partition("=")
        if not sign or not control or not value:
            raise InputError(f"{one!r}: accepted is CONTROL=VALUE", next_step=f"such as vang={example}")
        pairs.append((control.strip(), value.strip()))
    return pairs


def _number(text: str) -> float:
    try:
        return float(text)
    except ValueError as error:
        raise InputError(f"{text!r} is not a number", next_step="give millimetres, such as 4") from error


def mark_up(  # noqa: PLR0913, PLR0917 - one parameter an option
    controls: Annotated[list[str] | None, typer.Argument(help="Controls, in the order of the walk.")] = None,
    answers: Annotated[Path | None, typer.Option("--answers", help="Answers as TOML; no questions.")] = None,
    stop_low: Millimetres = None,
    stop_high: Millimetres = None,
    sail_low: Millimetres = None,
    sail_high: Millimetres = None,
    mm_per_mark: Annotated[float | None, typer.Option(help="Length of one mark [mm].")] = None,
    match: Annotated[
        list[str] | None, typer.Option(help="MARK=mm: the other side's mark, this side's reading.")
    ] = None,
    strips_out: Annotated[Path | None, typer.Option("--strips", help="PDF of the strips to write.")] = None,
    book: BookOption = None,
    who: WhoOption = DEFAULT_WHO,
    why: WhyOption = "",
    as_json: JsonOption = False,
) -> None:
    """Walk through a marking day, line by line, and write the scales into boat.toml."""
    folder = find_book(book)
    measured = (stop_low, stop_high, sail_low, sail_high, mm_per_mark)
    if answers is not None:
        found = marking_day.read_answers(answers)
    elif any(one is not None for one in measured) or match:
        found = one_line(controls or [], measured, match)
    else:
        found = walk(folder, controls or [], console())
    done = marking_day.mark_up(folder, found, who=who, why=why, strips=strips_out)
    if as_json:
        emit_json(marking_day.marking_json(done))
        return
    print_lines(console(), shown(folder, marking_lines(done)))


def one_line(
    controls: list[str], measured: tuple[float | None, ...], match: list[str] | None
) -> marking_day.MarkingAnswers:
    """Return the answers for one line given as options."""
    if len(controls) != 1:
        raise InputError(
            "measurements as options are for one line", next_step="name one control, or --answers"
        )
    stop_low, stop_high, sail_low, sail_high, mm_per_mark = measured
    pairs = [{"mark": _number(a), "reading_mm": _number(b)} for a, b in _pairs(match, "112")]
    answer = marking_day.line_answers(
        control=controls[0],
        stop_low_mm=stop_low,
        stop_high_mm=stop_high,
        sail_low_mm=sail_low,
        sail_high_mm=sail_high,
        mm_per_mark=mm_per_mark,
        match=pairs or None,
    )
    return marking_day.MarkingAnswers(lines=(answer,))


def strips(
    controls: Annotated[list[str] | None, typer.Argument(help="Controls; all when left out.")] = None,
    out: Annotated[Path, typer.Option("--out", help="PDF to write.")] = Path("strips.pdf"),
    paper: PaperOption = "a4",
    book: BookOption = None,
    as_json: JsonOption = False,
) -> None:
    """Print scale strips true to size: measure the bar on each sheet before you use it."""
    sheets = marks.print_strips(find_book(book), controls or [], out, paper=paper)
    if as_json:
        emit_json({"schema": 1, "path": str(out), "sheets": sheets, "check_bar_mm": 100})
        return
    console().print(
        f"written: {out}, {sheets} sheets. Print at 100 %, then measure the bar: 100 mm.", markup=False
    )


def gauge(
    control: Annotated[str, typer.Argument(help="Control that was set.")],
    readings: Annotated[Path, typer.Argument(help="CSV: person,mark,reading_mm[,phase].")],
    book: BookOption = None,
    who: WhoOption = DEFAULT_WHO,
    why: WhyOption = "",
    as_json: JsonOption = False,
) -> None:
    """Judge whether the crew can set a control's step again, from settings read with a steel rule."""
    folder = find_book(book)
    done = gauge_work.study_gauge(folder, control, readings, who=who, why=why)
    if as_json:
        emit_json(gauge_work.gauge_json(done))
        return
    print_lines(console(), shown(folder, gauge_lines(done)))
