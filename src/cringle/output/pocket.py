"""The pocket page: one self-contained HTML file with every number made beforehand; the page only looks up."""

from __future__ import annotations

import base64
import hashlib
import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, Final

from cringle.output.palette import DARK, LIGHT, css_variables
from cringle.output.wording import html_text, mark_text, printable
from cringle.settings.moves import Move
from cringle.settings.tonight import Tonight

FORMAT: Final = "cringle-pocket/1"
MOST_BYTES: Final = 500_000
HERE: Final = Path(__file__).parent
RULE_41: Final = "No advice while racing (RRS 41; class rules and sailing instructions may say more)."
LAST_WORD: Final = "The class rules, the sailing instructions and a qualified rigger have the last word."


@dataclass(frozen=True)
class PocketPlay:
    """A play: title, what is said and done in order as (who, words, when [s]), and its picture as SVG."""

    title: str
    summary: str
    steps: tuple[tuple[str, str, float], ...]
    picture: str = ""


@dataclass(frozen=True)
class Pocket:
    """What goes on the page.

    Parameters
    ----------
    made : str
        When it was made, in words.
    tonight : Tonight
        For tonight's conditions.
    winds : sequence of (float, Tonight)
        For every half knot as entered [kn].
    plays : sequence of PocketPlay
        Plays that can be done.
    """

    made: str
    tonight: Tonight
    winds: Sequence[tuple[float, Tonight]]
    plays: Sequence[PocketPlay]


@cache
def _asset(name: str) -> str:
    return (HERE / name).read_text(encoding="utf-8")


def pocket_html(pocket: Pocket) -> str:
    """Return the page; pictures of the last plays are left out where it would be longer than `MOST_BYTES`."""
    plays = list(pocket.plays)
    text = _page(pocket, plays)
    while len(text.encode("utf-8")) > MOST_BYTES and any(one.picture for one in plays):
        last = max(place for place, one in enumerate(plays) if one.picture)
        plays[last] = PocketPlay(plays[last].title, plays[last].summary, plays[last].steps)
        text = _page(pocket, plays)
    return text


def _page(pocket: Pocket, plays: Sequence[PocketPlay]) -> str:
    script, style = _asset("pocket.js"), _style()
    policy = f"default-src 'none'; script-src {_hash(script)}; style-src 'unsafe-inline'; img-src data:"
    boat = html_text(pocket.tonight.boat)
    parts = [
        '<!doctype html><html lang="en"><head><meta charset="utf-8">',
        f'<meta http-equiv="Content-Security-Policy" content="{policy}">',
        '<meta name="viewport" content="width=device-width, initial-scale=1">',
        f"<title>{boat}, pocket page</title><style>{style}</style></head><body>",
        f'<main><h1>{boat}</h1><p class="small">Made {html_text(pocket.made)}. {RULE_41}</p>',
        *_lookup(),
        *_fixed(pocket.tonight),
        *_plays(plays),
        _asset("pocket_notes.html"),
        *_tables(pocket),
        f'<p class="small">{LAST_WORD}</p></main>',
        f'<script type="application/json" id="data">{_json(_data(pocket, plays))}</script>',
        f"<script>{script}</script></body></html>",
    ]
    return "\n".join(parts)


def _style() -> str:
    sheet = _asset("pocket.css")
    return sheet.replace("/*LIGHT*/", css_variables(LIGHT)).replace("/*DARK*/", css_variables(DARK))


def _hash(script: str) -> str:
    digest = base64.b64encode(hashlib.sha256(script.encode("utf-8")).digest()).decode("ascii")
    return f"'sha256-{digest}'"


def _json(data: Any) -> str:
    """Return JSON that can stand inside a script element: nothing in it ends the element."""
    return json.dumps(data, ensure_ascii=False, allow_nan=False, separators=(",", ":")).replace(
        "<", "\\u003c"
    )


def _data(pocket: Pocket, plays: Sequence[PocketPlay]) -> dict[str, Any]:
    scales = pocket.tonight.scales
    return {
        "format": FORMAT,
        "boat": pocket.tonight.boat,
        "made": pocket.made,
        "wind": f"{pocket.tonight.wind.entered_kn:g}",
        "roles": {role: [one.name, one.unit, one.low, one.high] for role, one in scales.items()},
        "winds": {f"{wind:g}": _numbers(one) for wind, one in pocket.winds},
        "plays": [[one.title, [[who, words] for who, words, _ in one.steps]] for one in plays],
    }


def _numbers(tonight: Tonight) -> dict[str, Any]:
    found = tonight.numbers
    return {
        "heel": None if tonight.heel is None else f"{tonight.heel.value:.0f}°",
        "people": [
            [
                person,
                [
                    [role, [_cell(tonight, gear, role) for gear in found.gears]]
                    for role in tonight.roles_of(person)
                ],
            ]
            for person in tonight.people
        ],
        "gears": list(found.gears),
    }


