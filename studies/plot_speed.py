"""Draw the polar, the techniques for the run and what heel costs upwind; writes SVG files to ``docs/images``.

Run with ``python studies/plot_speed.py``. The boat is the demo boat of the ``examples`` folder.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import altair as alt
import numpy as np
import polars as pl

from cringle.boat.class_file import ClassFile
from cringle.boat.crew_file import CrewFile
from cringle.boat.toml_text import parse, read_toml
from cringle.speed.model import SpeedModel
from cringle.speed.polar import polar
from cringle.speed.targets import targets
from cringle.speed.techniques import metres_per_minute, techniques

ROOT = Path(__file__).parents[1]
IMAGES = ROOT / "docs" / "images"
GROUND, DEEP, FOG, TAPE, KELP, RUST = "#F7F3E9", "#12313A", "#7C8A87", "#B8430A", "#2C6A52", "#8C2F1B"
Drawing = alt.Chart | alt.LayerChart | alt.FacetChart
DASHES = [[1, 0], [8, 3], [4, 2], [2, 2], [12, 4]]
COLOURS = [DEEP, KELP, TAPE, RUST, FOG]


def demo() -> SpeedModel:
    """Return the demo boat with its crew in a chop."""
    examples = ROOT / "examples"
    return SpeedModel.from_files(
        parse(read_toml(examples / "class.toml"), ClassFile),
        parse(read_toml(examples / "crew.toml"), CrewFile),
    )


def polar_chart(model: SpeedModel) -> Drawing:
    """Return the speed of the fastest case in every direction, true wind from the top, a line a wind."""
    angle, winds = np.arange(30.0, 175.1, 1.0), (6.0, 8.0, 12.0, 16.0)
    grids = [polar(model, list(winds), angle, case=one) for one in (model.upwind, *model.run)]
    speed = np.nanmax(
        np.stack([np.where(one.cells.converged, one.cells.boat_speed_kn, 0.0) for one in grids]), axis=0
    )
    names = [f"{wind:g} kn" for wind in winds]
    blocks = []
    for name, row in zip(names, speed, strict=True):
        good = row > 0.0
        turn = np.radians(angle[good])
        blocks.append(
            pl.DataFrame(
                {
                    "across": row[good] * np.sin(turn),
                    "up": row[good] * np.cos(turn),
                    "angle": angle[good],
                    "wind": [name] * int(good.sum()),
                }
            )
        )
    frame = pl.concat(blocks)
    lines = (
        alt.Chart(frame)
        .mark_line(strokeWidth=2.5)
        .encode(
            x=alt.X("across:Q").title("across the wind [kn]").scale(domain=[0, 10], nice=False),
            y=alt.Y("up:Q").title("to windward (up) and to leeward (down) [kn]").scale(domain=[-9, 6]),
            order="angle:Q",
            color=_scale("wind", names, COLOURS),
            strokeDash=alt.StrokeDash("wind:N").scale(domain=names, range=DASHES[: len(names)]),
        )
    )
    drawing: Drawing = alt.layer(_rings(), lines).properties(
        width=460, height=690, title="Speed through the water by direction, true wind from the top"
    )
    return drawing


def _rings() -> alt.Chart:
    turn = np.radians(np.arange(0.0, 181.0, 3.0))
    frame = pl.concat(
        pl.DataFrame(
            {"across": r * np.sin(turn), "up": r * np.cos(turn), "turn": turn, "ring": [r] * turn.size}
        )
        for r in (2.0, 4.0, 6.0, 8.0, 10.0, 12.0)
    ).filter((pl.col("up") <= 6.0) & (pl.col("up") >= -9.0) & (pl.col("across") <= 10.0))
    chart: alt.Chart = (
        alt.Chart(frame)
        .mark_line(color=FOG, opacity=0.35, strokeWidth=1)
        .encode(x="across:Q", y="up:Q", order="turn:Q", detail="ring:N")
    )
    return chart


def run_chart(model: SpeedModel) -> Drawing:
    """Return what each technique makes good to leeward, by wind."""
    wind = np.arange(4.0, 20.1, 0.5)
    found = techniques(model, wind)
    names = [one.case.name for one in found]
    blocks = []
    for one in found:
        good = one.made_good_kn > 0.0
        blocks.append(
            pl.DataFrame(
                {
                    "wind": wind[good],
                    "made": one.made_good_kn[good],
                    "case": [one.case.name] * int(good.sum()),
                }
            )
        )
    chart: Drawing = (
        alt.Chart(pl.concat(blocks))
        .mark_line(strokeWidth=2.5)
        .encode(
            x=alt.X("wind:Q").title("true wind at 10 m [kn]").scale(domain=[4, 20]),
            y=alt.Y("made:Q").title("made good straight to leeward [kn]").scale(zero=False),
            color=_scale("case", names, COLOURS),
            strokeDash=alt.StrokeDash("case:N").scale(domain=names, range=DASHES),
        )
        .properties(width=620, height=380, title="The techniques for the run, jib out and furled")
    )
    return chart


def heel_chart(model: SpeedModel) -> Drawing:
    """Return what is lost upwind at each heel against the best, angle and depowering chosen anew."""
    winds, heels = (6.0, 8.0, 10.0, 12.0, 16.0), np.arange(0.0, 24.1, 1.0)
    made = np.stack(
        [
            targets(
                model, list(winds), case=replace(model.upwind, heel_low_deg=heel, heel_high_deg=heel)
            ).made_good_kn
            for heel in heels
        ]
    )
    names = [f"{wind:g} kn" for wind in winds]
    blocks = []
    for name, column in zip(names, made.T, strict=True):
        known = np.isfinite(column)
        lost = metres_per_minute(np.nanmax(column) - column[known])
        blocks.append(pl.DataFrame({"heel": heels[known], "lost": lost, "wind": [name] * int(known.sum())}))
    chart: Drawing = (
        alt.Chart(pl.concat(blocks))
        .mark_line(strokeWidth=2.5, clip=True)
        .encode(
            x=alt.X("heel:Q").title("heel to leeward [deg]"),
            y=alt.Y("lost:Q").title("lost to windward [m/min]").scale(domain=[0, 12]),
            color=_scale("wind", names, COLOURS),
            strokeDash=alt.StrokeDash("wind:N").scale(domain=names, range=DASHES),
        )
        .properties(width=620, height=340, title="Upwind: what each heel costs, everything else at its best")
    )
    return chart


def _scale(field: str, names: list[str], colours: list[str]) -> alt.Color:
    legend = alt.Legend(
        title=None, orient="bottom", columns=5, labelLimit=260, symbolSize=400, symbolStrokeWidth=3.0
    )
    return alt.Color(f"{field}:N").scale(domain=names, range=colours[: len(names)]).legend(legend)


def main() -> None:
    """Write the pictures."""
    model = demo()
    IMAGES.mkdir(parents=True, exist_ok=True)
    charts = {
        "speed_polar": polar_chart(model),
        "speed_techniques": run_chart(model),
        "speed_heel": heel_chart(model),
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
