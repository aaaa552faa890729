"""The track with the true wind from the top: a thin line, manoeuvres as small numbered marks."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cringle.output.wording import html_text
from cringle.track.debrief.picture import TrackPicture

WIDTH: Final = 360.0
TALLEST: Final = 560.0
SHORTEST: Final = 240.0
MARGIN: Final = 40.0
HEAD: Final = 64.0
LABEL: Final = 14.0
SCALE_LENGTHS_M: Final = (10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10_000, 20_000, 50_000)
LABEL_PLACES: Final = ((10.0, 5.0), (-10.0, 5.0), (10.0, -9.0), (-10.0, -9.0), (10.0, 18.0), (-10.0, 18.0))


@dataclass(frozen=True)
class Mark:
    """One mark on the track: its number in the table, its kind, and what it says when pointed at."""

    label: str
    kind: str
    title: str


@dataclass(frozen=True)
class _Sheet:
    """Where metres land on the drawing."""

    scale: float
    left_m: float
    top_m: float
    x0: float
    y0: float
    height: float

    def x(self, across: float) -> float:
        """Return the place across [px]."""
        return self.x0 + (across - self.left_m) * self.scale

    def y(self, up: float) -> float:
        """Return the place down [px]."""
        return self.y0 + (self.top_m - up) * self.scale


def track_chart_svg(picture: TrackPicture, marks: list[Mark]) -> str:
    """Return the track as SVG that takes its colours from the page.

    Parameters
    ----------
    picture : TrackPicture
        The track in metres, wind from the top.
    marks : list of Mark
        One for each of `picture.marks`.
    """
    sheet = _sheet(picture)
    drawn = [(mark, place) for mark, place in zip(marks, picture.marks, strict=True) if place is not None]
    body = [
        _top(picture),
        *(_line(sheet, across, up) for across, up in picture.lines),
        *_ends(sheet, picture),
        *_marks(sheet, drawn),
        _scale_bar(sheet),
    ]
    words = "Track with the true wind from the top" if picture.wind_known else "Track with north at the top"
    return (
        f'<svg class="track" viewBox="0 0 {WIDTH:g} {sheet.height:.0f}" role="img" aria-label="{words}">'
        f"{''.join(body)}</svg>"
    )


def _sheet(picture: TrackPicture) -> _Sheet:
    """Fit the track into the width, or into the greatest height when it is long along the wind."""
    across = np.concatenate([line[0] for line in picture.lines] or [np.zeros(1)])
    up = np.concatenate([line[1] for line in picture.lines] or [np.zeros(1)])
    wide, tall = max(float(np.ptp(across)), 1.0), max(float(np.ptp(up)), 1.0)
    room = TALLEST - HEAD - 2.0 * MARGIN
    scale = min((WIDTH - 2.0 * MARGIN) / wide, room / tall)
    height = max(HEAD + tall * scale + 2.0 * MARGIN, SHORTEST)
    x0 = 0.5 * (WIDTH - wide * scale)
    y0 = HEAD + 0.5 * (height - HEAD - 1.25 * MARGIN - tall * scale)
    return _Sheet(scale, float(across.min()), float(up.max()), x0, y0, height)


def _top(picture: TrackPicture) -> str:
    """Draw where the top is: the wind's arrow, or north."""
    words = f"true wind {round(picture.up_direction_deg) % 360:03d}°" if picture.wind_known else "north"
    middle = WIDTH / 2.0
    shaft = f"M{middle:g} 26V46"
    tip = (
        f"M{middle - 5:g} 39L{middle:g} 48L{middle + 5:g} 39"
        if picture.wind_known
        else (f"M{middle - 5:g} 33L{middle:g} 24L{middle + 5:g} 33")
    )
    return (
        f'<text class="label" x="{middle:g}" y="16" text-anchor="middle">{words}</text>'
        f'<path class="arrow" d="{shaft}{tip}"/>'
    )


def _line(sheet: _Sheet, across: NDArray[np.float64], up: NDArray[np.float64]) -> str:
    points = " ".join(
        f"{sheet.x(float(x)):.1f},{sheet.y(float(y)):.1f}" for x, y in zip(across, up, strict=True)
    )
    return f'<polyline class="sailed" points="{points}"/>'


