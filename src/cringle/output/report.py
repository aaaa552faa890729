"""The first debrief as one HTML page that needs nothing else: sentences first, then pictures and tables."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path
from typing import Final

from cringle.boat.write import write_atomically
from cringle.output.page_parts import ARROW, section, sentences, table
from cringle.output.palette import DARK, LIGHT, css_variables
from cringle.output.report_horizon import horizon_svg
from cringle.output.report_race import race_sections
from cringle.output.report_words import (
    UNKNOWN,
    bearing,
    clock,
    day,
    headings,
    heel_sentence,
    lines_read,
    number,
    what_happened,
    wind_angle,
)
from cringle.output.track_chart import Mark, track_chart_svg
from cringle.output.wording import html_text
from cringle.track.debrief.debrief import Debrief
from cringle.track.sailing.heel import POINTS_OF_SAIL
from cringle.track.turns.tacks import Manoeuvre
from cringle.track.turns.turns import Turn

POLICY: Final = "default-src 'none'; style-src 'unsafe-inline'"
"""What the page may load: nothing."""


def write_report(found: Debrief, path: Path) -> None:
    """Write the page, whole or not at all.

    Raises
    ------
    BookError
        The file cannot be written; an older one stays as it was.
    """
    write_atomically(path, report_html(found).encode("utf-8"))


def report_html(found: Debrief) -> str:
    """Return the whole page. Everything that comes from the log is escaped."""
    return page_html(f"Debrief of {found.log.name}", report_head(found) + report_body(found))


def report_body(found: Debrief) -> str:
    """Return everything below the heading, in the order of a debrief; the page adds the parts' style."""
    body = (
        section("What the data cannot tell", sentences(found.unknown or _nothing_missing())),
        *race_sections(found.race, found.time_zone),
        section("What happened", sentences(what_happened(found))),
        f'<div class="two"><div>{_track(found)}</div><div>{_speeds(found)}</div></div>',
        _heel(found),
        _turns_table(found) if found.manoeuvres is None else _manoeuvre_table(found),
        _file(found),
    )
    return "".join(body)


def page_html(title: str, body: str) -> str:
    """Return a whole page that needs nothing else, in the report's style.

    Parameters
    ----------
    title : str
        Escaped here.
    body : str
        Markup, every text in it escaped already.
    """
    return (
        '<!doctype html>\n<html lang="en"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f'<meta http-equiv="Content-Security-Policy" content="{POLICY}">'
        f"<title>{html_text(title)}</title><style>\n{_style()}</style></head>\n"
        f"<body>\n{body}</body></html>\n"
    )


def _style() -> str:
    sheet = files("cringle.output").joinpath("report.css").read_text(encoding="utf-8")
    themed = sheet.replace("LIGHT", css_variables(LIGHT), 1).replace("DARK", css_variables(DARK), 1)
    return themed + parts_style()


def parts_style() -> str:
    """Return the style of the parts: pictures, tables, lists; a page of its own adds its frame."""
    return files("cringle.output").joinpath("report_parts.css").read_text(encoding="utf-8")


def _nothing_missing() -> tuple[str, ...]:
    return ("Everything this page shows was measured; nothing had to be worked out.",)


def report_head(found: Debrief) -> str:
    """Return the heading: the boat, the day and the log."""
    zone = "UTC" if found.time_zone == "UTC" else f"{found.time_zone} time"
    start, end = (clock(at, found.time_zone, seconds=False) for at in (found.start, found.end))
    when = f"{day(found.start, found.time_zone)}, {start} to {end} ({zone})"
    words = f"{html_text(when)}<br>{html_text(found.log.name)}"
    title = html_text(f"Debrief of {found.boat}" if found.boat else "Debrief")
    return f'<header><h1>{title}</h1><p class="when">{words}</p></header>\n'


def _track(found: Debrief) -> str:
    if not found.picture.lines:
        return section("Track", "<p>The log has no positions.</p>")
    chart = track_chart_svg(found.picture, _chart_marks(found))
    return section("Track", f"<figure>{chart}<figcaption>{_track_caption(found)}</figcaption></figure>")


def _track_caption(found: Debrief) -> str:
    top = "The true wind comes from the top." if found.picture.wind_known else "North is at the top."
    if found.manoeuvres is None:
        return f"{top} Rings are turns, numbered as in the list below."
    return f"{top} Discs are tacks, diamonds are gybes, numbered as in the list below."


def _chart_marks(found: Debrief) -> list[Mark]:
    if found.manoeuvres is None:
        return [
            Mark(str(place), "turn", f"Turn {place}, {clock(one.at, found.time_zone)}")
            for place, one in enumerate(found.turns, start=1)
        ]
    return [
        Mark(str(place), one.kind, f"{one.kind.capitalize()} {place}, {clock(one.at, found.time_zone)}")
        for place, one in enumerate(found.manoeuvres, start=1)
    ]


