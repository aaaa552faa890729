"""Colours by role: two inks and one accent, in a light, a dark and a high-glare theme."""

from __future__ import annotations

from dataclasses import asdict, dataclass

from cringle.errors import InputError


@dataclass(frozen=True)
class Theme:
    """The colours of one theme.

    Parameters
    ----------
    name : str
        ``light``, ``dark`` or ``glare``.
    ground : str
        What everything is drawn on.
    ink : str
        Text and lines.
    fog : str
        Ticks and rules, at least 3:1 on the ground.
    tape : str
        The number, the one thing to do.
    on_tape : str
        Figures written on the tape.
    kelp : str
        Agrees, within the band.
    rust : str
        Outside the band, caution; always with a word.
    """

    name: str
    ground: str
    ink: str
    fog: str
    tape: str
    on_tape: str
    kelp: str
    rust: str


LIGHT = Theme("light", "#F7F3E9", "#12313A", "#7C8A87", "#B8430A", "#F7F3E9", "#2C6A52", "#8C2F1B")
DARK = Theme("dark", "#0C1719", "#E9E3D3", "#6F8488", "#FF8A4C", "#0C1719", "#7CC3A1", "#F2A28F")
GLARE = Theme("glare", "#FFFFFF", "#000000", "#000000", "#000000", "#FFFFFF", "#000000", "#000000")
PAGE = Theme(
    "page",
    "var(--ground)",
    "var(--ink)",
    "var(--fog)",
    "var(--tape)",
    "var(--on-tape)",
    "var(--kelp)",
    "var(--rust)",
)
"""Colours by name, so that one drawing follows whichever theme the page has."""

THEMES = {theme.name: theme for theme in (LIGHT, DARK, GLARE)}


def theme_named(name: str) -> Theme:
    """Return a theme by its name.

    Raises
    ------
    InputError
        There is no such theme; the message lists the names.
    """
    if name not in THEMES:
        raise InputError(f"no theme {name!r}", next_step=f"choose one of: {', '.join(THEMES)}")
    return THEMES[name]


def css_variables(theme: Theme) -> str:
    """Return the theme as CSS custom properties, such as ``--tape: #B8430A;``."""
    roles = {key: value for key, value in asdict(theme).items() if key != "name"}
    return " ".join(f"--{key.replace('_', '-')}: {value};" for key, value in roles.items())


def relative_luminance(colour: str) -> float:
    """Return the relative luminance of ``#RRGGBB``, 0 to 1 (W3C, WCAG 2.1, definition)."""
    channels = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.03928 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast_ratio(one: str, other: str) -> float:
    """Return the contrast ratio of two colours, 1 to 21 (W3C, WCAG 2.1, success criterion 1.4.3)."""
    low, high = sorted((relative_luminance(one), relative_luminance(other)))
    return (high + 0.05) / (low + 0.05)
