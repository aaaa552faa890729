"""The time ledger as time bars: seconds a cause, the longest first, its interval as a whisker."""

from __future__ import annotations

from typing import Final

from cringle.output.report_race_words import cause, part_words, seconds
from cringle.output.wording import html_text
from cringle.track.ledger.interval import Ledger, LedgerPart

WIDTH: Final = 360.0
ROW: Final = 48.0
BAR: Final = 16.0
LEFT: Final = 4.0
RIGHT: Final = 20.0
SHORT: Final = {"trim": "trim"}
"""Words that would not fit beside a bar on a phone."""


def ledger_svg(ledger: Ledger) -> str:
    """Return the ledger's bars as SVG that takes its colours from the page.

    Parameters
    ----------
    ledger : Ledger
        Parts smaller than their own interval are drawn together as one hollow bar.
    """
    shown = ledger.shown
    low = min([0.0, *(part.low for part in shown), ledger.withheld_s])
    high = max([1.0, *(part.high for part in shown), ledger.withheld_s])
    scale = (WIDTH - LEFT - RIGHT) / (high - low)
    zero = LEFT - low * scale
    rows = [_bar(part, place, zero, scale) for place, part in enumerate(shown)]
    if ledger.withheld:
        rows.append(_withheld(ledger, len(shown), zero, scale))
    height = ROW * max(len(rows), 1) + 8.0
    words = html_text(f"Time ledger against the {ledger.baseline}, {seconds(ledger.total.seconds)} in all")
    axis = f'<path class="level" d="M{zero:.1f} 4V{height - 4:.1f}"/>'
    return (
        f'<svg class="ledger" viewBox="0 0 {WIDTH:g} {height:.0f}" role="img" aria-label="{words}">'
        f"{axis}{''.join(rows)}</svg>"
    )


def _bar(part: LedgerPart, place: int, zero: float, scale: float) -> str:
    y = 22.0 + place * ROW
    start, length = _span(part.seconds, zero, scale)
    low, high, middle = zero + part.low * scale, zero + part.high * scale, y + BAR / 2.0
    words = html_text(f"{SHORT.get(part.name, cause(part.name))}: {part_words(part)}")
    kind = "cost" if part.seconds >= 0.0 else "gain"
    return (
        f'<text x="{LEFT + 4:g}" y="{y - 6:.1f}">{words}</text>'
        f'<rect class="{kind}" x="{start:.1f}" y="{y:.1f}" width="{length:.1f}" height="{BAR:g}"/>'
        f'<path class="whisker" d="M{low:.1f} {middle:.1f}H{high:.1f}M{low:.1f} {middle - 5:.1f}v10'
        f'M{high:.1f} {middle - 5:.1f}v10"/>'
    )


def _withheld(ledger: Ledger, place: int, zero: float, scale: float) -> str:
    y = 22.0 + place * ROW
    start, length = _span(ledger.withheld_s, zero, scale)
    words = html_text(f"not told apart, together: {seconds(ledger.withheld_s)}")
    return (
        f'<text x="{LEFT + 4:g}" y="{y - 6:.1f}">{words}</text>'
        f'<rect class="hollow" x="{start:.1f}" y="{y:.1f}" width="{length:.1f}" height="{BAR:g}"/>'
    )


def _span(value: float, zero: float, scale: float) -> tuple[float, float]:
    return zero + min(value, 0.0) * scale, max(abs(value) * scale, 1.0)