def _ends(sheet: _Sheet, picture: TrackPicture) -> list[str]:
    if not picture.lines:
        return []
    first, last = picture.lines[0], picture.lines[-1]
    start = (sheet.x(float(first[0][0])), sheet.y(float(first[1][0])))
    end = (sheet.x(float(last[0][-1])), sheet.y(float(last[1][-1])))
    near = abs(start[0] - end[0]) < 60.0 and abs(start[1] - end[1]) < 18.0
    return [
        f'<circle class="end" cx="{start[0]:.1f}" cy="{start[1]:.1f}" r="3"/>',
        f'<rect class="end" x="{end[0] - 3:.1f}" y="{end[1] - 3:.1f}" width="6" height="6"/>',
        _label(start[0], start[1] + 20.0, "start, end" if near else "start", "middle"),
        "" if near else _label(end[0], end[1] + 20.0, "end", "middle"),
    ]


def _label(x: float, y: float, words: str, anchor: str) -> str:
    inside = min(max(x, 24.0), WIDTH - 24.0)
    return (
        f'<text class="label" x="{inside:.1f}" y="{y:.1f}" text-anchor="{anchor}">{html_text(words)}</text>'
    )


def _marks(sheet: _Sheet, drawn: list[tuple[Mark, tuple[float, float]]]) -> list[str]:
    """Draw a disc for a tack, a diamond for a gybe, a ring for a turn; each label where there is room."""
    places = [(sheet.x(across), sheet.y(up)) for _, (across, up) in drawn]
    taken = list(places)
    out = []
    for (mark, _), (x, y) in zip(drawn, places, strict=True):
        dx, dy = _free_place(x, y, taken)
        taken.append((x + dx, y + dy - 5.0))
        anchor = "start" if dx > 0.0 else "end"
        out.append(
            f'<g class="mark {html_text(mark.kind)}"><title>{html_text(mark.title)}</title>'
            f"{_shape(mark.kind, x, y)}"
            f'<text x="{x + dx:.1f}" y="{y + dy:.1f}" text-anchor="{anchor}">'
            f"{html_text(mark.label)}</text></g>"
        )
    return out


def _shape(kind: str, x: float, y: float) -> str:
    if kind == "gybe":
        return (
            f'<path d="M{x:.1f} {y - 6:.1f}L{x + 6:.1f} {y:.1f}L{x:.1f} {y + 6:.1f}L{x - 6:.1f} {y:.1f}Z"/>'
        )
    return f'<circle cx="{x:.1f}" cy="{y:.1f}" r="4.5"/>'


def _free_place(x: float, y: float, taken: list[tuple[float, float]]) -> tuple[float, float]:
    """Return the first place beside a mark that is inside the drawing and clear of others, else the first."""
    for dx, dy in LABEL_PLACES:
        at_x, at_y = x + dx, y + dy - 5.0
        inside = LABEL < at_x < WIDTH - LABEL
        clear = all(abs(at_x - a) > LABEL or abs(at_y - b) > LABEL for a, b in taken if (a, b) != (x, y))
        if inside and clear:
            return dx, dy
    return LABEL_PLACES[0] if x < WIDTH / 2.0 else LABEL_PLACES[1]


def _scale_bar(sheet: _Sheet) -> str:
    """Draw a round length of at most a third of the width."""
    fitting = [metres for metres in SCALE_LENGTHS_M if metres * sheet.scale <= WIDTH / 3.0]
    metres = fitting[-1] if fitting else SCALE_LENGTHS_M[0]
    length, y = metres * sheet.scale, sheet.height - 10.0
    words = f"{metres} m" if metres < 1000 else f"{metres // 1000} km"
    return (
        f'<path class="arrow" d="M8 {y - 4:.1f}V{y:.1f}H{8 + length:.1f}V{y - 4:.1f}"/>'
        f'<text class="label" x="{14 + length:.1f}" y="{y:.1f}">{words}</text>'
    )
