"""Two boats compared, as sentences and as one HTML page."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from cringle.boat.write import write_atomically
from cringle.output.report import page_html
from cringle.output.report_words import MINUS, counted, number
from cringle.output.wording import html_text
from cringle.track.pair.interval import Mean
from cringle.track.pair.pair import Pair, Stretch

WIDTH: Final = 360.0
HEIGHT: Final = 200.0
MARGIN: Final = 28.0
KINDS: Final = (("up", "On beats"), ("run", "On runs"))


def write_pair(found: Pair, path: Path) -> None:
    """Write the page, whole or not at all.

    Raises
    ------
    BookError
        The file cannot be written; an older one stays as it was.
    """
    write_atomically(path, pair_html(found).encode("utf-8"))


def signed(value: float) -> str:
    """Return metres with their sign."""
    return f"{'+' if value >= 0.0 else MINUS}{number(abs(value))}"


def mean_words(name: str, mean: Mean) -> str:
    """Return a mean with its interval in a sentence."""
    head = f"{name}: {signed(mean.value)} m a minute"
    if mean.low is None or mean.high is None:
        return f"{head}; one stretch alone gives no interval."
    return f"{head} (nine chances in ten: {signed(mean.low)} to {signed(mean.high)})."


def pair_sentences(found: Pair) -> list[str]:
    """Return the comparison in short sentences, the trade's form first."""
    said = [
        f"{found.first} against {found.second}: {found.words}.",
        f"From {number(found.minutes, 0)} min on the same leg and tack,"
        f" in {counted(len(found.stretches), 'stretch')}.",
        mean_words("Gain", found.gain),
        mean_words("Of it by height", found.height),
        mean_words("Of it by speed", found.speed),
    ]
    said.extend(_kind(name, found.of_kind(kind)) for kind, name in KINDS)
    return [*(one for one in said if one), *_turns(found)]


def _kind(name: str, stretches: tuple[Stretch, ...]) -> str:
    if not stretches:
        return ""
    mean = sum(one.gain_m_per_min for one in stretches) / len(stretches)
    return f"{name}: {signed(mean)} m a minute over {counted(len(stretches), 'stretch')}."


def _turns(found: Pair) -> list[str]:
    """Return who gained at which manoeuvre: the three largest."""
    mine = [one for one in found.manoeuvres if one.boat == found.first and one.gain_m is not None]
    largest = sorted(mine, key=lambda one: -abs(one.gain_m or 0.0))[:3]
    return [
        f"{one.kind.capitalize()} at {one.at:%H:%M:%S} UTC: {found.first} "
        f"{'gained' if (one.gain_m or 0.0) >= 0.0 else 'lost'} {number(abs(one.gain_m or 0.0), 0)} m on"
        f" {found.second}."
        for one in largest
    ]


def pair_html(found: Pair) -> str:
    """Return the whole page. Every name is escaped."""
    title = f"{found.first} and {found.second}"
    return page_html(title, f"<header><h1>{html_text(title)}</h1></header>{pair_body(found)}")


def pair_body(found: Pair) -> str:
    """Return everything below the heading, for a page that has the report's style."""
    said = "".join(f"<li>{html_text(one)}</li>" for one in pair_sentences(found))
    return (
        f"<section><h2>Side by side</h2><ul>{said}</ul>"
        f"<figure>{gain_svg(found)}<figcaption>Each bar is half a minute on one leg and tack: up is a gain of"
        f" {html_text(found.first)}. Hollow bars are runs.</figcaption></figure></section>"
    )


def gain_svg(found: Pair) -> str:
    """Return the gain of each minute as bars in order of time, one for each stretch."""
    gains = [one.gain_m_per_min for one in found.stretches]
    top = max(10.0, *(abs(one) for one in gains))
    middle, scale = HEIGHT / 2.0, (HEIGHT / 2.0 - MARGIN) / top
    step = (WIDTH - 48.0) / len(gains)
    bars = "".join(
        f'<rect class="{_bar_class(one)}" x="{44.0 + place * step:.1f}" '
        f'y="{middle - max(one.gain_m_per_min, 0.0) * scale:.1f}" width="{max(step - 2.0, 1.0):.1f}" '
        f'height="{max(abs(one.gain_m_per_min) * scale, 0.8):.1f}"/>'
        for place, one in enumerate(found.stretches)
    )
    words = html_text(f"Gain of {found.first} on {found.second}, stretch by stretch")
    return (
        f'<svg class="ledger" viewBox="0 0 {WIDTH:g} {HEIGHT:g}" role="img" aria-label="{words}">'
        f'<path class="level" d="M40 {middle:g}H{WIDTH:g}M40 {MARGIN:g}V{HEIGHT - MARGIN:g}"/>'
        f'<text x="36" y="{MARGIN + 5:g}" text-anchor="end">+{top:.0f}</text>'
        f'<text x="36" y="{middle + 5:g}" text-anchor="end">0</text>'
        f'<text x="36" y="{HEIGHT - MARGIN + 5:g}" text-anchor="end">{MINUS}{top:.0f}</text>'
        f'<text x="40" y="{HEIGHT - 4:g}">metres a minute</text>{bars}</svg>'
    )


def _bar_class(one: Stretch) -> str:
    if one.kind == "run":
        return "hollow-bar"
    return "gain" if one.gain_m_per_min >= 0.0 else "cost"
