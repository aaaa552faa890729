"""The polar as a picture: true wind from the top, a curve for each wind, the fastest technique."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cringle.output.palette import LIGHT, Theme
from cringle.output.wording import html_text
from cringle.speed.polar import Polar

Array = NDArray[np.float64]

WIDE: Final = 560.0
TALL: Final = 900.0
TOP: Final = 96.0
LEFT: Final = 80.0
RADIUS: Final = 380.0
WORDS: Final = "boat speed [kn]; true wind from the top, its knots at the curves"
FONT: Final = "DejaVu Sans, Liberation Sans, sans-serif"
RINGS_KN: Final = (2, 4, 6, 8, 10, 12, 14, 16, 20, 25, 30)
SPOKES_DEG: Final = (30, 45, 60, 90, 120, 135, 150, 180)


def polar_svg(polars: Sequence[Polar], title: str, theme: Theme = LIGHT) -> str:
    """Return the polar diagram as SVG.

    Parameters
    ----------
    polars : sequence of Polar
        Cases over one grid of winds and angles.
    title : str
        Over the diagram.
    theme : Theme
        Colours.
    """
    fastest = _fastest(polars)
    winds, angles = polars[0].wind_kn, polars[0].angle_deg
    top = float(np.nanmax(fastest)) if np.isfinite(fastest).any() else 1.0
    scale = RADIUS / (1.06 * top)
    rows = _shown_rows(winds)
    body = [
        f'<rect width="{WIDE:g}" height="{TALL:g}" fill="{theme.ground}"/>',
        f'<text x="24" y="36" font-size="20" fill="{theme.ink}">{html_text(title)}</text>',
        f'<text x="24" y="60" fill="{theme.ink}">{WORDS}</text>',
        *_grid(scale, top, theme),
        *(
            _curve(angles, fastest[row], scale, _shade(place, len(rows), theme))
            for place, row in enumerate(rows)
        ),
        *_labels(angles, fastest, winds, (rows, scale), theme),
    ]
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{WIDE:g}" height="{TALL:g}"'
        f' viewBox="0 0 {WIDE:g} {TALL:g}" role="img" aria-label="{html_text(title)}"'
        f' font-family="{FONT}" font-size="14">{"".join(body)}</svg>'
    )


def _fastest(polars: Sequence[Polar]) -> Array:
    speed = np.stack([np.nan_to_num(one.cells.boat_speed_kn, nan=-1.0) for one in polars]).max(axis=0)
    return np.where(speed > 0.0, speed, np.nan)


def _shown_rows(winds: Array) -> list[int]:
    """Return at most seven rows, spread over the winds."""
    count = min(winds.size, 7)
    return [int(one) for one in np.unique(np.linspace(0, winds.size - 1, count).round())]


def _at(angle_deg: float, speed_kn: float, scale: float) -> tuple[float, float]:
    turn = math.radians(angle_deg)
    return LEFT + scale * speed_kn * math.sin(turn), TOP + RADIUS - scale * speed_kn * math.cos(turn)


def _grid(scale: float, top: float, theme: Theme) -> list[str]:
    out = []
    for ring in (one for one in RINGS_KN if one <= 1.05 * top):
        r, x, y = scale * ring, LEFT, TOP + RADIUS
        arc = f"M{x:.1f} {y - r:.1f}A{r:.1f} {r:.1f} 0 0 1 {x:.1f} {y + r:.1f}"
        out.append(f'<path d="{arc}" fill="none" stroke="{theme.fog}" stroke-width="0.7"/>')
        out.append(
            f'<text x="{x - 8:.1f}" y="{y - r + 5:.1f}" text-anchor="end" fill="{theme.ink}">{ring}</text>'
        )
    for spoke in SPOKES_DEG:
        x, y = _at(spoke, 1.05 * top, scale)
        out.append(
            f'<path d="M{LEFT:g} {TOP + RADIUS:g}L{x:.1f} {y:.1f}" stroke="{theme.fog}" stroke-width="0.7"/>'
        )
        out.append(f'<text x="{x + 4:.1f}" y="{y + 5:.1f}" fill="{theme.ink}">{spoke}°</text>')
    return out


def _curve(
    angles: Array,
    speed: Array,
    scale: float,
    colour: str,
) -> str:
    """Return one curve, broken where the boat cannot be sailed."""
    path, pen = [], "M"
    for angle, value in zip(angles.tolist(), speed.tolist(), strict=True):
        if not math.isfinite(value):
            pen = "M"
            continue
        x, y = _at(angle, value, scale)
        path.append(f"{pen}{x:.1f} {y:.1f}")
        pen = "L"
    return f'<path d="{"".join(path)}" fill="none" stroke="{colour}" stroke-width="2"/>'


def _labels(
    angles: Array,
    fastest: Array,
    winds: Array,
    drawn: tuple[list[int], float],
    theme: Theme,
) -> list[str]:
    """Return the wind at each curve, where it crosses an angle of its own so that none lies on another."""
    rows, scale = drawn
    out = []
    for place, row in enumerate(rows):
        wanted = 112.0 + 6.0 * place
        known = np.flatnonzero(np.isfinite(fastest[row]))
        if known.size == 0:
            continue
        near = known[int(np.argmin(np.abs(angles[known] - wanted)))]
        x, y = _at(float(angles[near]), float(fastest[row, near]), scale)
        words = f"{winds[row]:g}"
        wide = 9.0 * len(words) + 4.0
        out.append(
            f'<rect x="{x - wide / 2:.1f}" y="{y - 9:.1f}" width="{wide:.1f}" height="18"'
            f' fill="{theme.ground}"/>'
            f'<text x="{x:.1f}" y="{y + 5:.1f}" text-anchor="middle" fill="{theme.ink}">{words}</text>'
        )
    return out


def _shade(place: int, count: int, theme: Theme) -> str:
    """Return a colour of the sequence from fog to ink."""
    part = place / max(count - 1, 1)
    if not theme.ink.startswith("#"):
        return f"color-mix(in srgb, {theme.ink} {100.0 * part:.0f}%, {theme.fog})"
    ends = [[int(one[i : i + 2], 16) for i in (1, 3, 5)] for one in (theme.fog, theme.ink)]
    return "#" + "".join(f"{round(a + part * (b - a)):02X}" for a, b in zip(*ends, strict=True))
