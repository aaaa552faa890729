"""A season in words: what is followed, against what, and how it went, for screen, page and paper."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Any, Final

from cringle.output.report_words import MINUS, UNKNOWN, counted, number
from cringle.output.wording import role_text
from cringle.track.season.trends import Group, Trend


@dataclass(frozen=True)
class Measure:
    """What is followed over a season: name, unit, decimals, and what a value is multiplied by to show it."""

    name: str
    unit: str
    digits: int = 1
    scale: float = 1.0

    def text(self, value: float | None) -> str:
        """Return a value with its unit."""
        return UNKNOWN if value is None else f"{number(self.scale * value, self.digits)} {self.unit}"


MEASURES: Final[Mapping[str, Measure]] = {
    "heel_in_band_share": Measure("Heel within 2° of its target", "% of the time", 0, 100.0),
    "heel_error_deg": Measure("Heel over its target", "°"),
    "tack_loss_m": Measure("Lost in a tack", "m"),
    "gybe_loss_m": Measure("Lost in a gybe", "m"),
    "lost_s_per_min": Measure("Lost in all", "s a minute"),
    "lost_heel_s_per_min": Measure("Lost to heel", "s a minute"),
    "lost_angle_s_per_min": Measure("Lost to angle", "s a minute"),
    "lost_trim_s_per_min": Measure("Lost to trim", "s a minute"),
    "lost_tack_s_per_min": Measure("Lost in tacks", "s a minute"),
    "lost_gybe_s_per_min": Measure("Lost in gybes", "s a minute"),
    "lost_extra_distance_s_per_min": Measure("Lost to extra distance", "s a minute"),
    "lost_stopped_s_per_min": Measure("Lost lying still", "s a minute"),
}
"""Measure of a season to its words."""

AXES: Final[Mapping[str, tuple[str, float]]] = {
    "days": ("for each week that went by", 7.0),
    "wind_kn": ("for each knot more wind", 1.0),
    "sail_hours": ("for ten hours more on the most used sail", 10.0),
}
"""What a measure is held against, to words and the step they speak of."""

MOST_DIGITS: Final = 3
SETTING: Final = "setting "


@dataclass(frozen=True)
class SeasonView:
    """A season as it is shown.

    Parameters
    ----------
    boat : str or None
        Her name.
    rows : sequence of mapping
        One for each leg.
    means : sequence of mapping
        One for each log and day.
    trends : sequence of Trend
        What goes with what.
    groups : sequence of Group
        Means by the people aboard.
    failed : sequence of str
        Logs that gave nothing, and why.
    files : int
        Logs in all.
    """

    boat: str | None
    rows: Sequence[Mapping[str, Any]]
    means: Sequence[Mapping[str, Any]]
    trends: Sequence[Trend]
    groups: Sequence[Group]
    failed: Sequence[str] = field(default_factory=tuple)
    files: int = 0

    @property
    def legs(self) -> list[Mapping[str, Any]]:
        """The rows that are legs."""
        return [one for one in self.rows if one.get("leg") is not None]

    @property
    def days(self) -> list[date]:
        """The days of sailing, earliest first."""
        return sorted({date.fromisoformat(str(one["day"])) for one in self.means})


def day_text(day: date) -> str:
    """Return a day with its month in words."""
    return f"{day.day} {day:%B %Y}"


def season_head(view: SeasonView) -> str:
    """Return how much sailing it is about, in a sentence."""
    hours = sum(float(one["duration_s"]) for one in view.legs) / 3600.0
    days = view.days
    if not days:
        return f"{counted(view.files, 'log')}, no leg of a race in any."
    span = day_text(days[0]) if len(days) == 1 else f"{day_text(days[0])} to {day_text(days[-1])}"
    return (
        f"{counted(view.files, 'log')}, {counted(len(view.legs), 'leg')} and {number(hours)} hours of racing"
        f" on {counted(len(days), 'day')}, {span}."
    )


def unknown_sentences(view: SeasonView) -> list[str]:
    """Return what a season's data cannot tell, most important first."""
    legs = view.legs
    inferred = sum("inferred" in str(one.get("wind_strength_source") or "") for one in legs)
    no_heel = sum(one.get("heel_in_band_share") is None for one in legs)
    no_crew = sum(not one.get("crew") for one in view.means)
    said = [
        "Days differ in many things at once: what went together here is no proof of a cause. A trial is.",
        _lines_looked_at(view.trends),
        f"On {inferred} of {len(legs)} legs the wind's speed is inferred from your own speed:"
        " their losses mean little."
        if inferred
        else "",
        f"On {no_heel} of {len(legs)} legs heel, or its target, is not known." if no_heel else "",
        f"For {no_crew} of {counted(len(view.means), 'log')} nobody noted who was aboard." if no_crew else "",
        f"{counted(len(view.failed), 'log')} could not be used: named at the end." if view.failed else "",
    ]
    return [one for one in said if one]


def _lines_looked_at(trends: Sequence[Trend]) -> str:
    if not trends:
        return "Fewer than four logs with legs, or all alike: no trend can be told."
    clear = sum(one.clear for one in trends)
    return (
        f"{len(trends)} lines were looked at and {clear} are clear at nine chances in ten;"
        f" about {round(0.1 * len(trends))} would look so by chance alone."
    )


def trend_sentence(one: Trend) -> str:
    """Return a trend in a sentence, with its interval and the number of days."""
    measure = MEASURES[one.measure]
    words, step = axis_words(one.against)
    value, low, high = _changes(measure, [end * step for end in (one.per_unit, one.low, one.high)])
    return (
        f"{measure.name}: {value} {measure.unit} {words}"
        f" (nine chances in ten: {low} to {high}; {counted(one.count, 'log')})."
    )


def axis_words(against: str) -> tuple[str, float]:
    """Return the words for what a measure is held against, and the step they speak of."""
    if against.startswith(SETTING):
        return f"for each mark more on the {role_text(against.removeprefix(SETTING)).lower()}", 1.0
    return AXES[against]


def _changes(measure: Measure, values: Sequence[float]) -> list[str]:
    """Return changes with their signs, with a decimal more where one would look like nothing."""
    shown = [measure.scale * one for one in values]
    least, digits = min(abs(one) for one in shown), max(measure.digits, 1)
    while digits < MOST_DIGITS and least < 0.5 * 10.0**-digits:
        digits += 1
    return [f"{MINUS if one < 0.0 else '+'}{number(abs(one), digits)}" for one in shown]


def clear_trends(trends: Sequence[Trend]) -> list[Trend]:
    """Return the trends that are clear, the surest first."""
    clear = [one for one in trends if one.clear]
    return sorted(clear, key=lambda one: -abs(one.per_unit) / max(one.high - one.low, 1e-12))
