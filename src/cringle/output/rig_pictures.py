"""Pictures of the rig: the backstay's geometry, its travel against effect, and the tune sheet by wind."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from cringle.errors import InputError
from cringle.output.palette import LIGHT, Theme
from cringle.output.wording import html_text
from cringle.rig.backstay import TravelRow, WindPlace
from cringle.rig.sheet import SheetRow

WIDTH = 420
PNG_SCALE = 2.0


def picture(svg: str, suffix: str) -> bytes:
    """Return a picture in the format its file name asks for.

    Parameters
    ----------
    svg : str
        The picture.
    suffix : str
        ``.svg`` or ``.png``.

    Raises
    ------
    InputError
        Another format is asked for.
    """
    if suffix.lower() == ".svg":
        return svg.encode("utf-8")
    if suffix.lower() == ".png":
        import vl_convert

        return bytes(vl_convert.svg_to_png(svg, scale=PNG_SCALE))
    raise InputError(f"a picture as {suffix or 'no suffix'!r}", next_step="name the file .svg or .png")


def _rendered(chart: dict[str, Any]) -> str:
    import vl_convert

    return str(vl_convert.vegalite_to_svg(chart))


def _base(title: str, under: str, theme: Theme) -> dict[str, Any]:
    axis = {
        "labelColor": theme.ink,
        "titleColor": theme.ink,
        "tickColor": theme.fog,
        "domainColor": theme.fog,
        "gridColor": theme.fog,
        "gridOpacity": 0.3,
        "labelFontSize": 12,
        "titleFontSize": 12,
        "titleFontWeight": "normal",
    }
    return {
        "$schema": "https://vega.github.io/schema/vega-lite/v6.json",
        "background": theme.ground,
        "title": {
            "text": title,
            "subtitle": under,
            "color": theme.ink,
            "subtitleColor": theme.ink,
            "anchor": "start",
            "fontSize": 15,
            "subtitleFontSize": 12,
        },
        "config": {"view": {"stroke": None}, "axis": axis, "font": "system-ui, sans-serif", "padding": 16},
    }


def _panel(
    rows: list[dict[str, Any]], x: tuple[str, str], y: tuple[str, str], theme: Theme
) -> dict[str, Any]:
    """Return one panel: a line with points, named axes with units."""
    return {
        "data": {"values": rows},
        "width": WIDTH,
        "height": 120,
        "encoding": {
            "x": {"field": x[0], "type": "quantitative", "title": x[1]},
            "y": {"field": y[0], "type": "quantitative", "title": y[1], "scale": {"zero": False}},
        },
        "layer": [
            {"mark": {"type": "line", "color": theme.ink, "strokeWidth": 1.6}},
            {"mark": {"type": "point", "color": theme.ink, "filled": True, "size": 26}},
        ],
    }


def _marks(panel: dict[str, Any], places: Sequence[WindPlace], theme: Theme) -> dict[str, Any]:
    """Return a panel with a labelled rule where the settings table puts the puller in each wind."""
    values = [{"travel_pct": one.travel_pct, "wind": f"{one.wind_kn:g}"} for one in places]
    rule = {
        "data": {"values": values},
        "layer": [
            {
                "mark": {"type": "rule", "color": theme.tape, "strokeDash": [3, 3]},
                "encoding": {
                    "x": {"field": "travel_pct", "type": "quantitative"},
                    "y": {"value": 0},
                    "y2": {"value": 120},
                },
            },
            {
                "mark": {"type": "text", "color": theme.tape, "fontSize": 12, "dy": -6, "align": "center"},
                "encoding": {
                    "x": {"field": "travel_pct", "type": "quantitative"},
                    "y": {"value": 0},
                    "text": {"field": "wind"},
                },
            },
        ],
    }
    return {"width": panel["width"], "height": panel["height"], "layer": [_layered(panel), rule]}


def _layered(panel: dict[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in panel.items() if key not in ("width", "height")}


def travel_svg(
    rows: Sequence[TravelRow], places: Sequence[WindPlace], title: str, *, theme: Theme = LIGHT
) -> str:
    """Return the picture of `travel_spec`."""
    return _rendered(travel_spec(rows, places, title, theme=theme))


def travel_spec(
    rows: Sequence[TravelRow], places: Sequence[WindPlace], title: str, *, theme: Theme = LIGHT
) -> dict[str, Any]:
    """Return travel against load, hand load, masthead and sag, with the winds of the table marked.

    Parameters
    ----------
    rows : sequence of TravelRow
        Across the travel.
    places : sequence of WindPlace
        Where the settings table puts the puller.
    title : str
        Whose and in what wind.
    theme : Theme
        Colours.
    """
    values = [
        {
            "travel_pct": row.travel_pct,
            "load_n": row.load_n,
            "hand_load_n": row.hand_load_n,
            "tip_aft_mm": row.tip_aft_mm,
            "sag_mm": row.sag_mm,
        }
        for row in rows
    ]
    x = ("travel_pct", "travel of the puller from the top (%)")
    panels = [
        _panel(values, x, y, theme)
        for y in (
            ("load_n", "upper leg (N)"),
            ("hand_load_n", "hand (N)"),
            ("tip_aft_mm", "masthead aft (mm)"),
            ("sag_mm", "forestay sag (mm)"),
        )
    ]
    under = "dashed: where the settings table puts it, by wind in kn" if places else ""
    chart = _base(title, under, theme)
    first = _marks(panels[0], places, theme) if places else panels[0]
    return {**chart, "vconcat": [first, *panels[1:]]}


def sheet_svg(rows: Sequence[SheetRow], title: str, *, theme: Theme = LIGHT) -> str:
    """Return the picture of `sheet_spec`."""
    return _rendered(sheet_spec(rows, title, theme=theme))


def sheet_spec(rows: Sequence[SheetRow], title: str, *, theme: Theme = LIGHT) -> dict[str, Any]:
    """Return the tune sheet as a chart: turns, dock tensions and sag with its interval, by wind.

    Parameters
    ----------
    rows : sequence of SheetRow
        The sheet.
    title : str
        Whose.
    theme : Theme
        Colours.
    """
    turns = [
        {"wind_kn": row.wind_kn, "value": value, "what": role.replace("_", " ")}
        for row in rows
        for role, value in row.turns.items()
    ]
    tensions = [
        {"wind_kn": row.wind_kn, "value": value, "what": name.removesuffix("_port").replace("_", " ")}
        for row in rows
        for name, value in row.dock.tensions_n.items()
        if not name.endswith("_starboard")
    ]
    sag = [
        {
            "wind_kn": row.wind_kn,
            "value": row.sailing.sag_mm,
            "low": max(row.sailing.sag_mm - row.sag_half_width_mm, 0.0),
            "high": row.sailing.sag_mm + row.sag_half_width_mm,
        }
        for row in rows
    ]
    panels = [
        _lines(turns, "turns from base", theme),
        _lines(tensions, "tension on the dock (N)", theme),
        _band(sag, theme),
    ]
    return {**_base(title, "upwind; band: 90 % of the model's doubt", theme), "vconcat": panels}


def _lines(values: list[dict[str, Any]], name: str, theme: Theme) -> dict[str, Any]:
    """Return several lines told apart by dashes and end labels, not by colour alone."""
    x = {"field": "wind_kn", "type": "quantitative", "title": "true wind (kn)"}
    y = {"field": "value", "type": "quantitative", "title": name}
    last = {"filter": f"datum.wind_kn === {max((one['wind_kn'] for one in values), default=0.0)}"}
    return {
        "data": {"values": values},
        "width": WIDTH,
        "height": 150,
        "encoding": {"x": x, "y": y, "detail": {"field": "what"}},
        "layer": [
            {
                "mark": {"type": "line", "color": theme.ink, "strokeWidth": 1.6},
                "encoding": {"strokeDash": {"field": "what", "type": "nominal", "legend": None}},
            },
            {"mark": {"type": "point", "color": theme.ink, "filled": True, "size": 20}},
            {
                "transform": [last],
                "mark": {"type": "text", "align": "left", "dx": 8, "color": theme.ink, "fontSize": 12},
                "encoding": {"text": {"field": "what"}},
            },
        ],
    }


def _band(values: list[dict[str, Any]], theme: Theme) -> dict[str, Any]:
    x = {"field": "wind_kn", "type": "quantitative", "title": "true wind (kn)"}
    return {
        "data": {"values": values},
        "width": WIDTH,
        "height": 150,
        "layer": [
            {
                "mark": {"type": "area", "color": theme.fog, "opacity": 0.3},
                "encoding": {
                    "x": x,
                    "y": {"field": "low", "type": "quantitative", "title": "forestay sag (mm)"},
                    "y2": {"field": "high"},
                },
            },
            {
                "mark": {"type": "line", "color": theme.tape, "point": {"color": theme.tape}},
                "encoding": {"x": x, "y": {"field": "value", "type": "quantitative"}},
            },
        ],
    }


def geometry_svg(
    points: dict[str, tuple[float, float]], labels: Sequence[str], title: str, *, theme: Theme = LIGHT
) -> str:
    """Return the bridle's geometry, seen from astern, untouched and hauled.

    Parameters
    ----------
    points : dict
        ``apex``, ``ring``, ``hauled_apex``: (across, up) in metres above the middle of the transom;
        ``half_width`` and ``top`` likewise.
    labels : sequence of str
        Lines of words under the picture.
    title : str
        Whose.
    theme : Theme
        Colours.
    """
    sheet = _Sheet(points["half_width"][0], points["top"][1])
    half = points["half_width"][0]
    untouched = [(-half, 0.0), points["apex"], (half, 0.0)]
    hauled = [(-half, 0.0), points["ring"], points["hauled_apex"], points["ring"], (half, 0.0)]
    lower = sheet.y(0.0) + 48.0
    words = [
        f'<text x="24" y="{lower + 20 * number:.0f}" font-size="14" '
        f'fill="{theme.ink}">{html_text(line)}</text>'
        for number, line in enumerate(labels)
    ]
    height = lower + 20.0 * len(labels) + 8.0
    body = [
        f'<rect width="{WIDTH}" height="{height:.0f}" fill="{theme.ground}"/>',
        f'<text x="24" y="32" font-size="16" fill="{theme.ink}">{html_text(title)}</text>',
        sheet.path([(-half, 0.0), (half, 0.0)], theme.fog, 4.0),
        sheet.path([points["apex"], points["top"]], theme.fog, 1.5),
        sheet.path(untouched, theme.fog, 1.5, "5 4"),
        sheet.path([points["hauled_apex"], points["top"]], theme.ink, 2.0),
        sheet.path(hauled, theme.ink, 2.0),
        sheet.dot(points["ring"], theme.tape),
        sheet.word(points["ring"], "puller", theme.tape, left=True),
        sheet.word(points["apex"], "apex, untouched", theme.ink),
        sheet.word((half, 0.0), "quarter", theme.ink, below=True),
        *words,
    ]
    head = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {height:.0f}" width="{WIDTH}" '
    name = f'role="img" aria-label="{html_text(title)}">'
    style = f'height="{height:.0f}" font-family="system-ui, sans-serif" {name}'
    return head + style + "".join(body) + "</svg>"


class _Sheet:
    """Where metres land on the drawing; the middle of the transom at the bottom centre."""

    def __init__(self, half_width: float, top: float) -> None:
        self.scale = min(120.0 / half_width, 320.0 / top)
        self.bottom = 64.0 + self.scale * top

    def x(self, across: float) -> float:
        """Return the place across. [px]."""
        return WIDTH / 2.0 + self.scale * across

    def y(self, up: float) -> float:
        """Return the place down. [px]."""
        return self.bottom - self.scale * up

    def path(self, places: Sequence[tuple[float, float]], colour: str, width: float, dash: str = "") -> str:
        """Return a line through places."""
        spots = " ".join(f"{self.x(across):.1f},{self.y(up):.1f}" for across, up in places)
        dashed = f' stroke-dasharray="{dash}"' if dash else ""
        return f'<polyline points="{spots}" fill="none" stroke="{colour}" stroke-width="{width}"{dashed}/>'

    def dot(self, place: tuple[float, float], colour: str) -> str:
        """Return a filled mark."""
        return f'<circle cx="{self.x(place[0]):.1f}" cy="{self.y(place[1]):.1f}" r="6" fill="{colour}"/>'

    def word(
        self, place: tuple[float, float], text: str, colour: str, *, below: bool = False, left: bool = False
    ) -> str:
        """Return a word to the right of a place, to its left, or under it."""
        shift, anchor = (0.0, "middle") if below else (-12.0, "end") if left else (12.0, "start")
        x, y = self.x(place[0]) + shift, self.y(place[1]) + (20.0 if below else 4.0)
        return (
            f'<text x="{x:.1f}" y="{y:.1f}" font-size="14" fill="{colour}" '
            f'text-anchor="{anchor}">{html_text(text)}</text>'
        )
