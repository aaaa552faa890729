"""What the simulated seasons came to: figures with their bands, as a table and as a picture."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cringle.output.palette import LIGHT

Floats = NDArray[np.float64]
CREWS = ("follows", "random", "never")
WORDS = {"follows": "does what the tool says", "random": "changes at random", "never": "never changes"}
CAUSES = ("trim", "heel")
LAST = 4
"""The end of the season is the mean of so many outings: one alone has one wind."""

BAND = (10.0, 90.0)
SURE = 1.645
"""Standard errors either side of a mean that hold it nine times in ten."""

Lost = Mapping[str, Mapping[str, Sequence[float]]]


@dataclass(frozen=True)
class Figures:
    """Losses by crew and cause, each of shape (seasons, outings) [s/mile]."""

    lost: Mapping[str, Mapping[str, Floats]]

    @classmethod
    def of(cls, seasons: Sequence[Lost]) -> Figures:
        """Return the figures of some seasons."""
        return cls(
            {
                crew: {cause: np.array([one[crew][cause] for one in seasons]) for cause in CAUSES}
                for crew in CREWS
            }
        )

    @property
    def seasons(self) -> int:
        """How many seasons."""
        return int(self.of_crew("never").shape[0])

    def of_crew(self, crew: str, cause: str | None = None) -> Floats:
        """Return the loss of a crew, to one cause or to both."""
        found = self.lost[crew]
        return found[cause] if cause else found["trim"] + found["heel"]

    def end(self, crew: str, cause: str | None = None) -> Floats:
        """Return the loss of each season at its end."""
        return np.asarray(self.of_crew(crew, cause)[:, -LAST:].mean(axis=1))

    def recovered(self, cause: str | None = None, *, crew: str = "follows") -> tuple[float, float, float]:
        """Return the share of the recoverable that a crew recovered, and its 90 % interval."""
        left, whole = self.end(crew, cause), self.end("never", cause)
        picks = np.random.default_rng(1).integers(0, left.size, (4000, left.size))
        drawn = 1.0 - left[picks].sum(axis=1) / whole[picks].sum(axis=1)
        low, high = np.percentile(drawn, (5.0, 95.0))
        return 1.0 - float(left.sum() / whole.sum()), float(low), float(high)

    def worse_outings(self) -> int:
        """Return on how many outings the follower was worse than never changing by more than the noise."""
        gap = self.of_crew("follows") - self.of_crew("never")
        error = (
            gap.std(axis=0, ddof=1) / np.sqrt(self.seasons)
            if self.seasons > 1
            else np.full(gap.shape[1], np.inf)
        )
        return int((gap.mean(axis=0) - SURE * error > 0.0).sum())


def table(found: Figures) -> str:
    """Return the figures as the page's table."""
    lines = [
        "| crew | first outing | end of season | to settings | to heel | recovered, 90 % interval |",
        "|---|---|---|---|---|---|",
    ]
    for crew in CREWS:
        first = found.of_crew(crew)[:, 0].mean()
        end, trim, heel = (found.end(crew, cause).mean() for cause in (None, *CAUSES))
        share, low, high = found.recovered(crew=crew)
        said = "–" if crew == "never" else f"{_percent(share)} ({_percent(low)} to {_percent(high)})"
        lines.append(f"| {WORDS[crew]} | {first:.0f} | {end:.0f} | {trim:.0f} | {heel:.0f} | {said} |")
    parts = "; ".join(
        f"of what {name} cost {_percent(found.recovered(cause)[0])}"
        for cause, name in (("trim", "settings"), ("heel", "heel"))
    )
    said = (
        f"{found.seasons} seasons of {found.of_crew('never').shape[1]} outings; seconds a mile of the "
        f"course, mean of the seasons; the end of the season is the mean of its last {LAST} outings. "
        f"Recovered: {parts}. Outings on which the follower was worse than never changing by more than "
        f"the noise: {found.worse_outings()}."
    )
    return "\n".join([*lines, "", said]) + "\n"


def _percent(share: float) -> str:
    return f"{'−' if share < 0.0 else ''}{abs(100.0 * share):.0f} %"


WIDTH, HEIGHT, LEFT, TOP, RIGHT, BOTTOM = 760, 420, 70, 64, 170, 56
DRAWN = {
    "follows": (LIGHT.tape, ""),
    "random": (LIGHT.rust, "2 4"),
    "never": (LIGHT.ink, "8 4"),
}


def picture(found: Figures) -> str:
    """Return the loss by outing of the three crews: mean of the seasons, and the band of eight in ten."""
    top = float(np.percentile(np.concatenate([found.of_crew(one) for one in CREWS]), 90.0)) * 1.15
    outings = found.of_crew("never").shape[1]
    body = [
        _text(LEFT, 26, f"Speed lost against the best possible, {found.seasons} simulated seasons", 17),
        _text(LEFT, 46, "seconds a mile of the course; line: mean, band: eight seasons in ten", 13),
    ]
    for value in np.arange(0.0, top, _step(top)):
        y = _y(value, top)
        body.append(f'<path d="M{LEFT} {y:.1f}H{WIDTH - RIGHT}" stroke="{LIGHT.fog}" stroke-width="0.5"/>')
        body.append(_text(LEFT - 8, y + 4, f"{value:.0f}", 13, anchor="end"))
    for outing in range(4, outings + 1, 4):
        body.append(_text(_x(outing - 1, outings), HEIGHT - BOTTOM + 20, f"{outing}", 13, anchor="middle"))
    body.append(_text((LEFT + WIDTH - RIGHT) / 2, HEIGHT - 12, "outing", 13, anchor="middle"))
    for crew in ("random", "never", "follows"):
        body += _curve(found.of_crew(crew), crew, top)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {HEIGHT}" font-family="sans-serif">'
        f'<rect width="100%" height="100%" fill="{LIGHT.ground}"/>{"".join(body)}</svg>\n'
    )


def _curve(lost: Floats, crew: str, top: float) -> list[str]:
    colour, dashes = DRAWN[crew]
    outings = lost.shape[1]
    low, high = np.percentile(lost, BAND, axis=0)
    edge = [*enumerate(high), *reversed(list(enumerate(low)))]
    band = " ".join(f"{_x(one, outings):.1f},{_y(value, top):.1f}" for one, value in edge)
    line = " ".join(
        f"{_x(one, outings):.1f},{_y(value, top):.1f}" for one, value in enumerate(lost.mean(axis=0))
    )
    end = _y(float(lost[:, -1].mean()), top)
    return [
        f'<polygon points="{band}" fill="{colour}" fill-opacity="0.12"/>',
        f'<polyline points="{line}" fill="none" stroke="{colour}" stroke-width="2.5"'
        f' stroke-dasharray="{dashes}"/>',
        _text(WIDTH - RIGHT + 8, end + 4, WORDS[crew], 13, colour=colour),
    ]


def _step(top: float) -> float:
    return next(one for one in (10.0, 20.0, 25.0, 50.0, 100.0, 200.0) if top / one <= 8.0 or one == 200.0)


def _x(outing: float, outings: int) -> float:
    return LEFT + (WIDTH - LEFT - RIGHT) * outing / max(outings - 1, 1)


def _y(value: float, top: float) -> float:
    return HEIGHT - BOTTOM - (HEIGHT - TOP - BOTTOM) * min(value / top, 1.0)


def _text(
    x: float, y: float, words: str, size: int, *, anchor: str = "start", colour: str = LIGHT.ink
) -> str:
    place = f'x="{x:.1f}" y="{y:.1f}" font-size="{size}" text-anchor="{anchor}"'
    return f'<text {place} fill="{colour}">{words}</text>'
