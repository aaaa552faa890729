"""The horizon: heel as a tilted deck line over a level one, the band as a wedge, what was sailed as a fan."""

from __future__ import annotations

import math
from typing import Final

from cringle.output.report_words import number
from cringle.output.wording import html_text
from cringle.track.sailing.heel import HeelPart

WIDTH: Final = 240.0
HEIGHT: Final = 128.0
CENTRE: Final = (120.0, 64.0)
ARM: Final = 108.0


def horizon_svg(name: str, part: HeelPart) -> str:
    """Return the heel on one point of sail as SVG that takes its colours from the page.

    Parameters
    ----------
    name : str
        Point of sail.
    part : HeelPart
        What was measured there.
    """
    wedge = "" if part.band is None else _wedge("band", part.band.low_deg, part.band.high_deg)
    deck_x, deck_y = _tip(part.mean_deg, 1.0)
    back_x, back_y = _tip(part.mean_deg, -1.0)
    usual = f"mostly {number(part.p10_deg)} to {number(part.p90_deg)}"
    words = html_text(f"{name}: heel {number(part.mean_deg)} degrees, {usual}")
    return (
        f'<svg class="horizon" viewBox="0 0 {WIDTH:g} {HEIGHT:g}" role="img" aria-label="{words}">'
        f'<path class="level" d="M4 {CENTRE[1]:g}H{WIDTH - 4:g}"/>'
        f"{wedge}{_wedge('fan', part.p10_deg, part.p90_deg)}"
        f'<path class="deck" d="M{back_x:.1f} {back_y:.1f}L{deck_x:.1f} {deck_y:.1f}"/></svg>'
    )


def _tip(heel_deg: float, side: float) -> tuple[float, float]:
    """Return one end of a deck line; leeward is drawn to the right."""
    angle = math.radians(heel_deg)
    return CENTRE[0] + side * ARM * math.cos(angle), CENTRE[1] + side * ARM * math.sin(angle)


def _wedge(kind: str, low_deg: float, high_deg: float) -> str:
    """Draw both ends of the deck between two angles."""
    pieces = []
    for side in (1.0, -1.0):
        (ax, ay), (bx, by) = _tip(low_deg, side), _tip(high_deg, side)
        pieces.append(
            f"M{CENTRE[0]:g} {CENTRE[1]:g}L{ax:.1f} {ay:.1f}A{ARM:g} {ARM:g} 0 0 1 {bx:.1f} {by:.1f}Z"
        )
    return f'<path class="{kind}" d="{"".join(pieces)}"/>'
