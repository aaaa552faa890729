"""The debrief on paper: the same sentences in the same order, with the ledger as bars."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import Final

from cringle.boat.write import write_atomically
from cringle.output.report_race_words import (
    ADVICE_HEADS,
    advice_sentence,
    cause,
    felt_sentence,
    heel_sentences,
    kind_sentence,
    leg_words,
    part_words,
    side_words,
    spotted_sentences,
    total_sentence,
    trace_words,
    withheld_sentence,
)
from cringle.output.report_words import clock, day, lines_read, number, what_happened
from cringle.output.typst_pdf import FIGURES_FONT, WORDS_FONT, compile_pdf
from cringle.output.wording import typst_string
from cringle.track.debrief.debrief import Debrief
from cringle.track.debrief.race import Race
from cringle.track.ledger.interval import Ledger, LedgerPart

BAR_MM: Final = 110.0

PREAMBLE: Final = f"""#set page(paper: "a4", margin: 18mm, footer: context align(right, text(size: 8pt,
  counter(page).display("1 / 1", both: true))))
#set text(font: "{WORDS_FONT}", size: 11pt, fill: black, hyphenate: false, lang: "en")
#set par(leading: 0.5em, spacing: 0.7em, justify: false)
#show heading: set text(size: 13pt)
#show heading: set block(above: 6mm, below: 3mm)
#let fig(words) = text(font: "{FIGURES_FONT}", size: 9pt, words)
"""


def write_report_pdf(found: Debrief, path: Path) -> None:
    """Write the debrief as a PDF, whole or not at all.

    Raises
    ------
    BookError
        The file cannot be written; an older one stays as it was.
    """
    write_atomically(path, compile_pdf(report_markup(found), found.end))


def report_markup(found: Debrief) -> str:
    """Return the markup of the debrief. Everything that comes from the log is escaped."""
    start, end = (clock(at, found.time_zone, seconds=False) for at in (found.start, found.end))
    title = f"Debrief of {found.boat}" if found.boat else "Debrief"
    when = f"{day(found.start, found.time_zone)}, {start} to {end} ({found.time_zone})"
    unknown = found.unknown or ("Everything was measured; nothing had to be worked out.",)
    return "".join(
        [
            PREAMBLE,
            f'#text(size: 18pt, weight: "bold", {typst_string(title)})\n\n#fig({typst_string(when)})\n',
            _list("What the data cannot tell", unknown),
            *([] if found.race is None else _race(found.race)),
            _list("What happened", what_happened(found)),
            f"#fig({typst_string(lines_read(found))})\n",
        ]
    )


def _race(race: Race) -> list[str]:
    out = [
        _list(
            "Keep, change, try", [f"{ADVICE_HEADS[one.kind]}: {advice_sentence(one)}" for one in race.advice]
        )
    ]
    if race.ledger is not None:
        out.append(_ledger(race.ledger))
        out.append(_list("Legs", _leg_lines(race)))
    heel = [] if race.heel is None else heel_sentences(race.heel)
    heel += [*spotted_sentences(race.spotted), *(felt_sentence(one) for one in race.felt)]
    out.append(_list("Heel against its target", heel))
    out.append(_list("What manoeuvres cost", _manoeuvre_lines(race)))
    return out


def _leg_lines(race: Race) -> list[str]:
    return [f"{leg_words(one)} {'; '.join(side_words(one))}" for one in race.legs if one.ledger is not None]


def _manoeuvre_lines(race: Race) -> list[str]:
    said = [one for one in (kind_sentence(kind) for kind in race.kinds) if one]
    said.extend(
        f"{one.loss.kind.capitalize()} that lost {number(one.loss.metres_lost, 0)} m: {trace_words(one)}"
        for one in race.manoeuvres
        if one.shows and one.loss.metres_lost is not None
    )
    return said


def _list(title: str, said: Iterable[str]) -> str:
    items = "".join(f"#list.item({typst_string(one)})\n" for one in said)
    return f"#heading({typst_string(title)})\n{items}" if items else ""


def _ledger(ledger: Ledger) -> str:
    longest = max([1.0, *(abs(part.seconds) for part in ledger.shown)])
    bars = "".join(_bar(part, longest) for part in ledger.shown)
    said = [one for one in (total_sentence(ledger), withheld_sentence(ledger)) if one]
    return f"{_list('Where the time went', said)}{bars}"


def _bar(part: LedgerPart, longest: float) -> str:
    length = max(abs(part.seconds) / longest * BAR_MM, 0.5)
    fill = "black" if part.seconds >= 0.0 else "white"
    words = f"{cause(part.name)}: {part_words(part)}"
    return (
        f"#block(breakable: false, below: 2.5mm, [#fig({typst_string(words)})\n\n"
        f"#rect(width: {length:.1f}mm, height: 4mm, fill: {fill}, stroke: 0.6pt)])\n"
    )
