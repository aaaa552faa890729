"""A play's timeline by role, and the heel under it, as one chart: SVG or PNG.

Critical actions are filled, the others outlined; what only goes on beside others is a thin bar. A thin line
behind a bar is its slack. Cues are dashed lines with their words on top. Everything can be told apart without
colour.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from cringle.errors import InputError
from cringle.output.palette import LIGHT, Theme
from cringle.plays.lanes import Lanes
from cringle.plays.weight import WeightStrip

if TYPE_CHECKING:
    import altair as alt

WIDTH_PX = 900
ROW_PX = 34
CUE_ROW_PX = 18
STRIP_PX = 150
BAR_PX = 12
FONT = "DejaVu Sans, Liberation Sans, sans-serif"
PNG_SCALE = 2.0
THIN = 2
AXIS_WORDS = "seconds from the call"


@dataclass(frozen=True)
class Timeline:
    """What a chart is made of.

    Parameters
    ----------
    title, subtitle : str
        Over the chart.
    lanes : Lanes
        Bars and cues.
    names : mapping
        Person to the words of the lane.
    strip : WeightStrip or None
        Drawn under the lanes when given.
    """

    title: str
    subtitle: str
    lanes: Lanes
    names: Mapping[str, str]
    strip: WeightStrip | None = None


def timeline_svg(timeline: Timeline, theme: Theme = LIGHT) -> str:
    """Return the chart as SVG."""
    import vl_convert

    return str(vl_convert.vegalite_to_svg(timeline_spec(timeline, theme)))


def timeline_png(timeline: Timeline, theme: Theme = LIGHT) -> bytes:
    """Return the chart as PNG."""
    import vl_convert

    return bytes(vl_convert.vegalite_to_png(timeline_spec(timeline, theme), scale=PNG_SCALE))


def timeline_file(timeline: Timeline, suffix: str) -> bytes:
    """Return the chart in the form of a file's suffix.

    Raises
    ------
    InputError
        Another suffix than ``.svg`` or ``.png``.
    """
    if suffix == ".svg":
        return timeline_svg(timeline).encode("utf-8")
    if suffix == ".png":
        return timeline_png(timeline)
    raise InputError(
        f"a chart cannot be written as {suffix!r}", next_step="use a name that ends in .svg or .png"
    )


def timeline_spec(timeline: Timeline, theme: Theme = LIGHT) -> dict[str, Any]:
    """Return the chart as a Vega-Lite specification, the same for the screen, a report and a file."""
    import altair as alt

    parts: list[alt.Chart | alt.LayerChart | alt.FacetChart] = [
        _cue_words(timeline, theme),
        _lanes(timeline, theme),
    ]
    if timeline.strip is not None:
        parts.append(_heel(timeline, timeline.strip, theme))
    title = alt.TitleParams(
        timeline.title, subtitle=timeline.subtitle, anchor="start", fontSize=20, subtitleFontSize=14, offset=8
    )
    chart = (
        alt.vconcat(*parts, spacing=4)
        .resolve_scale(x="shared")
        .properties(title=title, background=theme.ground, padding=12)
        .configure(font=FONT)
        .configure_title(color=theme.ink, subtitleColor=theme.ink)
        .configure_view(stroke=None)
    )
    spec: dict[str, Any] = chart.to_dict()
    return spec


def _values(rows: list[dict[str, Any]]) -> alt.Data:
    import altair as alt

    return alt.Data(values=rows)  # type: ignore[no-untyped-call]  # the schema classes have no annotations


def _time(timeline: Timeline, theme: Theme, title: str | None) -> alt.X:
    import altair as alt

    until = (
        timeline.lanes.until_s
        if timeline.strip is None
        else max(timeline.lanes.until_s, float(timeline.strip.time_s[-1]))
    )
    axis = (
        alt.Axis(
            title=title,
            labelColor=theme.ink,
            titleColor=theme.ink,
            tickColor=theme.fog,
            grid=False,
            domainColor=theme.fog,
            labelFontSize=12,
            titleFontSize=13,
        )
        if title
        else None
    )
    return alt.X("time:Q", scale=alt.Scale(domain=[0.0, until], nice=False), axis=axis)


def _cue_words(timeline: Timeline, theme: Theme) -> alt.Chart:
    import altair as alt

    marks = timeline.lanes.cues
    rows = [{"time": one.time_s, "words": one.words, "row": one.row} for one in marks]
    depth = max((one.row for one in marks), default=0) + 1
    shown: alt.Chart = (
        alt.Chart(_values(rows))
        .mark_text(align="left", baseline="middle", dx=2, color=theme.ink, fontSize=12, fontStyle="italic")
        .encode(
            x=_time(timeline, theme, None),
            y=alt.Y(
                "row:Q", axis=None, scale=alt.Scale(domain=[-0.5, depth - 0.5], reverse=True, nice=False)
            ),
            text="words:N",
        )
        .properties(width=WIDTH_PX, height=CUE_ROW_PX * depth)
    )
    return shown


def _row_scale(timeline: Timeline) -> alt.Scale:
    import altair as alt

    last = max(end for _, end in timeline.lanes.rows.values())
    return alt.Scale(domain=[-0.5, last + 0.5], reverse=True, nice=False)


def _lane_time(timeline: Timeline, theme: Theme) -> alt.X:
    """Return the time axis of the lanes, told in words only where no strip follows."""
    return _time(timeline, theme, None if timeline.strip is not None else AXIS_WORDS)


def _lanes(timeline: Timeline, theme: Theme) -> alt.LayerChart | alt.FacetChart:
    import altair as alt

    last = max(end for _, end in timeline.lanes.rows.values())
    layers = [
        _cue_lines(timeline, theme),
        _lane_edges(timeline, theme),
        *_bars(timeline, theme),
        _bar_words(timeline, theme),
        _names(timeline, theme),
    ]
    shown: alt.LayerChart | alt.FacetChart = alt.layer(*layers).properties(
        width=WIDTH_PX, height=ROW_PX * (last + 1)
    )
    return shown


def _cue_lines(timeline: Timeline, theme: Theme) -> alt.Chart:
    import altair as alt

    rows = [{"time": one.time_s} for one in timeline.lanes.cues]
    drawn: alt.Chart = (
        alt.Chart(_values(rows))
        .mark_rule(color=theme.ink, strokeDash=[3, 3], strokeWidth=1)
        .encode(x=_lane_time(timeline, theme))
    )
    return drawn


def _lane_edges(timeline: Timeline, theme: Theme) -> alt.Chart:
    import altair as alt

    rows = [{"edge": start - 0.5} for start, _ in timeline.lanes.rows.values()]
    drawn: alt.Chart = (
        alt.Chart(_values(rows))
        .mark_rule(color=theme.fog, strokeWidth=1)
        .encode(y=alt.Y("edge:Q", axis=None, scale=_row_scale(timeline)))
    )
    return drawn


def _bars(timeline: Timeline, theme: Theme) -> list[alt.Chart]:
    """Return slack lines, background bars, outlined bars and filled bars, in the order drawn."""
    import altair as alt

    def rows(wanted: str) -> list[dict[str, Any]]:
        return [
            {"time": one.start_s, "end": one.end_s, "tail": one.tail_s, "row": one.row}
            for one in timeline.lanes.bars
            if wanted in ("all", "background" if one.background else "critical" if one.critical else "open")
        ]

    def drawn(kind: str, end: str, **look: Any) -> alt.Chart:
        chart: alt.Chart = (
            alt.Chart(_values(rows(kind)))
            .mark_bar(yOffset=8, **look)
            .encode(
                x=_lane_time(timeline, theme),
                x2=f"{end}:Q",
                y=alt.Y("row:Q", axis=None, scale=_row_scale(timeline)),
            )
        )
        return chart

    return [
        drawn("all", "tail", height=THIN, color=theme.fog),
        drawn("background", "end", height=BAR_PX / 2, color=theme.fog),
        drawn("open", "end", height=BAR_PX, fill=theme.ground, stroke=theme.ink, strokeWidth=1.5),
        drawn("critical", "end", height=BAR_PX, fill=theme.tape, stroke=theme.tape, strokeWidth=1.5),
    ]


def _bar_words(timeline: Timeline, theme: Theme) -> alt.Chart:
    import altair as alt

    rows = [
        {
            "time": one.start_s,
            "row": one.row,
            "words": one.words,
            "weight": "bold" if one.critical else "normal",
        }
        for one in timeline.lanes.bars
    ]
    drawn: alt.Chart = (
        alt.Chart(_values(rows))
        .mark_text(align="left", baseline="middle", dy=-7, color=theme.ink, fontSize=12)
        .encode(
            x=_lane_time(timeline, theme),
            y=alt.Y("row:Q", axis=None, scale=_row_scale(timeline)),
            text="words:N",
        )
    )
    return drawn


def _names(timeline: Timeline, theme: Theme) -> alt.Chart:
    import altair as alt

    rows = [
        {"row": start, "words": timeline.names.get(person, person)}
        for person, (start, _) in timeline.lanes.rows.items()
    ]
    drawn: alt.Chart = (
        alt.Chart(_values(rows))
        .mark_text(align="right", baseline="middle", dx=-8, fontSize=14, fontWeight="bold", color=theme.ink)
        .encode(
            x=alt.value(0),
            y=alt.Y("row:Q", axis=None, scale=_row_scale(timeline)),
            text="words:N",
        )
    )
    return drawn


def _heel(timeline: Timeline, strip: WeightStrip, theme: Theme) -> alt.LayerChart | alt.FacetChart:
    import altair as alt

    rows = [
        {
            "time": float(t),
            "low": float(low),
            "high": float(high),
            "heel": float(heel),
            "steady": float(steady),
        }
        for t, low, high, heel, steady in zip(
            strip.time_s, strip.low_deg, strip.high_deg, strip.heel_deg, strip.steady_deg, strict=True
        )
    ]
    base = alt.Chart(_values(rows)).encode(x=_time(timeline, theme, AXIS_WORDS))
    axis = alt.Axis(
        title="heel [°]",
        labelColor=theme.ink,
        titleColor=theme.ink,
        grid=False,
        tickCount=5,
        labelFontSize=12,
        titleFontSize=12,
        domainColor=theme.fog,
    )
    y = alt.Y("heel:Q", axis=axis)
    band = base.mark_area(color=theme.fog, opacity=0.25).encode(y=alt.Y("low:Q", axis=axis), y2="high:Q")
    quiet = base.mark_line(color=theme.ink, strokeDash=[5, 3], strokeWidth=1.2).encode(
        y=alt.Y("steady:Q", axis=axis)
    )
    swung = base.mark_line(color=theme.tape, strokeWidth=2.2).encode(y=y)
    shown: alt.LayerChart | alt.FacetChart = alt.layer(band, quiet, swung).properties(
        width=WIDTH_PX, height=STRIP_PX
    )
    return shown
