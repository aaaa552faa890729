"""A lane question as a picture: the true wind from the top, tracks as lines with their names at the end."""

from __future__ import annotations

import math
import textwrap
from dataclasses import dataclass
from typing import Final

from cringle.output.palette import LIGHT, Theme
from cringle.output.rig_pictures import picture
from cringle.output.wording import html_text
from cringle.speed.lanes import LaneAnswer, Track

WIDTH: Final = 520.0
HEAD: Final = 72.0
TALL: Final = 420.0
MARGIN: Final = 72.0
WORDS_WIDE: Final = 66
LINE: Final = 20.0
FONT: Final = "DejaVu Sans, Liberation Sans, sans-serif"
DASHES: Final = ("", "7 4", "2 4", "10 3 2 3")
LENGTHS_M: Final = (5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000)


@dataclass(frozen=True)
class _Sheet:
    """Where metres land."""

    scale: float
    left_m: float
    top_m: float
    x0: float
    y0: float

    def at(self, across: float, up: float) -> tuple[float, float]:
        """Return a place on the picture."""
        return self.x0 + (across - self.left_m) * self.scale, self.y0 + (self.top_m - up) * self.scale


def lane_picture(answer: LaneAnswer, wind_kn: float, suffix: str, theme: Theme = LIGHT) -> bytes:
    """Return the picture of an answer as SVG or PNG."""
    return picture(lane_svg(answer, wind_kn, theme), suffix)


def lane_svg(answer: LaneAnswer, wind_kn: float, theme: Theme = LIGHT) -> str:
    """Return the picture of an answer: the wind from the top, tracks, a scale, and the answer in words.

    Parameters
    ----------
    answer : LaneAnswer
        The answer with its tracks.
    wind_kn : float
        For the words at the top.
    theme : Theme
        Colours.
    """
    sheet = _sheet(answer.tracks)
    words = textwrap.wrap(html_safe(answer.words + "."), WORDS_WIDE)
    height = HEAD + TALL + 2 * MARGIN + LINE * (len(words) + 1)
    body = [
        f'<rect width="{WIDTH:g}" height="{height:.0f}" fill="{theme.ground}"/>',
        _wind(wind_kn, theme),
        *(
            _track(sheet, one, place, _colour(answer.tracks, place, theme))
            for place, one in enumerate(answer.tracks)
        ),
        *_names(sheet, answer.tracks, theme),
        _scale_bar(sheet, HEAD + TALL + 1.5 * MARGIN, theme),
    ]
    top = HEAD + TALL + 2 * MARGIN + 4.0
    for row, line in enumerate(words):
        body.append(_text(24.0, top + LINE * row, line, theme.ink, anchor="start"))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{WIDTH:g}" height="{height:.0f}"'
        f' viewBox="0 0 {WIDTH:g} {height:.0f}" role="img" aria-label="{html_text(answer.words)}"'
        f' font-family="{FONT}" font-size="14">{"".join(body)}</svg>'
    )


def html_safe(words: str) -> str:
    """Return words with no markup in them."""
    return html_text(words).replace("&#x27;", "'")


def _sheet(tracks: tuple[Track, ...]) -> _Sheet:
    across = [x for one in tracks for x in one.across_m]
    up = [y for one in tracks for y in one.up_m]
    wide, tall = max(max(across) - min(across), 1.0), max(max(up) - min(up), 1.0)
    scale = min((WIDTH - 2.0 * MARGIN) / wide, TALL / tall)
    x0 = 0.5 * (WIDTH - wide * scale)
    y0 = HEAD + 0.5 * MARGIN + 0.5 * (TALL - tall * scale)
    return _Sheet(scale, min(across), max(up), x0, y0)


def _wind(wind_kn: float, theme: Theme) -> str:
    middle = WIDTH / 2.0
    arrow = f"M{middle:g} 32V60M{middle - 6:g} 52L{middle:g} 62L{middle + 6:g} 52"
    return (
        _text(middle, 22.0, f"true wind {wind_kn:g} kn", theme.ink, anchor="middle")
        + f'<path d="{arrow}" stroke="{theme.ink}" stroke-width="2" fill="none"/>'
    )


def _track(sheet: _Sheet, track: Track, place: int, colour: str) -> str:
    points = [sheet.at(x, y) for x, y in zip(track.across_m, track.up_m, strict=True)]
    if len(points) == 1:
        return f'<circle cx="{points[0][0]:.1f}" cy="{points[0][1]:.1f}" r="5" fill="{colour}"/>'
    dash = DASHES[place % len(DASHES)]
    style = f' stroke-dasharray="{dash}"' if dash else ""
    drawn = " ".join(f"{x:.1f},{y:.1f}" for x, y in points)
    start = f'<circle cx="{points[0][0]:.1f}" cy="{points[0][1]:.1f}" r="3" fill="{colour}"/>'
    return f'<polyline points="{drawn}" fill="none" stroke="{colour}" stroke-width="2.5"{style}/>{start}'


def _colour(tracks: tuple[Track, ...], place: int, theme: Theme) -> str:
    """Return the tape's colour for you, or for the choice asked about (the second track), else ink."""
    names = [one.name for one in tracks]
    yours = names.index("you") if "you" in names else min(1, len(names) - 1)
    return theme.tape if place == yours else theme.ink


def _names(sheet: _Sheet, tracks: tuple[Track, ...], theme: Theme) -> list[str]:
    """Return each name at the end of its track, moved apart where two would lie on each other."""
    taken: list[tuple[float, float, float]] = []
    out = []
    for one in tracks:
        x, y = sheet.at(one.across_m[-1], one.up_m[-1])
        down = len(one.up_m) > 1 and one.up_m[-1] < one.up_m[0]
        y += 20.0 if down else -10.0
        half = 4.4 * len(one.name)
        inside = min(max(x, half + 8.0), WIDTH - half - 8.0)
        while any(abs(y - b) < LINE - 2.0 and abs(inside - a) < half + other for a, b, other in taken):
            y += LINE if down else -LINE
        taken.append((inside, y, half))
        out.append(_text(inside, y, html_safe(one.name), theme.ink, anchor="middle"))
    return out


def _scale_bar(sheet: _Sheet, y: float, theme: Theme) -> str:
    fitting = [metres for metres in LENGTHS_M if metres * sheet.scale <= WIDTH / 3.0] or [LENGTHS_M[0]]
    metres = fitting[-1]
    length = metres * sheet.scale
    bar = (
        f"M24 {y - 5:.1f}V{y + 5:.1f}M24 {y:.1f}H{24 + length:.1f}M{24 + length:.1f} {y - 5:.1f}V{y + 5:.1f}"
    )
    return f'<path d="{bar}" stroke="{theme.fog}" stroke-width="2" fill="none"/>' + _text(
        32.0 + length, y + 5.0, f"{metres} m", theme.ink, anchor="start"
    )


def _text(x: float, y: float, words: str, colour: str, *, anchor: str) -> str:
    place = x if math.isfinite(x) else WIDTH / 2.0
    return f'<text x="{place:.1f}" y="{y:.1f}" text-anchor="{anchor}" fill="{colour}">{words}</text>'
