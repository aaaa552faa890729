"""Numbers of the models as pages write them: no finer than they are known, with a real minus sign."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import Any, Final

from cringle.output.wording import mark_text, real_minus

NONE: Final = "–"


def whole(value: float | None) -> str:
    """Return a number without decimals."""
    return decimals(value, 0)


def decimals(value: float | None, digits: int) -> str:
    """Return a number with so many decimals; a dash where there is none; never minus zero."""
    if value is None or not math.isfinite(value):
        return NONE
    return real_minus(f"{round(value, digits) + 0.0:.{digits}f}")


def signed_whole(value: float | None) -> str:
    """Return a change without decimals, with its sign."""
    text = whole(value)
    return f"+{text}" if value is not None and value >= 0.5 else text


def half(value: float | None) -> str:
    """Return a number to the nearest half: ``8½``."""
    return NONE if value is None else mark_text(round(2.0 * value) / 2.0)


def ends(row: Mapping[str, Any], name: str, digits: int = 0) -> str:
    """Return a number of a row with its interval: ``5.3 [5.0 to 5.5]``."""
    low, high = row.get(f"{name}_low"), row.get(f"{name}_high")
    text = decimals(row[name], digits)
    if text == NONE or low is None or high is None:
        return text
    return f"{text} [{decimals(low, digits)} to {decimals(high, digits)}]"


def first_up(text: str) -> str:
    """Return a sentence with its first letter large."""
    return text[:1].upper() + text[1:]


def spoken(name: str) -> str:
    """Return an identifier as a person says it: ``cap_port`` is ``cap port``."""
    return name.replace("_", " ")


FIGURES: Final[Mapping[str, Callable[..., str]]] = {
    "whole": whole,
    "decimals": decimals,
    "signed_whole": signed_whole,
    "half": half,
    "ends": ends,
    "first_up": first_up,
    "spoken": spoken,
}
"""Filters of the templates."""
