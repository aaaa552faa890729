"""The legs drawn upright one above another: true wind from the top, both sides' losses beside them."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from cringle.output.report_race_words import leg_words, side_words
from cringle.output.wording import html_text, real_minus
from cringle.track.debrief.picture import LegPicture
from cringle.track.debrief.race import Race, RaceLeg

WIDTH: Final = 240.0
TALLEST: Final = 320.0
MARGIN: Final = 24.0
HEAD: Final = 32.0


def legs_html(race: Race, pictures: tuple[LegPicture, ...]) -> str:
    """Return the legs one above another, the last at the top as a boat sails up and down.

    Parameters
    ----------
    race : Race
        Legs and their ledgers.
    pictures : tuple of LegPicture
        The track of each leg in metres, wind from the top.
    """
    both = zip(race.legs, pictures, strict=True)
    rows = [_leg(one, picture) for one, picture in both if one.ledger is not None]
    return f'<div class="legs">{"".join(rows)}</div>'


def _leg(one: RaceLeg, picture: LegPicture) -> str:
    sides = "".join(f"<li>{html_text(words)}</li>" for words in side_words(one))
    return (
        f'<figure class="leg">{_svg(one, picture)}<figcaption><strong>{html_text(leg_words(one))}</strong>'
        f"<ul>{sides}</ul></figcaption></figure>"
    )


def _svg(one: RaceLeg, picture: LegPicture) -> str:
    across, up = picture.across_m, picture.up_m
    if across.size < 2:
        return ""
    wide, tall = max(float(np.ptp(across)), 1.0), max(float(np.ptp(up)), 1.0)
    scale = min((WIDTH - 2.0 * MARGIN) / wide, (TALLEST - HEAD - 2.0 * MARGIN) / tall)
    height = HEAD + tall * scale + 2.0 * MARGIN
    x = 0.5 * (WIDTH - wide * scale) + (across - across.min()) * scale
    y = HEAD + MARGIN + (up.max() - up) * scale
    words = html_text(f"{one.name}, the true wind from the top")
    marks = "".join(_mark(float(x[row]), float(y[row]), loss) for row, loss in picture.losses)
    middle = WIDTH / 2.0
    return (
        f'<svg class="track" viewBox="0 0 {WIDTH:g} {height:.0f}" role="img" aria-label="{words}">'
        f'<path class="arrow" d="M{middle:g} 8V26M{middle - 5:g} 19L{middle:g} 28L{middle + 5:g} 19"/>'
        f"{_line(x, y)}{marks}"
        f'<circle class="end" cx="{x[0]:.1f}" cy="{y[0]:.1f}" r="3"/>'
        f'<rect class="end" x="{x[-1] - 3:.1f}" y="{y[-1] - 3:.1f}" width="6" height="6"/></svg>'
    )


def _line(x: NDArray[np.float64], y: NDArray[np.float64]) -> str:
    points = " ".join(f"{a:.1f},{b:.1f}" for a, b in zip(x.tolist(), y.tolist(), strict=True))
    return f'<polyline class="sailed" points="{points}"/>'


def _mark(x: float, y: float, loss: str) -> str:
    side = 1.0 if x < WIDTH / 2.0 else -1.0
    anchor = "end" if side > 0.0 else "start"
    return (
        f'<g class="mark"><circle cx="{x:.1f}" cy="{y:.1f}" r="3.5"/>'
        f'<text x="{x - 7.0 * side:.1f}" y="{y + 4:.1f}" text-anchor="{anchor}">'
        f"{html_text(real_minus(loss))}</text></g>"
    )
