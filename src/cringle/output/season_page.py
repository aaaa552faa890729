"""A season on a page that needs nothing else: trends first, then crew, settings, and every leg."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import Any, Final

from cringle.boat.write import write_atomically
from cringle.output.page_parts import section, sentences, table
from cringle.output.report import page_html
from cringle.output.report_words import UNKNOWN, bearing, number
from cringle.output.season_charts import Dots, day_number, dots_svg
from cringle.output.season_words import (
    MEASURES,
    SeasonView,
    clear_trends,
    season_head,
    trend_sentence,
    unknown_sentences,
)
from cringle.output.wording import html_text, mark_text, role_text

CHARTS: Final = (
    (
        "Day by day",
        ("heel_in_band_share", "heel_error_deg", "tack_loss_m", "gybe_loss_m", "lost_s_per_min"),
    ),
    (
        "Where the time went, day by day",
        tuple(name for name in MEASURES if name.startswith("lost_") and name != "lost_s_per_min"),
    ),
)
"""Title of a section to what is drawn in it over the days."""

AGAINST_WIND: Final = ("lost_s_per_min", "heel_in_band_share", "tack_loss_m")
TRENDS_SHOWN: Final = 8
NOTHING: Final = 0.05
"""A measure that is smaller than this on every day is not drawn."""

LEG_HEAD: Final = (
    "Leg",
    "Minutes",
    "Wind",
    "Heel in band",
    "Tacks",
    "Gybes",
    "Lost",
    "Lost a minute",
)
CREW_MEASURES: Final = ("heel_in_band_share", "tack_loss_m", "gybe_loss_m", "lost_s_per_min")
CREW_HEAD: Final = ("Aboard", "Logs", *(MEASURES[one].name for one in CREW_MEASURES))
DAY_HEAD: Final = ("Day", "Wind", "Most used sail", "Aboard", "Settings in force")


def write_season_page(view: SeasonView, path: Path) -> None:
    """Write the page, whole or not at all.

    Raises
    ------
    BookError
        The file cannot be written; an older one stays as it was.
    """
    write_atomically(path, season_html(view).encode("utf-8"))


def season_html(view: SeasonView) -> str:
    """Return the whole page. Everything that comes from logs and book is escaped."""
    title = f"Season of {view.boat}" if view.boat else "Season"
    return page_html(title, season_body(view))


def season_body(view: SeasonView) -> str:
    """Return the heading and sections of a season, to be put on a page.

    Parameters
    ----------
    view : SeasonView
        Rows, means, trends.
    """
    title = html_text(f"Season of {view.boat}" if view.boat else "Season")
    parts = [
        f'<header><h1>{title}</h1><p class="when">{html_text(season_head(view))}</p></header>\n',
        section("What the data cannot tell", sentences(unknown_sentences(view))),
        _trends(view),
        *(_charts(view, head, names) for head, names in CHARTS),
        _against_wind(view),
        _crews(view),
        _settings(view),
        _legs(view),
        section("Logs not used", sentences(view.failed)) if view.failed else "",
    ]
    return "".join(parts)


def _trends(view: SeasonView) -> str:
    clear = clear_trends(view.trends)[:TRENDS_SHOWN]
    said = [trend_sentence(one) for one in clear] or ["Nothing is clear yet."]
    return section("What went together", sentences(said))


def dots_of(view: SeasonView, measure: str, against: str = "days") -> Dots | None:
    """Return what is drawn of a measure; None where no day has it, or it was nothing on all days.

    Parameters
    ----------
    view : SeasonView
        The season.
    measure : str
        One of `MEASURES`.
    against : str
        ``days`` or ``wind_kn``.
    """
    words = MEASURES[measure]
    column = "tws_kn" if against == "wind_kn" else "day"
    known = [one for one in view.means if one.get(measure) is not None and one.get(column) is not None]
    if not any(abs(words.scale * float(one[measure])) >= NOTHING for one in known):
        return None
    places = [
        float(one["tws_kn"]) if against == "wind_kn" else day_number(date.fromisoformat(str(one["day"])))
        for one in known
    ]
    clear = [one for one in view.trends if (one.measure, one.against) == (measure, against) and one.clear]
    return Dots(
        title=words.name,
        unit=words.unit,
        across="true wind, kn" if against == "wind_kn" else "days",
        x=places,
        y=[words.scale * float(one[measure]) for one in known],
        words=[f"{one['day']}: {words.text(one[measure])}, {number(one.get('tws_kn'))} kn" for one in known],
        line=words.scale * clear[0].per_unit if clear else None,
    )


def _charts(view: SeasonView, head: str, names: Sequence[str]) -> str:
    drawn = [dots for name in names if (dots := dots_of(view, name)) is not None]
    if not drawn:
        return ""
    figures = "".join(f"<figure>{dots_svg(one)}</figure>" for one in drawn)
    caption = '<p class="small">A dot is one day of one log. A line is drawn where the trend is clear.</p>'
    return section(head, f'{caption}<div class="trends">{figures}</div>')


def _against_wind(view: SeasonView) -> str:
    drawn = [dots for name in AGAINST_WIND if (dots := dots_of(view, name, "wind_kn")) is not None]
    figures = "".join(f"<figure>{dots_svg(one)}</figure>" for one in drawn)
    return section("Against the wind", f'<div class="trends">{figures}</div>') if figures else ""


def crew_rows(view: SeasonView) -> list[tuple[str, ...]]:
    """Return means by the people aboard as the cells under `CREW_HEAD`; of two logs together or more."""
    found = {(one.name, one.measure): one for one in view.groups}
    rows = []
    for name in dict.fromkeys(one.name for one in view.groups):
        cells = [found.get((name, measure)) for measure in CREW_MEASURES]
        days = max((one.count for one in cells if one is not None), default=0)
        texts = [
            UNKNOWN if one is None else MEASURES[measure].text(one.mean)
            for measure, one in zip(CREW_MEASURES, cells, strict=True)
        ]
        rows.append((name, str(days), *texts))
    return rows


def _crews(view: SeasonView) -> str:
    rows = crew_rows(view)
    caption = "Means over the logs these people sailed together, two or more. Days differ in wind too."
    return section("Who was aboard", table("turns", caption, CREW_HEAD, rows)) if rows else ""


def _settings(view: SeasonView) -> str:
    """Return wind, crew, sails' hours and the settings in force of each day."""
    if not any(one.get("settings") or one.get("sail_hours") is not None for one in view.means):
        return ""
    rows = [day_row(one) for one in view.means]
    caption = "As the book has them for the day."
    return section("Sails, crew and settings", table("turns days", caption, DAY_HEAD, rows))


