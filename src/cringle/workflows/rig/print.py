"""Answers about the rig on paper and as pictures; every file is replaced whole or not at all."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

from cringle.boat.write import write_atomically
from cringle.output.palette import LIGHT, Theme
from cringle.output.rig_pictures import geometry_svg, picture, sheet_svg, travel_svg
from cringle.output.rig_sheet_pdf import tune_sheet_pdf
from cringle.physics.bridle import bridle_kind
from cringle.rig.model import bridle_of
from cringle.units import millimetres_to_metres
from cringle.workflows.rig.backstay import BackstayAnswer
from cringle.workflows.rig.rig import SheetAnswer


def print_sheet(
    found: SheetAnswer, *, pdf: Path | None = None, picture: Path | None = None, made: datetime | None = None
) -> list[Path]:
    """Write a tune sheet as PDF and as a picture; return what was written.

    Parameters
    ----------
    found : SheetAnswer
        The sheet.
    pdf, picture : Path or None
        Files to write; ``.svg`` or ``.png`` for the picture.
    made : datetime or None
        Date on the sheet; now when left out.

    Raises
    ------
    InputError
        A picture in another format.
    BookError
        A file cannot be written.
    """
    written = []
    if pdf is not None:
        rules = {
            role: f"{when}, class rule {found.rules[role]}" if role in found.rules else when
            for role, when in found.rule_states.items()
        }
        data = tune_sheet_pdf(
            found.rows, found.boat, rules=rules, warnings=found.warnings, made=made or datetime.now(UTC)
        )
        written.append(_write(pdf, data))
    if picture is not None:
        written.append(_picture(picture, sheet_svg(found.rows, f"Tune sheet, {found.boat}")))
    return written


def _write(path: Path, data: bytes) -> Path:
    write_atomically(path, data)
    return path


def _picture(path: Path, svg: str) -> Path:
    return _write(path, picture(svg, path.suffix))


def print_backstay(
    found: BackstayAnswer, *, travel: Path | None = None, geometry: Path | None = None
) -> list[Path]:
    """Write pictures of the backstay's travel and geometry; return what was written.

    Raises
    ------
    InputError
        A picture in another format.
    """
    written = []
    if travel is not None:
        title = f"Backstay of {found.boat}, upwind in {found.wind_kn:g} kn"
        written.append(_picture(travel, travel_svg(found.rows, found.winds, title)))
    if geometry is not None:
        written.append(_picture(geometry, geometry_picture(found)))
    return written


def geometry_picture(found: BackstayAnswer, theme: Theme = LIGHT) -> str:
    """Return the bridle seen from astern, untouched and hauled to half travel, as SVG."""
    backstay = found.backstay
    bridle, kind = bridle_of(backstay), bridle_kind(backstay.kind)
    row = min(found.rows, key=lambda one: abs(one.travel_pct - 50.0))
    pull = millimetres_to_metres(row.pull_mm)
    apex = bridle.apex_height
    low = apex - float(kind.take_up(bridle, pull))
    ring = (0.0, apex - pull) if backstay.kind == "ring" else (0.0, low)
    points = {
        "apex": (0.0, apex),
        "ring": ring,
        "hauled_apex": (0.0, low),
        "half_width": (bridle.half_width, 0.0),
        "top": (0.0, apex * 1.35),
    }
    labels = [
        f"Upper leg {bridle.upper:.2f} m, legs {bridle.leg:.2f} m, "
        f"quarters {2 * bridle.half_width:.2f} m apart",
        f"Hauled {row.pull_mm:.0f} mm: takes up {row.take_up_mm:.0f} mm,",
        f"upper leg {row.load_n:.0f} N, hand {row.hand_load_n:.0f} N in {found.wind_kn:g} kn.",
    ]
    return geometry_svg(points, labels, f"Backstay of {found.boat}, seen from astern", theme=theme)
