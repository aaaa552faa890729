"""A season on paper: the same sentences, pictures and legs in the same order."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import UTC, datetime, time
from pathlib import Path
from typing import Final

from cringle.boat.write import write_atomically
from cringle.output.season_charts import dots_svg
from cringle.output.season_page import (
    AGAINST_WIND,
    CHARTS,
    CREW_HEAD,
    DAY_HEAD,
    LEG_HEAD,
    TRENDS_SHOWN,
    crew_rows,
    day_row,
    dots_of,
    leg_row,
)
from cringle.output.season_words import (
    SeasonView,
    clear_trends,
    season_head,
    trend_sentence,
    unknown_sentences,
)
from cringle.output.typst_pdf import FIGURES_FONT, WORDS_FONT, compile_pdf
from cringle.output.wording import typst_string

PREAMBLE: Final = f"""#set page(paper: "a4", margin: 18mm, footer: context align(right, text(size: 8pt,
  counter(page).display("1 / 1", both: true))))
#set text(font: "{WORDS_FONT}", size: 11pt, fill: black, hyphenate: false, lang: "en")
#set par(leading: 0.5em, spacing: 0.7em, justify: false)
#show heading: set text(size: 13pt)
#show heading: set block(above: 6mm, below: 3mm)
#show table: set text(font: "{FIGURES_FONT}", size: 7pt)
"""

INK: Final = (
    f"text{{font-family:'{WORDS_FONT}';font-size:14px;fill:#000}}.title{{font-weight:600}}"
    ".axis{stroke:#000;stroke-width:1.2;fill:none}"
    ".tick{stroke:#000;stroke-width:.6;fill:none;stroke-dasharray:1 4}"
    ".dot{fill:#000}.fit{stroke:#000;stroke-width:2;fill:none}"
)
"""Style of the pictures: black on white."""


def write_season_pdf(view: SeasonView, path: Path) -> None:
    """Write the season as a PDF, whole or not at all.

    Raises
    ------
    BookError
        The file cannot be written; an older one stays as it was.
    """
    days = view.days
    made = datetime.combine(days[-1], time(12), UTC) if days else datetime(2000, 1, 1, tzinfo=UTC)
    markup, pictures = season_markup(view)
    write_atomically(path, compile_pdf(markup, made, pictures))


def season_markup(view: SeasonView) -> tuple[str, dict[str, bytes]]:
    """Return the markup of a season, and its pictures by name.

    Parameters
    ----------
    view : SeasonView
        Rows, means, trends. Every text in it is escaped.
    """
    title = f"Season of {view.boat}" if view.boat else "Season"
    pictures: dict[str, bytes] = {}
    clear = [trend_sentence(one) for one in clear_trends(view.trends)[:TRENDS_SHOWN]]
    parts = [
        PREAMBLE,
        f'#text(size: 18pt, weight: "bold", {typst_string(title)})\n\n#{typst_string(season_head(view))}\n',
        _list("What the data cannot tell", unknown_sentences(view)),
        _list("What went together", clear or ["Nothing is clear yet."]),
        *(_charts(view, head, [(name, "days") for name in names], pictures) for head, names in CHARTS),
        _charts(view, "Against the wind", [(name, "wind_kn") for name in AGAINST_WIND], pictures),
        _table("Who was aboard", CREW_HEAD, crew_rows(view)),
        _table("Sails, crew and settings", DAY_HEAD, [day_row(one) for one in view.means]),
        _table("Every leg", LEG_HEAD, [leg_row(one) for one in view.rows]),
        _list("Logs not used", view.failed),
    ]
    return "".join(parts), pictures


def _list(title: str, said: Iterable[str]) -> str:
    items = "".join(f"#list.item({typst_string(one)})\n" for one in said)
    return f"#heading({typst_string(title)})\n{items}" if items else ""


def _charts(
    view: SeasonView, title: str, wanted: Sequence[tuple[str, str]], pictures: dict[str, bytes]
) -> str:
    """Return pictures two abreast; each is kept under its name."""
    names = []
    for measure, against in wanted:
        dots = dots_of(view, measure, against)
        if dots is not None:
            name = f"{measure}-{against}.svg"
            pictures[name] = dots_svg(dots).replace(">", f"><style>{INK}</style>", 1).encode("utf-8")
            names.append(name)
    cells = ", ".join(f"image({typst_string(name)}, width: 84mm)" for name in names)
    if not cells:
        return ""
    return f"#heading({typst_string(title)})\n#grid(columns: 2, gutter: 4mm, {cells})\n"


def _table(title: str, head: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    if not rows:
        return ""
    cells = ", ".join(f"[#{typst_string(one)}]" for row in rows for one in row)
    heads = ", ".join(f"[#{typst_string(one)}]" for one in head)
    widths = ", ".join(["2fr", *["1fr"] * (len(head) - 2), "2fr" if head is DAY_HEAD else "1fr"])
    return (
        f"#heading({typst_string(title)})\n#table(columns: ({widths}), stroke: (x, y) => (bottom: 0.4pt),"
        f" inset: (x: 1mm, y: 1.2mm), align: left, table.header({heads}), {cells})\n"
    )
