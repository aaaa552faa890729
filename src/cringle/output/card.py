"""Tonight's card: an A6 PDF in black and white. Front: the numbers. Back: heel, moves, run, cautions."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from cringle.findings import Number
from cringle.output.card_rows import CardRows, card_rows, control_row
from cringle.output.person_block import PersonBlock, number_typst, row_typst
from cringle.output.provenance_mark import LEGEND, provenance_typst
from cringle.output.typst_pdf import FIGURES_FONT, WORDS_FONT, compile_pdf
from cringle.output.wording import mark_text, shortened, typst_string
from cringle.settings.moves import Move
from cringle.settings.tonight import Tonight

WIDTH_MM, HEIGHT_MM = 105, 148
"""ISO 216 A6, upright."""

MARGIN_MM = 5
FIGURES_PT = 20.0
"""Figures are then 5.1 mm high: read at a metre."""

LARGE_FIGURES_PT = 28.0
"""On a card with few rows: 7.2 mm."""

ROOM_MM, PERSON_MM = 112.0, 5.5
"""Height of the front left for people and rows, and what one person's heading takes."""

ROWS_MM = (6.5, 10.5)
"""Least and most height of a row."""

LARGE_ROW_MM = 9.0
MOST_TITLE, MOST_CAPTION, MOST_SENTENCE = 20, 68, 140
"""Characters of a title, of the line under it, and of a cue or caution; longer ones end in an ellipsis."""

SHORT_TITLE = 31
"""Wind and name together stand in large letters up to so many characters."""

MOST_CAUTIONS = 10
"""Cautions of tonight's own on the card; it says how many more there are."""

RUN_ROLES = ("kite_sheet_leeward", "tack_line", "mainsheet")
"""Lines trimmed on the run."""

ALWAYS = (
    "No advice while racing: RRS 41. Class rules and sailing instructions come first.",
    "Rig loads hurt people: a qualified rigger has the last word. Nobody goes aloft for this card.",
    "Buyoancy aids on; cold water comes before speed.",
)
"""Cautions on every card."""


EMPTY_TABLE = "The table has no numbers for these sails yet."
NOTHING_TO_SET = "You set no line tonight. Heel, cues, moves and the run are on the back."


@dataclass(frozen=True)
class CardInput:
    """What a card is made of.

    Parameters
    ----------
    up : Tonight
        Front: numbers of both gears.
    down : tuple of Tonight
        The run, for the back: one for each sail set that can be set there.
    printed : datetime
        When it was made, in the boat's time zone.
    person : str or None
        One person's card; None for everybody's.
    """

    up: Tonight
    down: tuple[Tonight, ...]
    printed: datetime
    person: str | None = None


def card_pdf(cards: Sequence[CardInput]) -> bytes:
    """Return one PDF with a front and a back for each card; the same input gives the same bytes."""
    return compile_pdf(card_markup(cards), cards[0].printed)


def card_markup(cards: Sequence[CardInput]) -> str:
    """Return the markup of all cards."""
    pages = [page for card in cards for page in (_front(card), _back(card))]
    return _PREAMBLE + "#pagebreak()\n".join(pages)


_PREAMBLE = f"""#set document(title: "Cringle card")
#set page(width: {WIDTH_MM}mm, height: {HEIGHT_MM}mm, margin: {MARGIN_MM}mm)
#set text(font: "{FIGURES_FONT}", size: 8pt, fill: black, hyphenate: false, lang: "en")
#set par(leading: 0.45em, spacing: 0.55em, justify: false)
#let caption(words) = text(size: 6.5pt, words)
#let head(words) = block(above: 2mm, below: 1mm, width: 100%, stroke: (bottom: 0.6pt), inset: (bottom: 0.7mm),
  text(size: 9pt, weight: "bold", words))
#let fitted(make) = layout(size => {{
  let chosen = 5pt
  for step in range(22) {{
    let trial = 10pt - step * 0.25pt
    let tall = measure(block(width: size.width, {{ set text(size: trial); make }})).height
    if tall <= size.height {{ chosen = trial; break }}
  }}
  set text(size: chosen)
  make
}})
"""


def _front(card: CardInput) -> str:
    rows = card_rows(card.up, card.person)
    columns = f"(1fr, 21mm{', 19.5mm' * len(rows.gears)})"
    body = [_title(card), f"#grid(columns: {columns}, {_gear_heads(rows)})\n"]
    if not rows.people:
        body.append(f"#text({typst_string(NOTHING_TO_SET if card.up.numbers.numbers else EMPTY_TABLE)})\n")
    height = row_height_mm(rows)
    body += [_person(block, columns, height) for block in rows.people]
    if rows.left_out:
        words = f"Not on this card: {', '.join(rows.left_out)}. They stay in the book."
        body.append(f"#v(1fr)\n#caption({typst_string(words)})\n")
    return "".join(body)


