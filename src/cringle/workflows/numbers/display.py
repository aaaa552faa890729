"""Sentences of any tool in the units that a boat's people read."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path

from cringle.boat.toml_text import read_toml
from cringle.output.display_units import METRIC, lines_in_display_units


def display_units(folder: Path) -> str:
    """Return a boat's display units, ``metric`` or ``inch-pound``, from one look at its boat file."""
    boat = read_toml(folder / "boat.toml").data.get("boat", {})
    return str(boat.get("display_units", METRIC))


def shown(folder: Path, lines: Iterable[str]) -> Iterator[str]:
    """Yield finished sentences in the display units of the boat whose book this is."""
    return lines_in_display_units(lines, display_units(folder))
