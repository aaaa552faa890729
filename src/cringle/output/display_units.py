"""Quantities in sentences, in the units the boat's people read: metric, or inch and pound.

Tools speak millimetres, kilograms and newtons. Here, and nowhere else, a finished sentence is turned for
a reader of inches and pounds. JSON keys carry their unit and are never turned.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from typing import Final

from cringle.constants import POUND_KG, STANDARD_GRAVITY_M_PER_S2
from cringle.units import kilograms_to_pounds, millimetres_to_inches

METRIC: Final = "metric"
NUMBER: Final = r"[+−-]?\d+(?:\.\d+)?"
QUANTITY: Final = re.compile(rf"({NUMBER})((?: to |–)({NUMBER}))? (mm|kg|N)\b(?!/| m)")
"""A number or a range before a unit; a newton metre or a rate a metre is left alone."""


def _pounds_force(newtons: float) -> float:
    return newtons / (POUND_KG * STANDARD_GRAVITY_M_PER_S2)


TURNS: Final[dict[str, tuple[Callable[[float], float], str, int]]] = {
    "mm": (millimetres_to_inches, "in", 2),
    "kg": (kilograms_to_pounds, "lb", 0),
    "N": (_pounds_force, "lbf", 0),
}
"""Metric unit to the conversion, the other unit, and the decimals worth showing."""


def in_display_units(text: str, units: str) -> str:
    """Return a sentence with its quantities in a boat's display units.

    Parameters
    ----------
    text : str
        A finished sentence with numbers before mm, kg or N.
    units : str
        ``metric`` leaves it as it is; ``inch-pound`` turns it.
    """
    return text if units == METRIC else QUANTITY.sub(_turned, text)


def lines_in_display_units(lines: Iterable[str], units: str) -> Iterator[str]:
    """Yield sentences in a boat's display units."""
    return (in_display_units(line, units) for line in lines)


def _turned(found: re.Match[str]) -> str:
    convert, unit, decimals = TURNS[found[4]]

    def one(number: str) -> str:
        value = convert(float(number.replace("−", "-")))
        sign = "+" if number.startswith("+") else ""
        return f"{sign}{value:.{decimals}f}".replace("-", "−")

    if found[2] is None:
        return f"{one(found[1])} {unit}"
    joint = " to " if " to " in found[2] else "–"
    return f"{one(found[1])}{joint}{one(found[3])} {unit}"