def _title(card: CardInput) -> str:
    up = card.up
    gust = "" if up.wind.gust_kn is None else f", gusts {up.wind.gust_kn:.0f}"
    spread = (
        "" if None in (up.wind.low_kn, up.wind.high_kn) else f" ({up.wind.low_kn:.0f}–{up.wind.high_kn:.0f})"
    )
    wind = f"{up.wind.wind_kn:.3g} kn{spread}{gust}"
    who = shortened(f"{up.boat} · {card.person}" if card.person else up.boat, MOST_TITLE)
    wind_pt, who_pt = (14, 10) if len(wind) + len(who) <= SHORT_TITLE else (11, 8)
    under = f"wind at {up.wind.height_m:g} m · {up.sea} · {up.sail_set_name} · {card.printed:%Y-%m-%d %H:%M}"
    return (
        "#grid(columns: (1fr, auto), align: (left + bottom, right + bottom), "
        f"{_bold(wind, wind_pt)}, {_bold(who, who_pt)})\n"
        f"#caption({typst_string(shortened(under, MOST_CAPTION))})\n"
    )


def _gear_heads(rows: CardRows) -> str:
    return 'caption("in marks, or as said"), []' + "".join(
        f", align(right, {_bold(gear, 8)})" for gear in rows.gears
    )


def _bold(words: str, size_pt: float) -> str:
    return f'text(size: {size_pt:g}pt, weight: "bold", {typst_string(words)})'


def row_height_mm(rows: CardRows) -> float:
    """Return the height of a row, so that the rows fill the front but never spill over."""
    count = sum(len(block.rows) for block in rows.people)
    room = (ROOM_MM - PERSON_MM * len(rows.people)) / max(count, 1)
    return min(ROWS_MM[1], max(ROWS_MM[0], round(room - 0.05, 1)))


def _person(block: PersonBlock, columns: str, height_mm: float) -> str:
    head = (
        f"#block(above: 0.6mm, below: 0.4mm, width: 100%, stroke: (top: 0.6pt), inset: (top: 0.6mm), "
        f"[#{_bold(shortened(block.person, 24), 8.5)} #caption({typst_string(shortened(block.duty, 24))})])\n"
    )
    size = LARGE_FIGURES_PT if height_mm >= LARGE_ROW_MM else FIGURES_PT
    cells = [f"[{cell}]" for row in block.rows for cell in row_typst(row, size_pt=size, height_mm=ROWS_MM[0])]
    gears = len(block.rows[0].numbers)
    aligned = f"(left + horizon, center + horizon{', right + horizon' * gears})"
    return (
        head
        + f"#grid(columns: {columns}, rows: {height_mm:g}mm, align: {aligned},\n"
        + ",\n".join(cells)
        + ")\n"
    )


def _back(card: CardInput) -> str:
    parts = [_heel(card), _places(card), _moves(card), _run(card), _cautions(card), _provenance(card)]
    return f'#fitted([#set text(font: "{WORDS_FONT}")\n' + "\n".join(part for part in parts if part) + "])\n"


def _head(words: str) -> str:
    return f"#head({typst_string(words)})\n"


def _line(words: str) -> str:
    return f"#par({typst_string(words)})\n"


def _heel(card: CardInput) -> str:
    heel = card.up.heel
    cues = "".join(
        _line(shortened(f"{sense}: {words}", MOST_SENTENCE)) for sense, words in card.up.cues.items()
    )
    if heel is None:
        return _head("Heel") + _line("No heel target yet: read the inclinometer aloud, write it down.") + cues
    figure = f'#text(font: "{FIGURES_FONT}")[#{_bold(f"{heel.value:.0f}°", FIGURES_PT)}]'
    words = f"#text({typst_string(_heel_words(heel))})"
    return _head("Heel") + f"#par[{figure}#h(0.6mm){provenance_typst(heel.source)} {words}]\n" + cues


def _heel_words(heel: Number) -> str:
    side = "to leeward" if heel.value >= 0 else "to windward"
    if heel.low is None or heel.high is None:
        return f"{side}."
    return f"{side}, {heel.low:.0f} to {heel.high:.0f}."


