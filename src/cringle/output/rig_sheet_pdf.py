"""The tune sheet on paper: A5 landscape, black and white, one row a wind, cautions under it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime

from cringle.output.typst_pdf import FIGURES_FONT, WORDS_FONT, compile_pdf
from cringle.output.wording import role_text, signed_text, typst_string
from cringle.rig.cautions import RACING_CAUTION, RIG_CAUTIONS
from cringle.rig.sheet import SheetRow

_PREAMBLE = f"""#set page(paper: "a5", flipped: true, margin: (x: 10mm, y: 8mm))
#set text(font: "{WORDS_FONT}", size: 8pt, fill: black, hyphenate: false, lang: "en")
#set par(leading: 0.45em, spacing: 0.5em)
#let fig(words) = text(font: "{FIGURES_FONT}", size: 9pt, words)
#let big(words) = text(font: "{FIGURES_FONT}", size: 13pt, weight: "bold", words)
"""


def tune_sheet_pdf(
    rows: Sequence[SheetRow], boat: str, *, rules: Mapping[str, str], warnings: Sequence[str], made: datetime
) -> bytes:
    """Return the tune sheet as a PDF.

    Parameters
    ----------
    rows : sequence of SheetRow
        One a wind.
    boat : str
        Whose.
    rules : mapping
        Role to when its screws may be changed, with the class rule.
    warnings : sequence of str
        Screws not known to be locked.
    made : datetime
        Date on the sheet, boat's time.
    """
    return compile_pdf(tune_sheet_markup(rows, boat, rules=rules, warnings=warnings, made=made), made)


def tune_sheet_markup(
    rows: Sequence[SheetRow], boat: str, *, rules: Mapping[str, str], warnings: Sequence[str], made: datetime
) -> str:
    """Return the markup of the tune sheet."""
    title = f'#text(size: 15pt, weight: "bold", {typst_string(f"Tune sheet, {boat}")}) #h(4mm) '
    under = f"#fig({typst_string(f'{made:%Y-%m-%d}; turns from base, tighter is +')})\n\n"
    told = [f"#par({typst_string(f'{role_text(role)}: {when}.')})\n" for role, when in rules.items()]
    bold = [f'#par(text(weight: "bold", {typst_string(f"Warning: {one}.")}))\n' for one in warnings]
    notes = [f"#par({typst_string(one)})\n" for one in notes_by_words(rows)]
    cautions = [f"#par({typst_string(f'Caution: {one}')})\n" for one in (*RIG_CAUTIONS, RACING_CAUTION)]
    words = "".join([*told, *bold, *notes, *cautions])
    return "".join([_PREAMBLE, title, under, _table(rows), f"#columns(2, gutter: 6mm)[\n{words}]\n"])


def notes_by_words(rows: Sequence[SheetRow]) -> list[str]:
    """Return each note once, with the winds it is for."""
    winds: dict[str, list[str]] = {}
    for row in rows:
        for one in row.notes:
            winds.setdefault(one, []).append(f"{row.wind_kn:g}")
    return [f"{', '.join(where)} kn: {words}." for words, where in winds.items()]


def _table(rows: Sequence[SheetRow]) -> str:
    roles = list(dict.fromkeys(role for row in rows for role in row.turns))
    wires = [name for name in rows[0].dock.tensions_n if not name.endswith("_starboard")] if rows else []
    heads = [
        "Wind kn",
        *(role_text(role) for role in roles),
        *(f"{role_text(name.removesuffix('_port'))} N" for name in wires),
        "Prebend mm",
        "Sag mm",
        "From",
    ]
    cells = [f'text(weight: "bold", {typst_string(head)})' for head in heads]
    for row in rows:
        cells += _cells(row, roles, wires)
    inner = ", ".join(cells)
    return (
        f"#table(columns: {len(heads)}, stroke: (x, y) => (bottom: 0.4pt), inset: (x: 2.2mm, y: 0.95mm), "
        f"align: right + horizon, {inner})\n"
    )


def _cells(row: SheetRow, roles: Sequence[str], wires: Sequence[str]) -> list[str]:
    turns = [f"big({typst_string(signed_text(row.turns.get(role, 0.0)))})" for role in roles]
    tensions = [f"fig({typst_string(f'{row.dock.tensions_n[name]:.0f}')})" for name in wires]
    sag = f"{row.sailing.sag_mm:.0f} ± {row.sag_half_width_mm:.0f}"
    return [
        f"big({typst_string(f'{row.wind_kn:g}')})",
        *turns,
        *tensions,
        f"fig({typst_string(f'{row.dock.prebend_mm:.0f}')})",
        f"fig({typst_string(sag)})",
        f"fig({typst_string(str(row.source))})",
    ]
