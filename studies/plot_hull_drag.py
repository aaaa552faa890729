"""Draw every drag method's own curve, the blend, and what heel costs; writes SVG files to ``docs/images``.

Run with ``python studies/plot_hull_drag.py``. The hull is the demo boat of the ``examples`` folder.
"""

from __future__ import annotations

import tomllib
from pathlib import Path

import altair as alt
import numpy as np
import polars as pl

from cringle.physics.foils import Appendages, Bulb, Foil
from cringle.physics.hull_drag import displacement_upper_bound, upright_drag
from cringle.physics.hull_form import HullForm, froude_number, volume_froude_number
from cringle.physics.residuary import residuary_1998, residuary_2008
from cringle.physics.underwater import UnderwaterBody, underwater_drag
from cringle.physics.water import Water
from cringle.units import degrees_to_radians, knots_to_metres_per_second, radians_to_degrees

ROOT = Path(__file__).parents[1]
IMAGES = ROOT / "docs" / "images"
WATER = Water(1025.0, 1.19e-6)
GROUND, DEEP, FOG, TAPE, KELP, RUST = "#F7F3E9", "#12313A", "#7C8A87", "#B8430A", "#2C6A52", "#8C2F1B"
Drawing = alt.Chart | alt.LayerChart | alt.FacetChart
SHARED = (
    "length_waterline",
    "beam_waterline",
    "draft_canoe",
    "volume_canoe",
    "cp",
    "cm",
    "area_waterplane",
    "transom_ratio",
    "chine_beam",
    "planing_lcg",
    "bow_length_95",
)


def demo_body() -> UnderwaterBody:
    """Return the demo boat's underwater body; its file measures from the after end of the waterline."""
    boat = tomllib.loads((ROOT / "examples" / "class.toml").read_text(encoding="utf-8"))
    hull, keel, rudder, bulb = (boat[name] for name in ("hull", "keel", "rudder", "bulb"))
    form = HullForm(
        **{name: hull[name] for name in SHARED},
        lcb_from_bow=hull["length_waterline"] - hull["lcb"],
        lcf_from_bow=hull["length_waterline"] - hull["lcf"],
        half_entrance=degrees_to_radians(hull["half_entrance_deg"]),
        deadrise=degrees_to_radians(hull["deadrise_deg"]),
    )
    return UnderwaterBody(form, Appendages(_keel(hull, keel, bulb), _rudder(rudder), _bulb(bulb)), WATER)


def _keel(hull: dict[str, float], keel: dict[str, float], bulb: dict[str, float]) -> Foil:
    volume = keel["volume"] + bulb["volume"]
    height = (keel["volume"] * keel["centroid_z"] + bulb["volume"] * bulb["centroid_z"]) / volume
    return Foil(
        keel["span"],
        keel["chord_root"],
        keel["chord_tip"],
        keel["thickness_ratio"],
        sweep=degrees_to_radians(keel["sweep_deg"]),
        root_depth=hull["draft_canoe"],
        volume=volume,
        centroid_depth=-height - hull["draft_canoe"],
    )


def _rudder(rudder: dict[str, float]) -> Foil:
    return Foil(rudder["span"], rudder["chord_root"], rudder["chord_tip"], rudder["thickness_ratio"])


def _bulb(bulb: dict[str, float]) -> Bulb:
    return Bulb(bulb["length"], bulb["diameter"])


def methods_frame(body: UnderwaterBody) -> pl.DataFrame:
    """Return bare-hull drag against speed, one block a method, each within its own range."""
    speed_kn = np.linspace(0.0, 18.0, 361)
    speed = knots_to_metres_per_second(speed_kn)
    drag = upright_drag(body.hull, body.water, speed)
    froude = froude_number(speed, body.hull.length_waterline)
    volume_froude = volume_froude_number(speed, body.hull.volume_canoe)
    ranges = {
        "blend used": (drag.total, speed >= 0.0),
        "displacement: friction + series": (drag.displacement, froude <= 0.60),
        "series of 2008, upper bound": (
            displacement_upper_bound(body.hull, body.water, speed),
            (froude >= 0.60) & (froude <= 0.70),
        ),
        "pre-planing regression": (drag.preplaning, (volume_froude >= 1.0) & (volume_froude <= 2.0)),
        "planing, short form": (drag.planing, volume_froude >= 1.4),
    }
    blocks = [
        pl.DataFrame({"speed": speed_kn[used], "drag": value[used], "method": [name] * int(used.sum())})
        for name, (value, used) in ranges.items()
    ]
    return pl.concat(blocks)


def band_frame(body: UnderwaterBody) -> pl.DataFrame:
    """Return the blend with one standard deviation either side."""
    speed_kn = np.linspace(0.0, 18.0, 181)
    drag = upright_drag(body.hull, body.water, knots_to_metres_per_second(speed_kn))
    return pl.DataFrame(
        {
            "speed": speed_kn,
            "low": drag.total - drag.standard_deviation,
            "high": drag.total + drag.standard_deviation,
        }
    )


