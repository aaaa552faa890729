"""Charts of the speed model: targets, techniques, the price of heel, the order of depowering."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Final

import numpy as np

from cringle.errors import InputError
from cringle.output.palette import LIGHT, Theme
from cringle.speed.depower_order import Step
from cringle.speed.ensemble import Interval
from cringle.speed.ensemble_targets import TargetIntervals
from cringle.speed.heel import HeelCost
from cringle.speed.targets import Targets
from cringle.speed.techniques import Window

WIDE: Final = 560
TALL: Final = 150
FONT: Final = "DejaVu Sans, Liberation Sans, sans-serif"
PNG_SCALE: Final = 2.0
RULER_ROWS: Final = 3
"""Rows of a wind ruler, so that the words of short windows do not lie on each other."""

DASHES: Final = ([1, 0], [8, 4], [2, 3], [10, 3, 2, 3], [5, 2])
SHAPES: Final = ("circle", "square", "triangle-up", "diamond", "cross")

Shown = tuple[str, Targets, TargetIntervals]
"""Name, targets and intervals of what is drawn."""


def chart_bytes(spec: dict[str, Any], suffix: str) -> bytes:
    """Return a chart in the format of a file's suffix.

    Raises
    ------
    InputError
        Neither ``.svg`` nor ``.png``.
    """
    import vl_convert

    if suffix.lower() == ".svg":
        return str(vl_convert.vegalite_to_svg(spec)).encode("utf-8")
    if suffix.lower() == ".png":
        return bytes(vl_convert.vegalite_to_png(spec, scale=PNG_SCALE))
    raise InputError(f"a picture as {suffix or 'no suffix'!r}", next_step="name the file .svg or .png")


def targets_spec(
    shown: Mapping[str, Mapping[str, Sequence[float]]], title: str, theme: Theme = LIGHT
) -> dict[str, Any]:
    """Return targets by wind: speed made good, angle and heel, each with its 90 % band.

    Parameters
    ----------
    shown : mapping of a name, such as ``up``, to columns
        ``wind``, and ``made_good``, ``angle``, ``heel``, each with its ``_low`` and ``_high``.
    title : str
        Over the chart.
    theme : Theme
        Colours.
    """
    titles = {"made_good": "made good [kn]", "angle": "wind angle [°]", "heel": "heel [°]"}
    panels = []
    for key, words in titles.items():
        rows = [
            (
                name,
                np.asarray(one["wind"]),
                np.asarray(one[key]),
                Interval(np.asarray(one[f"{key}_low"]), np.asarray(one[f"{key}_high"])),
            )
            for name, one in shown.items()
        ]
        panels.append(_panel(rows, words, theme, last=key == "heel"))
    return _page({"vconcat": panels, "spacing": 16}, title, "bands are 90 % intervals", theme)


def _panel(
    rows: Sequence[tuple[str, Any, Any, Interval]], title: str, theme: Theme, *, last: bool = False
) -> dict[str, Any]:
    values = [
        {"wind": float(w), "value": float(v), "low": float(a), "high": float(b), "name": name}
        for name, wind, value, known in rows
        for w, v, a, b in zip(wind, value, known.low, known.high, strict=True)
        if np.isfinite(v) and np.isfinite(a) and np.isfinite(b)
    ]
    names = list(dict.fromkeys(name for name, *_ in rows))
    across = {
        "field": "wind",
        "type": "quantitative",
        "title": "true wind [kn]" if last else None,
        "axis": {"format": "~g", "tickMinStep": 1},
    }
    scale = {"zero": False}
    band = {
        "mark": {"type": "area", "opacity": 0.25, "color": theme.fog},
        "encoding": {
            "y": {"field": "low", "type": "quantitative", "title": title, "scale": scale},
            "y2": {"field": "high"},
        },
    }
    line = {
        "mark": {"type": "line", "color": theme.ink, "strokeWidth": 2},
        "encoding": {
            "y": {"field": "value", "type": "quantitative", "title": title, "scale": scale},
            "strokeDash": _dash(names),
        },
    }
    return {
        "width": WIDE,
        "height": TALL,
        "data": {"values": values},
        "encoding": {"x": across, "detail": {"field": "name"}},
        "layer": [band, line, _ends(theme)],
    }


def _dash(names: Sequence[str]) -> dict[str, Any]:
    return {
        "field": "name",
        "type": "nominal",
        "legend": None,
        "scale": {"domain": list(names), "range": [DASHES[i % len(DASHES)] for i in range(len(names))]},
    }


def _ends(theme: Theme) -> dict[str, Any]:
    """Return each line's name at its last point."""
    return {
        "transform": [
            {"window": [{"op": "rank", "as": "place"}], "sort": [{"field": "wind", "order": "descending"}],
             "groupby": ["name"]},
            {"filter": "datum.place == 1"},
        ],
        "mark": {"type": "text", "align": "left", "dx": 6, "fontSize": 14, "color": theme.ink},
        "encoding": {"y": {"field": "value", "type": "quantitative"}, "text": {"field": "name"}},
    }  # fmt: skip