def _speeds(found: Debrief) -> str:
    speed = found.speed
    named = (("Over ground", speed.sog), ("Through water", speed.stw))
    rows = [
        (name, number(one.mean_kn), number(one.highest_10_s_kn)) if one else (name, UNKNOWN, UNKNOWN)
        for name, one in named
    ]
    over = "through water" if speed.measured_by == "stw" else "over ground"
    rows += [
        (name.capitalize(), number(speed.mean_by_point_of_sail_kn.get(name)), UNKNOWN)
        for name in POINTS_OF_SAIL
        if speed.mean_by_point_of_sail_kn.get(name) is not None
    ]
    caption = f"Knots. The highest is held for ten seconds. Points of sail: {over}."
    return section("Speed", table("speeds", caption, ("Speed", "mean", "highest"), rows))


def _heel(found: Debrief) -> str:
    if found.heel is None:
        return section("Heel", "<p>Nothing is known about heel on this log.</p>")
    parts = ((name, found.heel.by_point_of_sail.get(name)) for name in POINTS_OF_SAIL)
    figures = [
        f"<figure>{horizon_svg(name, part)}"
        f"<figcaption>{html_text(heel_sentence(name, part))}</figcaption></figure>"
        for name, part in parts
        if part is not None
    ]
    words = (
        "Leeward is drawn to the right. The thick line is the mean, the fan holds eight tenths of the time"
        + (", the dashed wedge is the band to keep." if found.heel.in_band_share is not None else ".")
    )
    return section("Heel", f'<p class="small">{words}</p><div class="heels">{"".join(figures)}</div>')


def _manoeuvre_table(found: Debrief) -> str:
    rows = [_manoeuvre_row(place, one, found) for place, one in enumerate(found.manoeuvres or (), start=1)]
    if not rows:
        return section("Tacks and gybes", "<p>No tack and no gybe was found.</p>")
    angle = "Apparent wind" if found.origins.apparent_wind else "True wind"
    head = ("Manoeuvre", "Heading", angle, "Speed before", "Lowest speed")
    windows = "Before is 45 to 20 s earlier, after 20 to 45 s later."
    caption = f"{headings(found.origins.bow)} {windows} Speeds in knots."
    return section("Tacks and gybes", table("turns", caption, head, rows))


def _manoeuvre_row(place: int, one: Manoeuvre, found: Debrief) -> tuple[str, ...]:
    through_water = one.stw_before_kn is not None and one.stw_lowest_kn is not None
    before, lowest = (
        (one.stw_before_kn, one.stw_lowest_kn) if through_water else (one.sog_before_kn, one.sog_lowest_kn)
    )
    return (
        f"{place}. {one.kind} {clock(one.at, found.time_zone)}",
        f"{bearing(one.heading_before_deg)} {ARROW} {bearing(one.heading_after_deg)}",
        f"{wind_angle(one.awa_before_deg)} {ARROW} {wind_angle(one.awa_after_deg)}",
        number(before),
        number(lowest),
    )


def _turns_table(found: Debrief) -> str:
    rows = [_turn_row(place, one, found) for place, one in enumerate(found.turns, start=1)]
    if not rows:
        return section("Turns", "<p>No turn of 60° or more was found.</p>")
    caption = f"{headings(found.origins.bow)} Turns of 60° or more, steady on either side."
    return section("Turns", table("turns", caption, ("Turn", "Before", "After", "Turned"), rows))


def _turn_row(place: int, one: Turn, found: Debrief) -> tuple[str, ...]:
    way = "right" if one.turn_deg > 0.0 else "left"
    return (
        f"{place}. turn {clock(one.at, found.time_zone)}",
        bearing(one.before_deg),
        bearing(one.after_deg),
        f"{abs(round(one.turn_deg))}° to the {way}",
    )


def _file(found: Debrief) -> str:
    log = found.log
    repairs = ", ".join(f"{name.replace('_', ' ')} ({count})" for name, count in log.clock_repairs.items())
    facts = (
        ("File", log.name),
        ("Lines", lines_read(found)),
        ("Clock", f"repaired: {repairs}" if repairs else "nothing to repair"),
        ("Date from", log.date_source or UNKNOWN),
        ("Pauses without fixes", str(log.gap_count)),
        ("Faulty steps left out", str(found.faulty_steps)),
        ("True wind from", found.origins.true_wind or UNKNOWN),
        ("Wind direction from", found.origins.wind_direction or UNKNOWN),
        ("Turns measured by", found.origins.bow or UNKNOWN),
        ("SHA-256 of the original", log.sha256),
    )
    rows = "".join(f'<tr><th scope="row">{html_text(a)}</th><td>{html_text(b)}</td></tr>' for a, b in facts)
    return section("The log", f'<table class="facts"><tbody>{rows}</tbody></table>')
