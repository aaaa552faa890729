"""Pictures of a trial: gain over time with its stretches, and the evidence by wind."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cringle.output.palette import LIGHT
from cringle.output.wording import html_text
from cringle.trials.pair import PairResult

WIDTH, HEIGHT = 640.0, 320.0
LEFT, RIGHT, TOP, BOTTOM = 64.0, 24.0, 56.0, 48.0
PANEL_HEIGHT: Final = 240.0
Spot = tuple[float, float]
TICKS: Final = 5
ROUND_STEPS: Final = (0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0)


@dataclass(frozen=True)
class DrawnRow:
    """One row of the table as drawn: wind [kn]; table, best and its 90 % region as numbers; state."""

    wind_kn: float
    table: float
    best: float
    low: float
    high: float
    state: str


@dataclass(frozen=True)
class Panel:
    """One role: its name, its unit and its rows."""

    name: str
    unit: str
    rows: tuple[DrawnRow, ...]


@dataclass(frozen=True)
class _Scale:
    """Where values land along one axis."""

    low: float
    high: float
    first: float
    last: float

    def at(self, value: float) -> float:
        """Return the place of a value [px]."""
        return self.first + (value - self.low) / (self.high - self.low) * (self.last - self.first)

    def ticks(self) -> NDArray[np.float64]:
        """Return about five round values."""
        wanted = (self.high - self.low) / TICKS
        step = next((one for one in ROUND_STEPS if one >= wanted), ROUND_STEPS[-1])
        return np.arange(np.ceil(self.low / step), np.floor(self.high / step) + 1.0) * step + 0.0


def gain_svg(pair: PairResult, title: str, *, width: float = WIDTH, worded: bool = True) -> str:
    """Return the gain of the boat with the change, bin by bin, with its mean and 90 % interval.

    Parameters
    ----------
    pair : PairResult
        What is drawn.
    title : str
        Over it.
    width : float
        Of the picture; a phone takes 360. [px]
    worded : bool
        Whether title and legend stand in the picture; a page says them beside it.
    """
    series = pair.series
    kept = series.carried != 0.0
    minutes, gain = series.middle_s[kept] / 60.0, (series.gain * series.carried)[kept]
    ends = np.concatenate([gain, [0.0, pair.gain.low, pair.gain.high]])
    room = 0.08 * float(np.ptp(ends)) + 0.1
    x = _Scale(float(minutes.min()) - 0.5, float(minutes.max()) + 0.5, LEFT, width - RIGHT)
    y = _Scale(float(ends.min()) - room, float(ends.max()) + room, HEIGHT - BOTTOM, TOP)
    band = (
        f'<rect x="{LEFT:g}" y="{y.at(pair.gain.high):.1f}" width="{width - LEFT - RIGHT:g}" '
        f'height="{y.at(pair.gain.low) - y.at(pair.gain.high):.1f}" fill="{LIGHT.tape}" opacity="0.18"/>'
    )
    body = [
        _axes(x, y, "minutes from the start of the logs", "gain, m a minute"),
        band,
        _line((LEFT, y.at(0.0)), (width - RIGHT, y.at(0.0)), LIGHT.ink, dash="2 3"),
        _line((LEFT, y.at(pair.gain.value)), (width - RIGHT, y.at(pair.gain.value)), LIGHT.tape, width=2.5),
        *_runs(x, y, minutes, gain, series.stretch[kept]),
    ]
    if worded:
        body.append(_text(LEFT, 22, title, size=16))
        body.append(
            _text(LEFT, 42, f"{pair.verdict.words}; band: 90 % interval, gaps: not a fair comparison")
        )
    return _svg((width, HEIGHT), body, f"Gain over time: {pair.verdict.words}")


def _runs(
    x: _Scale, y: _Scale, minutes: NDArray[np.float64], gain: NDArray[np.float64], stretch: NDArray[np.intp]
) -> list[str]:
    """Draw one line a stretch, with a mark at each bin."""
    drawn = []
    for number in np.unique(stretch):
        rows = np.flatnonzero(stretch == number)
        points = " ".join(f"{x.at(minutes[row]):.1f},{y.at(gain[row]):.1f}" for row in rows)
        drawn.append(f'<polyline points="{points}" fill="none" stroke="{LIGHT.ink}" stroke-width="1.2"/>')
    return drawn


def evidence_svg(panels: Sequence[Panel], *, width: float = WIDTH, worded: bool = True) -> str:
    """Return the evidence by wind, a panel a role: the table as tape, the estimate with its region.

    Parameters
    ----------
    panels : sequence of Panel
        What is drawn.
    width : float
        Of the picture; a phone takes 360. [px]
    worded : bool
        Whether the legend stands in the picture; a page says it beside it.
    """
    top = 40.0 if worded else 0.0
    height = max(len(panels), 1) * PANEL_HEIGHT + top
    words = "bar: 90 % region of the best number (thin: not known) · dot: best · square: table"
    title = _text(LEFT, 22, "What the trials say, by wind", size=16)
    body = [title, _text(LEFT, 40, words)] if worded else []
    if not panels:
        body.append(_text(LEFT, 80, "No trial counts as evidence yet."))
    for number, panel in enumerate(panels):
        body += _panel(panel, top + number * PANEL_HEIGHT, width)
    return _svg((width, height), body, "Evidence by wind")


def _panel(panel: Panel, top: float, width: float) -> list[str]:
    winds = [row.wind_kn for row in panel.rows] or [0.0]
    values = [value for row in panel.rows for value in (row.table, row.low, row.high)] or [0.0]
    x = _Scale(min(winds) - 1.0, max(winds) + 1.0, LEFT, width - RIGHT)
    y = _Scale(min(values) - 0.5, max(values) + 0.5, top + PANEL_HEIGHT - BOTTOM, top + 32.0)
    drawn = [_axes(x, y, "wind, kn", f"{panel.name}, {panel.unit}s")]
    for number, row in enumerate(panel.rows):
        place = x.at(row.wind_kn)
        known = row.state != "not known"
        colour = LIGHT.kelp if known else LIGHT.fog
        bar = _line((place, y.at(row.low)), (place, y.at(row.high)), colour, width=5.0 if known else 2.0)
        dot = f'<circle cx="{place:.1f}" cy="{y.at(row.best):.1f}" r="5" fill="{colour}"/>'
        box = (
            f'<rect x="{place - 6:.1f}" y="{y.at(row.table) - 6:.1f}" width="12" height="12" fill="none" '
            f'stroke="{LIGHT.tape}" stroke-width="2.5"/>'
        )
        label = _text(place, top + 14.0 + 16.0 * (number % 2), row.state, anchor="middle")
        drawn += [bar, box, *([dot, label] if known else [])]
    return drawn


def _axes(x: _Scale, y: _Scale, across: str, up: str) -> str:
    parts = [
        _line((x.first, y.first), (x.last, y.first), LIGHT.fog),
        _line((x.first, y.first), (x.first, y.last), LIGHT.fog),
    ]
    for value in x.ticks():
        parts.append(_line((x.at(value), y.first), (x.at(value), y.first + 5.0), LIGHT.fog))
        parts.append(_text(x.at(value), y.first + 18.0, f"{value:g}", anchor="middle"))
    for value in y.ticks():
        parts.append(_line((x.first - 5.0, y.at(value)), (x.first, y.at(value)), LIGHT.fog))
        parts.append(_text(x.first - 8.0, y.at(value) + 4.0, f"{value:g}", anchor="end"))
    middle = (y.first + y.last) / 2.0
    parts.append(_text((x.first + x.last) / 2.0, y.first + 36.0, across, anchor="middle"))
    parts.append(
        f'<text x="16" y="{middle:.1f}" transform="rotate(-90 16 {middle:.1f})" text-anchor="middle" '
        f'font-size="14" fill="{LIGHT.ink}">{html_text(up)}</text>'
    )
    return "".join(parts)


def _line(start: Spot, end: Spot, colour: str, *, width: float = 1.0, dash: str = "") -> str:
    dashed = f' stroke-dasharray="{dash}"' if dash else ""
    return (
        f'<line x1="{start[0]:.1f}" y1="{start[1]:.1f}" x2="{end[0]:.1f}" y2="{end[1]:.1f}" '
        f'stroke="{colour}" stroke-width="{width:g}"{dashed}/>'
    )


def _text(x: float, y: float, words: str, *, size: int = 14, anchor: str = "start") -> str:
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" font-size="{size}" text-anchor="{anchor}" fill="{LIGHT.ink}">'
        f"{html_text(words)}</text>"
    )


def _svg(size: Spot, body: Sequence[str], label: str) -> str:
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {size[0]:g} {size[1]:g}" role="img" '
        f'aria-label="{html_text(label)}" font-family="system-ui, sans-serif">'
        f'<rect width="100%" height="100%" fill="{LIGHT.ground}"/>{"".join(body)}</svg>\n'
    )
