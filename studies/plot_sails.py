"""Draw the sail coefficient tables and the drive of the sail sets for the documentation.

Run: ``python studies/plot_sails.py``; it writes ``sail_tables.svg`` and ``sail_sets.svg`` in ``docs/images``.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any, Final

import altair as alt
import numpy as np
import vl_convert

from cringle.physics.sail_sum import set_coefficients
from cringle.physics.sails import (
    COEFFICIENT_SETS,
    Arrangement,
    RigGeometry,
    Sail,
    SailSet,
    force_coefficients,
    sail_coefficients,
)
from cringle.physics.tables import load_table
from cringle.units import degrees_to_radians

IMAGES: Final = Path(__file__).resolve().parent.parent / "docs" / "images"
GROUND, INK, RULE, TAPE, KELP = "#F7F3E9", "#12313A", "#7C8A87", "#B8430A", "#2C6A52"
ANGLE: Final = np.linspace(0.0, 180.0, 361)
TITLES: Final = {
    "main_adjustable": "main, adjustable",
    "main_plain": "main, plain",
    "jib_plain": "jib, clean air",
    "jib_blanketed": "jib, blanketed by the main",
    "kite_centreline": "kite, centreline pole",
    "kite_pole": "kite, squared pole",
}

MAIN, JIB, KITE = Sail("main", 14.0, 4.05), Sail("jib", 10.6, 3.55), Sail("kite", 42.0, 5.10)
RIG = RigGeometry(9.0, 0.62, 7.9, 2.9, 0.95, 7.9)
SETS: Final = {
    "main and jib": SailSet(MAIN, JIB),
    "main and kite": SailSet(MAIN, kite=KITE),
    "main, jib and kite": SailSet(MAIN, JIB, KITE),
    "main and kite, wing-on-wing": SailSet(MAIN, kite=KITE, arrangement=Arrangement.WING),
}
Row = dict[str, Any]


def table_rows() -> tuple[list[Row], list[Row]]:
    """Return the curves and the table's own points, one row per value."""
    curves: list[Row] = []
    points: list[Row] = []
    for name, title in TITLES.items():
        table, *columns = COEFFICIENT_SETS[name]
        angle_deg = load_table(table).columns["angle_deg"]
        seen = np.linspace(angle_deg[0], 180.0, 361)
        values = sail_coefficients(name, degrees_to_radians(seen))
        for kind, column, curve in zip(("lift", "drag"), columns, values, strict=True):
            label = {"sail": title, "kind": kind}
            curves += [
                {**label, "angle": a, "value": v} for a, v in zip(seen, np.asarray(curve), strict=True)
            ]
            given = load_table(table).columns[column]
            points += [{**label, "angle": a, "value": v} for a, v in zip(angle_deg, given, strict=True)]
    return curves, points


def set_rows() -> list[Row]:
    """Return the driving force over dynamic pressure of every set, one row per angle."""
    rows: list[Row] = []
    for title, sails in SETS.items():
        first = 12.0 if sails.kite is None else 45.0
        lowest = 145.0 if sails.arrangement is Arrangement.WING else first
        seen = ANGLE[lowest <= ANGLE]
        angle = degrees_to_radians(seen)
        full = set_coefficients(sails, RIG, angle=angle)
        drive = np.asarray(force_coefficients(full.lift, full.drag, angle)[0]) * sails.area
        rows += [{"set": title, "angle": a, "drive": d} for a, d in zip(seen, drive, strict=True)]
    return rows


def angle_axis() -> alt.X:
    """Return the axis that all pictures share."""
    return alt.X("angle:Q", title="apparent wind angle, deg", axis=alt.Axis(values=list(range(0, 181, 30))))


def styled(chart: Any) -> Any:
    """Return a chart in the project's colours and sizes."""
    axis = {"gridColor": RULE, "gridOpacity": 0.3, "domainColor": RULE, "tickColor": RULE}
    text = {"labelColor": INK, "titleColor": INK, "labelFontSize": 14, "titleFontSize": 14}
    return (
        chart.configure(background=GROUND)
        .configure_axis(**axis, **text)
        .configure_legend(**text, symbolType="stroke", symbolSize=500, symbolStrokeWidth=2.5, labelLimit=300)
        .configure_header(labelColor=INK, labelFontSize=16, title=None)
        .configure_view(stroke=RULE)
    )


def table_chart() -> Any:
    """Return one panel per sail: lift drawn full, drag dashed, points from the table."""
    curves, points = table_rows()
    scale = alt.Scale(domain=["lift", "drag"], range=[INK, TAPE])
    dash = alt.Scale(domain=["lift", "drag"], range=[[1, 0], [7, 4]])
    base = alt.Chart().encode(
        x=angle_axis(),
        y=alt.Y("value:Q", title="coefficient"),
        color=alt.Color("kind:N", scale=scale, title=None),
    )
    line = base.mark_line(strokeWidth=2.5).encode(strokeDash=alt.StrokeDash("kind:N", scale=dash, title=None))
    point = base.mark_point(filled=True, size=45, opacity=1.0).transform_filter("datum.given")
    rows = [{**row, "given": False} for row in curves] + [{**row, "given": True} for row in points]
    layered = alt.layer(line.transform_filter("!datum.given"), point, data=alt.InlineData(values=rows))
    facet = layered.properties(width=300, height=190).facet(
        alt.Facet("sail:N", sort=list(TITLES.values()), title=None), columns=2
    )
    return styled(facet)


def set_chart() -> Any:
    """Return the drive of the sail sets against the apparent wind angle."""
    names = list(SETS)
    scale = alt.Scale(domain=names, range=[INK, TAPE, KELP, RULE])
    dash = alt.Scale(domain=names, range=[[1, 0], [9, 4], [3, 3], [9, 3, 2, 3]])
    chart = (
        alt.Chart(alt.InlineData(values=set_rows()))
        .mark_line(strokeWidth=2.5)
        .encode(
            x=angle_axis(),
            y=alt.Y("drive:Q", title="drive over dynamic pressure, m2"),
            color=alt.Color("set:N", scale=scale, sort=names, title=None),
            strokeDash=alt.StrokeDash("set:N", scale=dash, sort=names, title=None),
        )
        .properties(width=520, height=320)
    )
    return styled(chart)


def main() -> None:
    """Write both pictures."""
    IMAGES.mkdir(parents=True, exist_ok=True)
    for name, chart in (("sail_tables", table_chart()), ("sail_sets", set_chart())):
        svg = vl_convert.vegalite_to_svg(chart.to_dict())
        (IMAGES / f"{name}.svg").write_text(svg, encoding="utf-8")


if __name__ == "__main__":
    main()
