"""Numbers and texts as people read them: halves with their own sign, units said, nothing taken as markup."""

from __future__ import annotations

import html
import math
import re

MINUS = "−"
_FRACTIONS = {0.0: "", 0.25: "¼", 0.5: "½", 0.75: "¾"}
_NEAR = 1e-6
_NOTHING = re.compile(r"(?<![\w.)-])-(?=0(?:\.0+)?(?![\d.]*[1-9]))")
_NEGATIVE = re.compile(r"(?<![\w.)-])-(?=\d)")
PLURAL = {"mark": "marks", "turn": "turns"}


def mark_text(value: float) -> str:
    """Return a number of marks or turns: ``4½``, ``−½``, ``0``; a tenth when it is no quarter.

    Examples
    --------
    >>> mark_text(4.5), mark_text(-0.5), mark_text(12.0), mark_text(3.3)
    ('4½', '−½', '12', '3.3')
    """
    if not math.isfinite(value):
        return "–"
    sign = MINUS if value < -_NEAR else ""
    size = abs(value)
    whole = math.floor(size + _NEAR)
    part = next((text for step, text in _FRACTIONS.items() if abs(size - whole - step) < _NEAR), None)
    if part is None:
        return sign + f"{size:.1f}"
    digits = str(whole) if whole or not part else ""
    return sign + digits + part


def signed_text(value: float) -> str:
    """Return a change with its sign: ``+1½``, ``−2``, ``0``."""
    return f"+{mark_text(value)}" if value > _NEAR else mark_text(value)


def real_minus(text: str) -> str:
    """Return a text whose negative numbers carry a minus sign, and nothing before zero; other hyphens stay.

    Examples
    --------
    >>> real_minus("lower port -8.5 N on 2026-06-17")
    'lower port −8.5 N on 2026-06-17'
    """
    return _NEGATIVE.sub(MINUS, _NOTHING.sub("", text))


def with_unit(value: float, unit: str) -> str:
    """Return a number of marks or turns with its unit: ``1 mark``, ``4½ marks``."""
    word = unit if abs(abs(value) - 1.0) < _NEAR else PLURAL.get(unit, unit)
    return f"{mark_text(value)} {word}".rstrip()


def role_text(role: str) -> str:
    """Return a role as a person says it: ``jib_sheet_leeward`` is ``Jib sheet, leeward``."""
    words = role.replace("_", " ")
    for side in ("leeward", "windward"):
        if words.endswith(f" {side}"):
            words = f"{words.removesuffix(f' {side}')}, {side}"
    return words[:1].upper() + words[1:]


def printable(text: str) -> str:
    """Return a text on one line, with anything that cannot be printed left out."""
    return " ".join("".join(one if one.isprintable() else " " for one in text).split())


def shortened(text: str, most: int) -> str:
    """Return a text of at most so many characters, with an ellipsis where it was cut.

    Examples
    --------
    >>> shortened("jib sheet", 6), shortened("jib", 6)
    ('jib s…', 'jib')
    """
    clean = printable(text)
    return clean if len(clean) <= most else clean[: most - 1].rstrip() + "…"


def typst_string(text: str) -> str:
    r"""Return a text as a string literal of the typesetter, so that nothing in it is markup or code.

    Examples
    --------
    >>> typst_string('say "#panic()"')
    '"say \\"#panic()\\""'
    """
    clean = printable(text).replace("\\", "\\\\").replace('"', '\\"')
    return f'"{clean}"'


def html_text(text: str) -> str:
    """Return a text safe inside HTML and SVG, in elements and in quoted attributes."""
    return html.escape(printable(text), quote=True)
