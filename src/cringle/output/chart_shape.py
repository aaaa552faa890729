"""A chart's specification made to fit where it stands: a phone's width, a page's own heading."""

from __future__ import annotations

from typing import Any, Final

NARROW_PX: Final = 216
WIDE_PX: Final = 560
"""Widths of the plot itself; axes and words at the end of lines come on top [px]."""

PADDING_PX: Final = {"left": 4, "top": 4, "right": 20, "bottom": 4}
"""Round the chart; on the right for words that a phone's own font writes wider [px]."""

PLOT_FROM_PX: Final = 200
"""A width from here on is a plot's, not a bar's [px]."""

NEVER_NARROWED: Final = 700
"""A plot as wide as this is a timeline: it is scrolled sideways, not squeezed [px]."""


def fitted(spec: dict[str, Any], *, wide: bool) -> dict[str, Any]:
    """Return a specification for a narrow or a wide place, without its heading: the page writes that itself.

    Parameters
    ----------
    spec : dict
        A Vega-Lite specification.
    wide : bool
        Whether there is room for the whole width.
    """
    own = {key: value for key, value in spec.items() if key != "title"}
    found = _sized(own, WIDE_PX if wide else NARROW_PX)
    return {**found, "padding": PADDING_PX}


def _sized(part: Any, width: int) -> Any:
    if isinstance(part, list):
        return [_sized(one, width) for one in part]
    if not isinstance(part, dict):
        return part
    found = {key: _sized(value, width) for key, value in part.items() if key != "values"}
    if "values" in part:
        found["values"] = part["values"]
    own = found.get("width")
    if isinstance(own, int | float) and PLOT_FROM_PX <= own < NEVER_NARROWED:
        found["width"] = min(width, own) if width == WIDE_PX else width
    return found


def touchable(spec: dict[str, Any]) -> dict[str, Any]:
    """Return a specification whose marks tell their values under a finger or a pointer."""
    config = dict(spec.get("config", {}))
    return {**spec, "config": {**config, "mark": {**config.get("mark", {}), "tooltip": True}}}
