"""Role cards: one person a card, A6, what to do and say in every play, as a PDF in black and white."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from cringle.output.typst_pdf import FIGURES_FONT, WORDS_FONT, compile_pdf
from cringle.output.wording import typst_string

WIDTH_MM, HEIGHT_MM = 105, 148
"""ISO 216 A6, upright."""

MARGIN_MM = 6
ALWAYS = (
    "People first. Class rules, sailing instructions and your own training have the last word.",
    "One motion for one change of wind: RRS 42 forbids a rhythm. No advice while racing: RRS 41.",
)


@dataclass(frozen=True)
class CardStep:
    """One action on a card: after what, what to say, what to do, on which line.

    Parameters
    ----------
    when : str
        Cue or action it follows; empty for the beginning.
    say, do, line : str
        Words, deed, line touched; empty where there is none.
    critical : bool
        Whether it has no slack.
    """

    when: str
    say: str
    do: str
    line: str = ""
    critical: bool = False


@dataclass(frozen=True)
class CardPlay:
    """One play on a card.

    Parameters
    ----------
    title, when : str
        Name, and technique and wind it is for.
    start : str
        Where the person is at the call.
    steps : tuple of CardStep
        In the order of time.
    cautions : tuple of str
        Of this play.
    """

    title: str
    when: str
    start: str
    steps: tuple[CardStep, ...]
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True)
class RoleCard:
    """The card of one person."""

    person: str
    role: str
    boat: str
    plays: tuple[CardPlay, ...]


def cards_pdf(cards: Sequence[RoleCard], printed: datetime) -> bytes:
    """Return one PDF with the cards of all people; the same input gives the same bytes."""
    return compile_pdf(cards_markup(cards, printed), printed)


def cards_markup(cards: Sequence[RoleCard], printed: datetime) -> str:
    """Return the markup of all cards; each begins on a new page and has its own page numbers."""
    return _PREAMBLE + "#pagebreak()\n".join(_card(one, printed) for one in cards)


_PREAMBLE = f"""#set document(title: "Role cards")
#set page(width: {WIDTH_MM}mm, height: {HEIGHT_MM}mm, margin: {MARGIN_MM}mm)
#set text(font: "{FIGURES_FONT}", size: 7.5pt, fill: black, hyphenate: false, lang: "en")
#set par(leading: 0.5em, spacing: 0.6em, justify: false)
#let step(when, say, do, tape) = {{
  let mark = box(width: 2.4mm, height: 2.4mm, stroke: 0.6pt, fill: if tape {{ black }} else {{ white }})
  let said = if say == "" {{ none }} else {{ text(weight: "bold", size: 8.5pt, "“" + say + "” ") }}
  let follows = if when == "" {{ none }} else {{ text(size: 6.5pt, style: "italic", " · " + when) }}
  grid(columns: (4mm, 1fr), column-gutter: 1mm, align(center, mark), {{ said; do; follows }})
}}
"""


def _card(card: RoleCard, printed: datetime) -> str:
    footer = f"{card.boat} · {card.person} · {printed:%Y-%m-%d}"
    head = (
        f"#set page(footer: context text(size: 6pt)[#{typst_string(footer)} #h(1fr)"
        " #counter(page).display()])\n#counter(page).update(1)\n"
        f'#text(size: 16pt, weight: "bold", {typst_string(card.person)})'
        f"#h(2mm)#text(size: 10pt, {typst_string(card.role)})\n\n"
        "#text(size: 6.5pt)[Filled box: no slack, the play waits for it. Empty box: there is time.]\n\n"
    )
    always = "".join(f"#par(text(size: 6.5pt, {typst_string(one)}))\n" for one in ALWAYS)
    return head + "".join(_play(one) for one in card.plays) + always


def _play(play: CardPlay) -> str:
    start = f"From: {play.start}" if play.start else "From where you are"
    title = (
        "#block(above: 2.5mm, below: 1mm, width: 100%, sticky: true, stroke: (bottom: 0.6pt),"
        " inset: (bottom: 0.6mm))"
        f'[#text(font: "{WORDS_FONT}", size: 10pt, weight: "bold", {typst_string(play.title)})'
        f" #h(1fr) #text(size: 6.5pt, {typst_string(play.when)})"
        f" #linebreak()#text(size: 6.5pt, {typst_string(start)})]\n"
    )
    steps = "".join(_step(one) for one in play.steps)
    if not play.steps:
        steps = '#par(text(style: "italic")[Nothing to handle: stay, look, call what you see.])\n'
    cautions = "".join(
        f'#par(text(size: 6.5pt, weight: "bold", {typst_string("Caution: " + one)}))\n'
        for one in play.cautions
    )
    return title + steps + cautions


def _step(step: CardStep) -> str:
    done = f"{step.do} [{step.line.replace('_', ' ')}]" if step.line else step.do
    filled = "true" if step.critical else "false"
    words = ", ".join(typst_string(one) for one in (step.when, step.say, done))
    return f"#step({words}, {filled})\n"
