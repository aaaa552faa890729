"""The deck plan: the boat from above, bow up, people as discs sized by weight, posture by outline."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from cringle.boat.base import Posture
from cringle.boat.class_file import Hull, Station
from cringle.output.palette import LIGHT, Theme
from cringle.output.wording import html_text
from cringle.speed.assign import Assignment

WIDE: Final = 560.0
LONG: Final = 640.0
TOP: Final = 88.0
FONT: Final = "DejaVu Sans, Liberation Sans, sans-serif"
OUTLINE: Final = {
    Posture.HIKE: ("4", ""),
    Posture.LEGS_IN: ("2", ""),
    Posture.CENTRELINE: ("1.5", "2 3"),
    Posture.HATCH: ("1.5", "2 3"),
    Posture.AFT: ("2", "8 3"),
    Posture.LEEWARD_FORWARD: ("2", "8 3"),
}
"""Stroke width and dashes of a posture."""


@dataclass(frozen=True)
class DeckPlan:
    """Where metres on deck land on the plan: bow up, the windward side on the left.

    Parameters
    ----------
    hull : Hull
        Length and beam.
    """

    hull: Hull

    @property
    def scale(self) -> float:
        """Units of the drawing in a metre."""
        return LONG / self.hull.length_overall

    @property
    def _after(self) -> float:
        return -0.5 * (self.hull.length_overall - self.hull.length_waterline)

    def at(self, forward_m: float, windward_m: float) -> tuple[float, float]:
        """Return a place on the plan."""
        return WIDE / 2 - windward_m * self.scale, TOP + LONG - (forward_m - self._after) * self.scale

    def boat(self, stations: tuple[Station, ...], theme: Theme) -> str:
        """Return the outline of the boat, and a cross for every station."""
        bow, stern = self.at(self.hull.length_overall + self._after, 0.0), self.at(self._after, 0.0)
        crosses = "".join(_cross(*self.at(one.x, one.y), theme) for one in stations)
        return _hull(self.hull, bow, stern, self.scale, theme) + crosses


def deck_svg(
    hull: Hull, stations: tuple[Station, ...], seated: Assignment, *, title: str, theme: Theme = LIGHT
) -> str:
    """Return the deck plan as SVG; the windward side is on the left.

    Parameters
    ----------
    hull : Hull
        Length and beam.
    stations : tuple of Station
        All places, drawn as small crosses.
    seated : Assignment
        Who is where.
    title : str
        Over the plan.
    theme : Theme
        Colours.
    """
    plan = DeckPlan(hull)
    body = [
        f'<rect width="{WIDE:g}" height="{TOP + LONG + 88:g}" fill="{theme.ground}"/>',
        f'<text x="24" y="36" font-size="20" fill="{theme.ink}">{html_text(title)}</text>',
        f'<text x="24" y="62" fill="{theme.ink}">← windward. Thick ring: hiking; dashed: off the rail</text>',
        plan.boat(stations, theme),
    ]
    body += _people(seated, plan, theme)
    split = f"{seated.hiking_kg:.0f} kg hiking, {seated.legs_in_kg:.0f} kg legs in"
    body.append(f'<text x="24" y="{TOP + LONG + 64:g}" fill="{theme.ink}">{split}</text>')
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{WIDE:g}" height="{TOP + LONG + 88:g}"'
        f' viewBox="0 0 {WIDE:g} {TOP + LONG + 88:g}" role="img" aria-label="{html_text(title)}"'
        f' font-family="{FONT}" font-size="14">{"".join(body)}</svg>'
    )


def radius_of(mass_kg: float) -> float:
    """Return the radius of a person's disc, its area after the weight."""
    return 2.4 * math.sqrt(mass_kg)


def _hull(
    hull: Hull, bow: tuple[float, float], stern: tuple[float, float], scale: float, theme: Theme
) -> str:
    half = 0.5 * hull.beam_deck * scale
    tail = 0.8 * half
    low = stern[1]
    middle = bow[1] + 0.62 * (low - bow[1])
    path = (
        f"M{bow[0]:.1f} {bow[1]:.1f}C{bow[0] + 0.7 * half:.1f} {bow[1] + 60:.1f} {bow[0] + half:.1f}"
        f" {middle - 140:.1f} {bow[0] + half:.1f} {middle:.1f}L{bow[0] + tail:.1f} {low:.1f}"
        f"H{bow[0] - tail:.1f}L{bow[0] - half:.1f} {middle:.1f}C{bow[0] - half:.1f} {middle - 140:.1f}"
        f" {bow[0] - 0.7 * half:.1f} {bow[1] + 60:.1f} {bow[0]:.1f} {bow[1]:.1f}Z"
    )
    return f'<path d="{path}" fill="none" stroke="{theme.ink}" stroke-width="2"/>'


def _cross(x: float, y: float, theme: Theme) -> str:
    mark = f"M{x - 4:.1f} {y:.1f}H{x + 4:.1f}M{x:.1f} {y - 4:.1f}V{y + 4:.1f}"
    return f'<path d="{mark}" stroke="{theme.fog}" stroke-width="1.5"/>'


def _people(seated: Assignment, plan: DeckPlan, theme: Theme) -> list[str]:
    out = []
    for one in seated.seated:
        x, y = plan.at(one.seat.forward_m, one.seat.off_centre_m)
        same = [other for other in seated.seated if other.seat.station == one.seat.station]
        y += 44.0 * (same.index(one) - 0.5 * (len(same) - 1))
        width, dash = OUTLINE[one.seat.posture]
        style = f' stroke-dasharray="{dash}"' if dash else ""
        radius = radius_of(one.person.mass_kg)
        words = html_text(f"{one.person.name}, {one.role}")
        side, anchor = (x - radius - 6.0, "end") if x < WIDE / 2 - 20.0 else (x + radius + 6.0, "start")
        out.append(
            f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{radius:.1f}" fill="{theme.ground}" stroke="{theme.ink}"'
            f' stroke-width="{width}"{style}/>'
            f'<text x="{x:.1f}" y="{y + 5:.1f}" text-anchor="middle" fill="{theme.ink}">'
            f"{one.person.mass_kg:.0f}</text>"
            f'<text x="{side:.1f}" y="{y:.1f}" text-anchor="{anchor}" fill="{theme.ink}">{words}</text>'
            f'<text x="{side:.1f}" y="{y + 16:.1f}" text-anchor="{anchor}" fill="{theme.ink}">'
            f"{html_text(str(one.seat.posture))}</text>"
        )
    return out