def _cell(tonight: Tonight, gear: str, role: str) -> str:
    """Return a number as text; a guess has its mark, beyond the table it says so."""
    found = tonight.numbers.find(gear, role)
    if found is None:
        return "–"
    guess = "~" if found.number.source.value == "guess" else ""
    return guess + mark_text(found.value) + (" held" if found.held else "")


def _lookup() -> Iterator[str]:
    yield '<section id="lookup" hidden><h2>Wind now</h2><div class="steps">'
    yield '<button type="button" id="less" aria-label="Half a knot less">− ½</button>'
    yield '<output id="wind"></output>'
    yield '<button type="button" id="more" aria-label="Half a knot more">+ ½</button></div>'
    yield '<div id="numbers"></div><button type="button" id="lock">Preparatory signal: lock</button>'
    yield f'<p id="locked" hidden><strong>Racing.</strong> The numbers are fixed. {RULE_41}</p></section>'
    yield '<p id="still">No script runs here: the tables below have every number.</p>'


def _fixed(tonight: Tonight) -> Iterator[str]:
    wind = tonight.wind
    yield f"<section><h2>Tonight: {wind.entered_kn:g} kn, {html_text(tonight.sea)}</h2>"
    yield f"<p><strong>First:</strong> {html_text(tonight.first)}.</p>"
    yield "<h3>Places</h3><ul>"
    for one in tonight.crew:
        where = f"{one.station_name or one.station}, {one.posture}"
        yield f"<li><strong>{html_text(one.person)}</strong> {html_text(where)}</li>"
    yield "</ul>"
    for sense, words in tonight.cues.items():
        yield f"<p><strong>{html_text(sense)}:</strong> {html_text(words)}</p>"
    yield f'<h3>Run</h3><p>{html_text(_call(tonight))}</p><div id="moves">'
    for to_kn in dict.fromkeys(one.to_wind_kn for one in tonight.moves):
        yield f"<h3>If it goes to {to_kn:g} kn</h3><ul>"
        yield from (f"<li>{_move(one)}</li>" for one in tonight.moves if one.to_wind_kn == to_kn)
        yield "</ul>"
    yield "</div>"
    for caution in tonight.cautions:
        yield f'<p class="caution">{html_text(caution)}.</p>'
    yield "</section>"


def _move(one: Move) -> str:
    words = f"{one.name} {one.word} to {mark_text(one.end)}"
    when = "" if one.while_racing else f" ({one.rule_state.value})"
    return f"<strong>{html_text(one.who)}</strong> {html_text(words + when)}"


def _call(tonight: Tonight) -> str:
    call = tonight.call
    if call is None:
        return "No call in the book: choose before the windward mark."
    said = [call.technique, f"jib {call.jib}" if call.jib else None, call.lane]
    flips = "" if call.flips_at_kn is None else f"; changes at {call.flips_at_kn:.0f} kn"
    return ", ".join(one for one in said if one) + flips


def _plays(plays: Sequence[PocketPlay]) -> Iterator[str]:
    yield '<section><h2>Plays</h2><div id="rehearsal" hidden></div>'
    for number, one in enumerate(plays):
        yield f"<details><summary>{html_text(one.title)}</summary><p>{html_text(one.summary)}</p>"
        yield f'<button type="button" class="rehearse" data-play="{number}" hidden>Rehearse</button><ol>'
        for who, words, at_s in one.steps:
            yield f"<li><strong>{html_text(who)}</strong> {html_text(words)} <small>{at_s:.0f} s</small></li>"
        yield f"</ol>{one.picture}</details>"
    yield "</section>"


def _tables(pocket: Pocket) -> Iterator[str]:
    """Yield one table a gear: a row for each half knot, a column for each role."""
    gears = dict.fromkeys(gear for _, one in pocket.winds for gear in one.numbers.gears)
    for gear in gears:
        own = [(wind, one) for wind, one in pocket.winds if gear in one.numbers.gears]
        roles = dict.fromkeys(role for _, one in own for role in one.numbers.roles)
        heads = "".join(f"<th>{html_text(pocket.tonight.scales[role].name)}</th>" for role in roles)
        yield f'<section><h2>Every number, {html_text(gear)}</h2><div class="scroll" tabindex="0">'
        yield f"<table><tr><th>kn</th>{heads}</tr>"
        for wind, one in own:
            cells = "".join(f"<td>{printable(_cell(one, gear, role))}</td>" for role in roles)
            yield f"<tr><th>{mark_text(wind)}</th>{cells}</tr>"
        yield "</table></div></section>"