def day_row(one: Mapping[str, Any]) -> tuple[str, ...]:
    """Return a day of a log as the cells under `DAY_HEAD`."""
    return (
        str(one["day"]),
        _with(one.get("tws_kn"), "kn"),
        _with(one.get("sail_hours"), "h"),
        str(one.get("crew") or UNKNOWN),
        settings_text(one.get("settings") or {}),
    )


def settings_text(settings: Mapping[str, float]) -> str:
    """Return settings as a person says them; the book's numbers are marks or turns."""
    said = [f"{role_text(role)} {mark_text(value)}" for role, value in sorted(settings.items())]
    return "; ".join(said) or UNKNOWN


def _with(value: float | None, unit: str, digits: int = 1) -> str:
    return UNKNOWN if value is None else f"{number(value, digits)} {unit}"


def _legs(view: SeasonView) -> str:
    rows = [leg_row(one) for one in view.rows]
    caption = "One row for each beat and run; metres are the mean of the leg's tacks or gybes."
    return section("Every leg", table("turns", caption, LEG_HEAD, rows)) if rows else ""


def leg_row(one: Mapping[str, Any]) -> tuple[str, ...]:
    """Return a leg as the cells under `LEG_HEAD`."""
    name = f"{one.get('day') or UNKNOWN} {one.get('name') or 'no leg found'}, {Path(str(one['file'])).name}"
    wind = _with(one.get("tws_kn"), "kn")
    origin = "" if one.get("twd_deg") is None else f" from {bearing(one['twd_deg'])}"
    return (
        name,
        number(float(one["duration_s"]) / 60.0, 0),
        f"{wind}{origin}",
        MEASURES["heel_in_band_share"].text(one.get("heel_in_band_share")).removesuffix(" of the time"),
        _turns(one, "tack"),
        _turns(one, "gybe"),
        _with(one.get("lost_s"), "s", 0),
        _with(one.get("lost_s_per_min"), "s"),
    )


def _turns(one: Mapping[str, Any], kind: str) -> str:
    count, metres = one.get(f"{kind}s"), one.get(f"{kind}_loss_m")
    if not count:
        return UNKNOWN if count is None else "0"
    return f"{count} of {number(metres)} m" if metres is not None else str(count)
