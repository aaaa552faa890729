"""The work list and the departure check on paper."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from cringle.output.typst_pdf import FIGURES_FONT, WORDS_FONT, compile_pdf
from cringle.output.wording import typst_string
from cringle.settings.work_list import RankedItem, Tick, WorkList

CAUTIONS = (
    "The class rules in force, and the class when in doubt, have the last word on every item.",
    "Standing rigging, loaded splices, anything aloft: a qualified rigger. Do not go aloft for this list.",
    "Prop the boat before working under it; mask and gloves when sanding.",
)
"""Cautions on every work list."""

DEPARTURE_CAUTIONS = (
    "Sail only when everybody agrees to go. Cold water: dress for the water, not for the air.",
    "Class rules, sailing instructions and local rules come first.",
)
"""Cautions on every departure check."""

_PREAMBLE = f"""#set page(paper: "a4", margin: 18mm, footer: context align(right, text(size: 8pt,
  counter(page).display("1 / 1", both: true))))
#set text(font: "{WORDS_FONT}", size: 11pt, fill: black, hyphenate: false, lang: "en")
#set par(leading: 0.5em, spacing: 0.7em, justify: false)
#show heading: set text(size: 13pt)
#show heading: set block(above: 6mm, below: 3mm)
#let fig(words) = text(font: "{FIGURES_FONT}", size: 9pt, words)
#let big(words) = text(font: "{FIGURES_FONT}", size: 16pt, weight: "bold", words)
#let box-to-tick(done) = box(width: 4.5mm, height: 4.5mm, stroke: 0.8pt, if done {{
  place(line(start: (0.8mm, 2.2mm), end: (1.9mm, 3.6mm), stroke: 1.2pt))
  place(line(start: (1.9mm, 3.6mm), end: (3.8mm, 0.8mm), stroke: 1.2pt))
}})
"""


def work_list_pdf(found: WorkList, boat: str, currency: str, made: datetime) -> bytes:
    """Return the ranked work list as an A4 PDF."""
    return compile_pdf(work_list_markup(found, boat, currency, made), made)


def work_list_markup(found: WorkList, boat: str, currency: str, made: datetime) -> str:
    """Return the markup of the work list."""
    total = f"{len(found.ranked)} to do · {found.hours:g} h · {found.cost:g} {currency}".rstrip()
    unknown = f" · {found.unknown} without cost or hours" if found.unknown else ""
    out = [_PREAMBLE, _title(f"Work list, {boat}", f"{made:%Y-%m-%d} · {total}{unknown}")]
    for category in dict.fromkeys(one.item.category for one in found.ranked):
        rows = [one for one in found.ranked if one.item.category == category]
        out.append(
            f"#heading({typst_string(category.capitalize())})\n"
            + "".join(_item(one, currency) for one in rows)
        )
    if found.forbidden:
        out.append(f"#heading({typst_string('The class forbids it: not advice')})\n")
        out += [_par(f"{one.item.what} – {one.advice}.") for one in found.forbidden]
    if found.finished:
        out.append(f"#heading({typst_string('Behind us')})\n")
        out += [_par(f"{one.item.what} – {one.state}.") for one in found.finished]
    return "".join([*out, _cautions(CAUTIONS)])


def _title(title: str, under: str) -> str:
    return f'#text(size: 18pt, weight: "bold", {typst_string(title)})\n\n#fig({typst_string(under)})\n'


def _par(words: str) -> str:
    return f"#par({typst_string(words)})\n"


def _item(one: RankedItem, currency: str) -> str:
    item = one.item
    hours = "hours not known" if item.hours is None else f"{item.hours:g} h"
    cost = "cost not known" if item.cost is None else f"{item.cost:g} {currency}".rstrip()
    touches = (
        f" · makes better: {', '.join(name.replace('_', ' ') for name in item.controls)}"
        if item.controls
        else ""
    )
    facts = f"{hours} · {cost} · {one.advice}{touches}"
    caution = (
        f'#par(text(weight: "bold", {typst_string(f"Caution: {item.caution}.")}))\n' if item.caution else ""
    )
    return (
        f"#block(breakable: false, width: 100%, below: 4mm, grid(columns: (11mm, 1fr, 8mm), "
        f'big({typst_string(str(one.rank))}), [#par(text(weight: "bold", {typst_string(item.what)}))\n'
        f"{_par(f'Why: {item.why}.')}#fig({typst_string(facts)})\n\n{caution}],"
        f" align(right, box-to-tick(false))))\n"
    )


def _cautions(cautions: Sequence[str]) -> str:
    return f"#heading({typst_string('Cautions')})\n" + "".join(_par(one) for one in cautions)


def departure_pdf(ticks: Sequence[Tick], boat: str, outing: str, made: datetime) -> bytes:
    """Return the departure check as a one-page PDF; what is ticked in the book is ticked on paper."""
    return compile_pdf(departure_markup(ticks, boat, outing), made)


def departure_markup(ticks: Sequence[Tick], boat: str, outing: str) -> str:
    """Return the markup of the departure check."""
    done = sum(one.ticked for one in ticks)
    out = [_PREAMBLE, _title(f"Before leaving the dock, {boat}", f"{outing} · {done} of {len(ticks)} ticked")]
    out.append("#v(4mm)\n")
    for one in ticks:
        why = f"#par(text(size: 10pt, {typst_string(one.item.why)}))" if one.item.why else ""
        by = f"#fig({typst_string(f'ticked by {one.by}')})" if one.ticked and one.by else ""
        out.append(
            f"#block(breakable: false, width: 100%, below: 4mm, grid(columns: (11mm, 1fr), "
            f"box-to-tick({str(one.ticked).lower()}), [#par(text(size: 13pt, {typst_string(one.item.check)}))"
            f"{why}{by}]))\n"
        )
    return "".join([*out, _cautions(DEPARTURE_CAUTIONS)])
