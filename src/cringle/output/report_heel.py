"""Heel against its target as a horizon: the target level, the band as a wedge, what was sailed as a fan."""

from __future__ import annotations

import math
from typing import Final

from cringle.output.report_words import number
from cringle.output.wording import html_text
from cringle.track.heel.discipline import BAND_DEG, HeelShare

WIDTH: Final = 240.0
HEIGHT: Final = 96.0
CENTRE: Final = (120.0, 48.0)
ARM: Final = 108.0
STRETCH: Final = 2.0
"""Angles are drawn at twice their size, so that two degrees can be seen; the caption gives the numbers."""


def discipline_svg(name: str, share: HeelShare) -> str:
    """Return heel against its target as SVG that takes its colours from the page.

    Parameters
    ----------
    name : str
        Point of sail.
    share : HeelShare
        Mean and spread of the error.
    """
    mean, spread = share.error_mean_deg, share.error_sd_deg
    deck, back = _tip(mean, 1.0), _tip(mean, -1.0)
    words = html_text(
        f"{name}: {number(mean)} degrees from the target on average, spread {number(spread)} degrees"
    )
    return (
        f'<svg class="horizon" viewBox="0 0 {WIDTH:g} {HEIGHT:g}" role="img" aria-label="{words}">'
        f'<path class="level" d="M4 {CENTRE[1]:g}H{WIDTH - 4:g}"/>'
        f"{_wedge('band', -BAND_DEG, BAND_DEG)}{_wedge('fan', mean - spread, mean + spread)}"
        f'<path class="deck" d="M{back[0]:.1f} {back[1]:.1f}L{deck[0]:.1f} {deck[1]:.1f}"/></svg>'
    )


def _tip(angle_deg: float, side: float) -> tuple[float, float]:
    """Return one end of a deck line; leeward is drawn to the right."""
    angle = math.radians(STRETCH * max(min(angle_deg, 12.0), -12.0))
    return CENTRE[0] + side * ARM * math.cos(angle), CENTRE[1] + side * ARM * math.sin(angle)


def _wedge(kind: str, low_deg: float, high_deg: float) -> str:
    pieces = []
    for side in (1.0, -1.0):
        (ax, ay), (bx, by) = _tip(low_deg, side), _tip(high_deg, side)
        pieces.append(
            f"M{CENTRE[0]:g} {CENTRE[1]:g}L{ax:.1f} {ay:.1f}A{ARM:g} {ARM:g} 0 0 1 {bx:.1f} {by:.1f}Z"
        )
    return f'<path class="{kind}" d="{"".join(pieces)}"/>'
