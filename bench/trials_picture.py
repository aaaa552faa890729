"""The grid of simulated seasons as a picture: loss left and cells right, by noise and penalty."""

from __future__ import annotations

from collections.abc import Sequence

from cringle.output.palette import LIGHT

CELL, LEFT, TOP = 150, 120, 90
SHOWN = (
    ("within_half_step", "within ½ step", 1.0),
    ("random_over_ours", "random / ours, loss", 3.0),
    ("settled_wrong", "settled but wrong", 0.2),
)


def season_svg(rows: Sequence[dict[str, float]], runs: int) -> str:
    """Return small bars for each corner of the grid, noise down, penalty across."""
    noises = sorted({row["noise_m_per_min"] for row in rows})
    penalties = sorted({row["penalty_m_per_min"] for row in rows})
    width, height = LEFT + CELL * len(penalties) + 20, TOP + CELL * len(noises) + 20
    body = [
        _text(20, 26, f"A season of 40 trials against a hidden truth, {runs} seasons a corner", 16),
        _text(
            20, 48, "penalty across, noise down [m/min]; penalty 0: a flat truth, share of runs that moved"
        ),
    ]
    body += [
        _text(LEFT + CELL * column + 8, TOP - 12, f"penalty {one:g}") for column, one in enumerate(penalties)
    ]
    for line, noise in enumerate(noises):
        body.append(_text(20, TOP + CELL * line + 60, f"noise {noise:g}"))
        for column, penalty in enumerate(penalties):
            found = next(
                one for one in rows if (one["noise_m_per_min"], one["penalty_m_per_min"]) == (noise, penalty)
            )
            body += _corner(found, LEFT + CELL * column, TOP + CELL * line)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" font-family="sans-serif">'
        f'<rect width="100%" height="100%" fill="{LIGHT.ground}"/>{"".join(body)}</svg>\n'
    )


def _corner(row: dict[str, float], x: float, y: float) -> list[str]:
    frame = f'<rect x="{x}" y="{y}" width="{CELL - 8}" height="{CELL - 8}" fill="none" stroke="{LIGHT.fog}"/>'
    if row["penalty_m_per_min"] == 0.0:
        return [frame, *_bar("moved at all", row["runs_that_moved"], 0.2, (x + 6, y + 20))]
    bars = [_bar(name, row[key], full, (x + 6, y + 20 + 44 * n)) for n, (key, name, full) in enumerate(SHOWN)]
    return [frame, *(part for bar in bars for part in bar)]


def _bar(name: str, value: float, full: float, at: tuple[float, float]) -> list[str]:
    length = (CELL - 20) * min(value / full, 1.0)
    rect = f'<rect x="{at[0]}" y="{at[1] + 5}" width="{length:.1f}" height="10" fill="{LIGHT.tape}"/>'
    return [_text(at[0], at[1], f"{name} {value:.2f}", 12), rect]


def _text(x: float, y: float, words: str, size: int = 14) -> str:
    return f'<text x="{x}" y="{y}" font-size="{size}" fill="{LIGHT.ink}">{words}</text>'