def methods_chart(body: UnderwaterBody) -> Drawing:
    """Return each method's own curve, the blend and its band."""
    names = [
        "blend used",
        "displacement: friction + series",
        "series of 2008, upper bound",
        "pre-planing regression",
        "planing, short form",
    ]
    band = (
        alt.Chart(band_frame(body))
        .mark_area(color=FOG, opacity=0.25)
        .encode(
            x=alt.X("speed:Q").title("boat speed [kn]"),
            y=alt.Y("low:Q").title("drag of the bare hull, upright [N]"),
            y2="high:Q",
        )
    )
    colour = _scale("method", names, [DEEP, KELP, FOG, TAPE, RUST])
    dash = alt.StrokeDash("method:N").scale(
        domain=names, range=[[1, 0], [8, 3], [1, 3], [4, 2, 1, 2], [12, 4]]
    )
    frame = methods_frame(body)
    wide, thin = (frame.filter(pl.col("method") == names[0]), frame.filter(pl.col("method") != names[0]))
    blend, methods = (
        alt.Chart(one)
        .mark_line(strokeWidth=width, opacity=opacity)
        .encode(x="speed:Q", y="drag:Q", color=colour, strokeDash=dash)
        for one, width, opacity in ((wide, 9, 0.35), (thin, 2.5, 1.0))
    )
    return alt.layer(band, methods, blend).properties(
        width=620, height=380, title="Three published methods and the blend (band: one standard deviation)"
    )


def residuary_chart(body: UnderwaterBody) -> Drawing:
    """Return the two regressions of the systematic series."""
    froude = np.linspace(0.0, 0.70, 281)
    names = ["regression of 1998", "regression of 2008"]
    blocks = []
    for name, method in zip(names, (residuary_1998, residuary_2008), strict=True):
        value = 1e3 * method(body.hull, froude)
        known = np.isfinite(value)
        blocks.append(
            pl.DataFrame({"froude": froude[known], "share": value[known], "form": [name] * int(known.sum())})
        )
    drawing: Drawing = (
        alt.Chart(pl.concat(blocks))
        .mark_line(strokeWidth=2.5)
        .encode(
            x=alt.X("froude:Q").title("Froude number on waterline length"),
            y=alt.Y("share:Q").title("residuary resistance [thousandths of the weight]"),
            color=_scale("form", names, [DEEP, TAPE]),
            strokeDash=alt.StrokeDash("form:N").scale(domain=names, range=[[1, 0], [6, 3]]),
        )
        .properties(width=620, height=320, title="Two regressions of the yacht hull series for one hull")
    )
    return drawing


def heel_chart(body: UnderwaterBody) -> Drawing:
    """Return what heel adds to the drag of the underwater body, without induced drag."""
    heel = degrees_to_radians(np.linspace(0.0, 30.0, 61))
    speeds = (4.0, 5.0, 6.0, 8.0, 11.0)
    names = [f"{speed:g} kn" for speed in speeds]
    blocks = []
    for speed_kn, name in zip(speeds, names, strict=True):
        drag = underwater_drag(body, knots_to_metres_per_second(speed_kn), heel)
        change = 100.0 * (drag / drag[0] - 1.0)
        blocks.append(
            pl.DataFrame({"heel": radians_to_degrees(heel), "change": change, "speed": [name] * heel.size})
        )
    drawing: Drawing = (
        alt.Chart(pl.concat(blocks))
        .mark_line(strokeWidth=2.5)
        .encode(
            x=alt.X("heel:Q").title("heel [deg]"),
            y=alt.Y("change:Q").title("change of drag against upright [%]"),
            color=_scale("speed", names, [DEEP, KELP, TAPE, RUST, FOG]),
            strokeDash=alt.StrokeDash("speed:N").scale(
                domain=names, range=[[1, 0], [8, 3], [4, 2], [1, 3], [12, 4]]
            ),
        )
        .properties(width=620, height=320, title="Drag of hull and foils with heel, induced drag left out")
    )
    return drawing


def _scale(field: str, names: list[str], colours: list[str]) -> alt.Color:
    legend = alt.Legend(
        title=None,
        orient="bottom",
        columns=3,
        labelLimit=260,
        symbolSize=400,
        symbolOpacity=1.0,
        symbolStrokeWidth=3.0,
    )
    return alt.Color(f"{field}:N").scale(domain=names, range=colours).legend(legend)


def main() -> None:
    """Write the pictures."""
    body = demo_body()
    IMAGES.mkdir(parents=True, exist_ok=True)
    charts = {
        "hull_drag": methods_chart(body),
        "residuary_regressions": residuary_chart(body),
        "heeled_drag": heel_chart(body),
    }
    for name, chart in charts.items():
        styled = chart.configure(background=GROUND, font="sans-serif").configure_axis(
            labelColor=DEEP, titleColor=DEEP, gridColor="#DDD8CB", labelFontSize=14, titleFontSize=14
        )
        styled = styled.configure_legend(labelColor=DEEP, labelFontSize=14).configure_title(
            color=DEEP, fontSize=16, anchor="start"
        )
        styled.save(IMAGES / f"{name}.svg")
        print(f"wrote {name}.svg")


if __name__ == "__main__":
    main()