def techniques_spec(
    shown: Sequence[Shown], windows: Sequence[Window], title: str, theme: Theme = LIGHT
) -> dict[str, Any]:
    """Return speed made good of every technique by wind, over a ruler of the windows."""
    rows = [(name, t.wind_kn, t.made_good_kn, k.vmg_kn) for name, t, k in shown]
    top = _panel(rows, "made good [kn]", theme)
    top["height"] = 2.4 * TALL
    top["layer"] = _with_marks(top["layer"], [name for name, *_ in shown], theme)
    ruler = _ruler([(one.case.name, one.from_kn, one.to_kn) for one in windows], theme)
    subtitle = "lines end where a technique cannot be sailed; below: the technique that makes most good"
    whole = {"vconcat": [top, ruler], "spacing": 12, "resolve": {"scale": {"x": "shared"}}}
    return _page(whole, title, subtitle, theme)


def _with_marks(layers: list[dict[str, Any]], names: Sequence[str], theme: Theme) -> list[dict[str, Any]]:
    """Return the lines without bands and end labels, a shape on each, and a legend of both."""
    legend = {"orient": "top-left", "labelFontSize": 14, "symbolStrokeColor": theme.ink, "symbolSize": 90}
    line = layers[1]
    line["encoding"]["strokeDash"] = {**_dash(names), "title": None, "legend": legend}
    points = {
        "mark": {"type": "point", "filled": False, "size": 60, "color": theme.ink, "opacity": 1.0},
        "encoding": {
            "y": {"field": "value", "type": "quantitative"},
            "shape": {
                "field": "name",
                "type": "nominal",
                "title": None,
                "scale": {"domain": list(names), "range": list(SHAPES[: len(names)])},
                "legend": legend,
            },
        },
    }
    return [line, points]


def _ruler(parts: Sequence[tuple[str, float, float]], theme: Theme) -> dict[str, Any]:
    """Return a wind ruler: labelled segments along the wind."""
    values = [
        {"low": low, "high": high, "middle": 0.5 * (low + high), "name": name, "row": place % RULER_ROWS}
        for place, (name, low, high) in enumerate(parts)
    ]
    x = {"type": "quantitative", "title": "true wind [kn]"}
    return {
        "width": WIDE,
        "height": 32 * RULER_ROWS,
        "data": {"values": values},
        "layer": [
            {
                "mark": {"type": "bar", "height": 6, "color": theme.ink},
                "encoding": {"x": {"field": "low", **x}, "x2": {"field": "high"}, "y": _row()},
            },
            {
                "mark": {"type": "tick", "color": theme.tape, "thickness": 3, "height": 18},
                "encoding": {"x": {"field": "low", **x}, "y": _row()},
            },
            {
                "mark": {"type": "text", "dy": -12, "fontSize": 14, "color": theme.ink},
                "encoding": {"x": {"field": "middle", **x}, "y": _row(), "text": {"field": "name"}},
            },
        ],
    }


def _row() -> dict[str, Any]:
    return {"field": "row", "type": "ordinal", "axis": None}


def heel_spec(costs: Sequence[HeelCost], title: str, theme: Theme = LIGHT) -> dict[str, Any]:
    """Return the price of sailing beside the heel target upwind, one panel for each offset."""
    cost = costs[0]
    panels = [
        _panel(
            [
                (
                    f"{offset:+g}°",
                    cost.wind_kn,
                    cost.s_per_mile[:, place],
                    Interval(cost.s_per_mile_90.low[:, place], cost.s_per_mile_90.high[:, place]),
                )
            ],
            "s a mile",
            theme,
            last=place == cost.offset_deg.size - 1,
        )
        for place, offset in enumerate(cost.offset_deg)
    ]
    subtitle = f"{cost.case.name}: seconds a mile lost beside the best heel; 90 % bands"
    return _page({"vconcat": panels, "spacing": 12}, title, subtitle, theme)


def depower_spec(steps: Sequence[Step], title: str, theme: Theme = LIGHT) -> dict[str, Any]:
    """Return the steps of depowering along the wind, and the moment unused where each begins."""
    ruler = _ruler([(one.name, one.from_kn, one.to_kn) for one in steps], theme)
    values = [{"wind": one.from_kn, "spare": 100.0 * one.spare_share, "name": one.name} for one in steps]
    spare = {
        "width": WIDE,
        "height": TALL,
        "data": {"values": values},
        "encoding": {
            "x": {"field": "wind", "type": "quantitative", "title": None},
            "y": {"field": "spare", "type": "quantitative", "title": "moment unused [%]"},
        },
        "layer": [
            {"mark": {"type": "line", "color": theme.fog}},
            {"mark": {"type": "point", "filled": True, "size": 70, "color": theme.tape}},
        ],
    }
    whole = {"vconcat": [spare, ruler], "spacing": 12, "resolve": {"scale": {"x": "shared"}}}
    return _page(whole, title, "what is new to do as the wind builds", theme)


def _page(chart: dict[str, Any], title: str, subtitle: str, theme: Theme) -> dict[str, Any]:
    axis = {
        "labelColor": theme.ink, "titleColor": theme.ink, "tickColor": theme.fog, "domainColor": theme.fog,
        "gridColor": theme.fog, "gridOpacity": 0.3, "labelFontSize": 14, "titleFontSize": 14,
        "titleFontWeight": "normal",
    }  # fmt: skip
    return {
        "$schema": "https://vega.github.io/schema/vega-lite/v6.json",
        "background": theme.ground,
        "padding": 24,
        "title": {
            "text": title, "subtitle": subtitle, "anchor": "start", "fontSize": 20, "subtitleFontSize": 14,
            "color": theme.ink, "subtitleColor": theme.ink, "offset": 12,
        },
        "config": {"font": FONT, "axis": axis, "view": {"stroke": None}, "legend": {"labelColor": theme.ink}},
        **chart,
    }  # fmt: skip
