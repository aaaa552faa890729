"""Arguments of the form NAME=NUMBER."""

from __future__ import annotations

import math
from collections.abc import Sequence

from cringle.errors import InputError


def pairs(arguments: Sequence[str], form: str) -> dict[str, float]:
    """Return the numbers by name.

    Parameters
    ----------
    arguments : sequence of str
        Each ``name=number``.
    form : str
        How to write it, for the error: ``SAIL=HOURS``.

    Raises
    ------
    InputError
        One of them is not of that form, or a name comes twice.
    """
    found: dict[str, float] = {}
    for argument in arguments:
        name, equals, number = argument.partition("=")
        value = _number(number)
        if not name or not equals or value is None:
            raise InputError(f"{argument!r} is not {form}", next_step=f"write {form}, with a decimal point")
        if name in found:
            raise InputError(f"{name} is given twice", next_step="give it one number")
        found[name] = value
    return found


def _number(text: str) -> float | None:
    try:
        value = float(text)
    except ValueError:
        return None
    return value if math.isfinite(value) else None