def _places(card: CardInput) -> str:
    shown = [one for one in card.up.crew if card.person in (None, one.person)]
    if not shown:
        return ""
    words = "; ".join(f"{one.person} {one.posture}, {one.station_name or one.station}" for one in shown)
    return _line(f"Places: {words}.")


def _moves(card: CardInput) -> str:
    here = card.up.wind.wind_kn
    mine = [one for one in card.up.moves if card.person in (None, one.who) or _sets_nothing(card)]
    ups = [one for one in mine if one.to_wind_kn > here]
    downs = [one for one in mine if one.to_wind_kn < here]
    out = ""
    for title, moves, pick in (("More wind", ups, min), ("Less wind", downs, max)):
        if not moves:
            continue
        to_kn = pick(one.to_wind_kn for one in moves)
        lines = _move_lines([one for one in moves if one.to_wind_kn == to_kn])
        out += _head(f"{title}: {to_kn:g} kn") + "".join(_line(one) for one in lines)
    return out or _head("Moves") + _line("The table has no row to move to.")


def _sets_nothing(card: CardInput) -> bool:
    """Whether the card is for somebody, such as the helm, who works no line: they see everybody's moves."""
    return card.person is not None and card.person not in card.up.people


def _move_lines(moves: Sequence[Move]) -> list[str]:
    lines = []
    for who in dict.fromkeys(one.who for one in moves):
        told = [
            f"{one.name} {one.word} to {mark_text(one.end)}"
            + ("" if one.while_racing else f" ({one.rule_state.value})")
            for one in moves
            if one.who == who
        ]
        lines.append(f"{who}: {'; '.join(told)}.")
    return lines


def _run(card: CardInput) -> str:
    words = _call_words(card) or "No call for the run in the book: choose before the windward mark."
    gears = [(down, gear) for down in card.down for gear in down.numbers.gears]
    return _head("Run") + _line(words) + "".join(_run_gear(card, down, gear) for down, gear in gears)


def _run_gear(card: CardInput, down: Tonight, gear: str) -> str:
    """Return the lines trimmed on the run in one technique, as one paragraph."""
    everything = card.person is None or _sets_nothing(card)
    rows = [control_row(down, role, (gear,)) for role in down.numbers.roles if role in RUN_ROLES]
    told = ", ".join(
        f"#box[#text({typst_string(row.label.lower())}) {number_typst(row.numbers[0], size_pt=10.0)}]"
        for row in rows
        if row.numbers[0] is not None and (everything or down.workers[row.role] == card.person)
    )
    heel = "" if down.heel is None else f", heel {down.heel.value:.0f}°"
    return f"#par[#strong({typst_string(f'{gear}, {down.sail_set_name}{heel}')}): {told}.]\n" if told else ""


def _call_words(card: CardInput) -> str:
    call = next((one.call for one in (card.up, *card.down) if one.call is not None), None)
    if call is None:
        return ""
    what = [
        call.technique,
        None if call.jib is None else f"jib {call.jib}",
        None if call.lane is None else f"lane: {call.lane}",
    ]
    words = ", ".join(one for one in what if one)
    why = f" because {call.why}" if call.why else ""
    flips = f"; the other way at {call.flips_at_kn:.0f} kn" if call.flips_at_kn is not None else ""
    return f"{words[:1].upper()}{words[1:]}{why}{flips}."


def _cautions(card: CardInput) -> str:
    own = [*card.up.rig.warnings, *card.up.cautions, *(words for one in card.down for words in one.cautions)]
    said = list(dict.fromkeys(one for one in own if one not in ALWAYS))
    shown = [shortened(one, MOST_SENTENCE) for one in said[:MOST_CAUTIONS]]
    more = len(said) - len(shown)
    rest = [f"{more} more cautions: read them with cringle today before you sail."] if more else []
    return _head("Cautions") + "".join(_line(one) for one in [*shown, *rest, *ALWAYS])


def _provenance(card: CardInput) -> str:
    numbers = card.up.numbers
    counts: dict[str, int] = {}
    for one in numbers.numbers:
        counts[one.number.source.value] = counts.get(one.number.source.value, 0) + 1
    told = ", ".join(f"{count} {kind}" for kind, count in sorted(counts.items())) or "no numbers"
    notes = " ".join(f"{one.rstrip('.')}." for one in (*card.up.wind.notes, *numbers.notes))
    read = f"Read at {card.up.wind.reads_at_kn:.3g} kn: {told}. {LEGEND}. Hollow figures are guesses."
    return _head("Where the numbers come from") + _line(read) + (_line(notes) if notes else "")
