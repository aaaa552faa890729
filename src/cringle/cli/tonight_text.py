"""The dock's page as text: at most 40 lines of 80 columns, in the order in which a crew acts on it."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Sequence
from typing import Final

from cringle.book.local_time import clock_text
from cringle.cli.text_rule import WIDTH, ring
from cringle.output.wording import mark_text, printable, shortened, signed_text
from cringle.settings.moves import Move
from cringle.settings.tonight import Tonight
from cringle.workflows.round.dock import Dock

MOST_LINES: Final = 40
INDENT: Final = 9
MOST_OF: Final = {"head": 2, "notes": 2, "rig": 3, "numbers": 12, "moves": 5}
"""Most lines of the sections that grow."""

ROLE_WIDTH, CELL_WIDTH = 20, 8
MOVES_SAID: Final = 6
LAST_WORD: Final = "Class rules, sailing instructions and a qualified rigger have the last word."
SENSES: Final = ("see", "feel", "hear", "helm")


def dock_text(found: Dock) -> str:
    """Return the dock's page."""
    tonight, locked = found.tonight, found.moment.is_locked
    sections = [
        _head(found),
        _rig(found),
        _numbers(tonight),
        _said("Changed", _changes(found), most=2),
        _said("Heel", _heel(tonight), most=3),
        _said("Places", _places(tonight), most=3),
        _said("Run", _run(tonight), most=2),
        _moves(found),
        [*_said("Goal", tonight.goal, most=1), *_said("Trial", tonight.trial, most=1)],
        [] if locked else _said("Ready", _ready(found), most=2),
        _said(*_cautions(tonight), most=2),
        [LAST_WORD] if locked else [f"{'Print':<{INDENT}}cringle card {_options(tonight)}", LAST_WORD],
    ]
    return "\n".join(_spaced([one for one in sections if one])) + "\n"


def _spaced(sections: Sequence[Sequence[str]]) -> list[str]:
    """Return the lines, with blank lines between sections as far as the page has room, most needed first."""
    room = MOST_LINES - sum(len(one) for one in sections)
    lines: list[str] = []
    for place, section in enumerate(sections):
        if lines and room > 0 and place in (2, 3, 7, 8):
            lines.append("")
            room -= 1
        lines += section
    return lines


def clipped(label: str, words: str, *, most: int) -> list[str]:
    """Return a labelled paragraph of at most so many lines, with an ellipsis where it was cut."""
    return textwrap.wrap(
        printable(words),
        WIDTH,
        initial_indent=f"{label:<{INDENT}}",
        subsequent_indent=" " * INDENT,
        max_lines=most,
        placeholder=" …",
        break_on_hyphens=False,
    )


def _said(label: str, words: str | None, *, most: int) -> list[str]:
    return clipped(label, words, most=most) if words else []


def _head(found: Dock) -> list[str]:
    wind = found.tonight.wind
    span = "" if wind.low_kn is None else f" ({wind.low_kn:.0f} to {wind.high_kn:.0f})"
    gust = "" if wind.gust_kn is None else f", gusts {wind.gust_kn:.0f}"
    what = f"{found.tonight.sea}, {found.tonight.sail_set_name}"
    where = f"{wind.wind_kn:.0f} kn{span}{gust} at {wind.height_m:g} m, {what}"
    title = shortened(f"{found.tonight.boat}: {where}", WIDTH)
    notes = ". ".join((*found.notes, *wind.notes))
    return [title, "=" * WIDTH, *_said("Note", notes, most=MOST_OF["notes"])]


def _rig(found: Dock) -> list[str]:
    rig = found.tonight.rig
    turns = ", ".join(_turn(found.tonight, role) for role in rig.turns)
    words = (
        "no numbers for the screws"
        if rig.row_kn is None
        else f"{turns} turns from the base tune; {_until(found)}"
    )
    first = [] if found.moment.is_locked else _said("FIRST", found.tonight.first + ".", most=2)
    return [*_said("RIG NOW", words + ".", most=MOST_OF["rig"]), *first]


def _turn(tonight: Tonight, role: str) -> str:
    number = tonight.numbers.provenance(role)
    return f"{tonight.scales[role].name} {signed_text(tonight.rig.turns[role])} {ring(number)}"


def _until(found: Dock) -> str:
    """Return until when each screw may change."""
    if found.moment.is_locked:
        return "no change while racing"
    signal = found.moment.signal
    when = (
        "the preparatory signal" if signal is None else f"the signal at {clock_text(signal, found.zone)[:5]}"
    )
    states: dict[str, list[str]] = {}
    for role, state in found.tonight.rig.rule_state.items():
        states.setdefault(str(state.value), []).append(found.tonight.scales[role].name)
    return "; ".join(
        f"{', '.join(names)}: {f'until {when}' if state == 'between races' else state}"
        for state, names in states.items()
    )


def _numbers(tonight: Tonight) -> list[str]:
    """Return the start numbers by person, two roles a line; those that do not fit are counted."""
    gears = tonight.numbers.gears[:3]
    if not gears:
        return clipped("Numbers", "none in the table for these sails yet", most=1)
    side_by_side = 2 if len(gears) <= 2 else 1
    width = ROLE_WIDTH + CELL_WIDTH * len(gears)
    head = "".join(f"{gear[: CELL_WIDTH - 1]:<{CELL_WIDTH}}" for gear in gears)
    lines = [(" " * INDENT + f"{' ' * ROLE_WIDTH}{head}" * side_by_side).rstrip()]
    for person in tonight.people:
        roles = [role for role in tonight.roles_of(person) if role not in tonight.rig.turns]
        for start in range(0, len(roles), side_by_side):
            cells = [_cell(tonight, role, gears) for role in roles[start : start + side_by_side]]
            name = shortened(person, INDENT - 1).upper() if start == 0 else ""
            lines.append(f"{name:<{INDENT}}{''.join(f'{one:<{width}}' for one in cells)}".rstrip())
    if len(lines) <= MOST_OF["numbers"]:
        return lines
    kept = lines[: MOST_OF["numbers"] - 1]
    return [*kept, f"{'':<{INDENT}}… {len(lines) - len(kept)} more lines of numbers: cringle today"]


def _cell(tonight: Tonight, role: str, gears: Iterable[str]) -> str:
    found = [tonight.numbers.find(gear, role) for gear in gears]
    cells = ["–" if one is None else f"{mark_text(one.value)} {ring(one.number)}" for one in found]
    name = shortened(tonight.scales[role].name, ROLE_WIDTH - 1)
    return f"{name:<{ROLE_WIDTH}}" + "".join(f"{cell:<{CELL_WIDTH}}" for cell in cells)


def _changes(found: Dock) -> str | None:
    said = [
        f"{one.name} {mark_text(one.now)} (was {mark_text(one.before)}; {one.who}: {one.why})"
        for one in found.changed
    ]
    return f"since {found.last}: {'; '.join(said)}" if said else None


def _heel(tonight: Tonight) -> str:
    heel = tonight.heel
    number = "no target on record" if heel is None else f"{round(heel.value)}° {ring(heel)} to leeward"
    cues = [f"{sense}: {tonight.cues[sense]}" for sense in SENSES if sense in tonight.cues]
    return ". ".join([number, *cues]) + "."


def _places(tonight: Tonight) -> str:
    return "; ".join(f"{one.person} {one.station_name or one.station}, {one.posture}" for one in tonight.crew)


def _run(tonight: Tonight) -> str | None:
    call = tonight.call
    if call is None:
        return "no call on record."
    said = [call.technique, None if call.jib is None else f"jib {call.jib}", call.lane]
    flips = "" if call.flips_at_kn is None else f"; changes at {call.flips_at_kn:.0f} kn"
    worth = "" if call.margin_m_per_min is None else f"; worth {call.margin_m_per_min:.0f} m a minute"
    return ", ".join(one for one in said if one) + flips + worth + "."


def _moves(found: Dock) -> list[str]:
    """Return the largest moves to the next wind down and up."""
    if found.moment.is_locked:
        return []
    tonight, lines = found.tonight, []
    below = [one.to_wind_kn for one in tonight.moves if one.to_wind_kn < tonight.wind.wind_kn]
    above = [one.to_wind_kn for one in tonight.moves if one.to_wind_kn > tonight.wind.wind_kn]
    for wind_kn in (*below[:1], *above[:1]):
        moves = sorted(
            (one for one in tonight.moves if one.to_wind_kn == wind_kn), key=lambda one: -abs(one.steps)
        )
        lines += clipped(f"If {wind_kn:.0f} kn", _move_list(moves), most=MOST_OF["moves"] // 2)
    return lines


def _move_list(moves: Sequence[Move]) -> str:
    said = ", ".join(f"{one.name.replace(', ', ' ')} {mark_text(one.end)}" for one in moves[:MOVES_SAID])
    rest = len(moves) - MOVES_SAID
    return said + (f"; {rest} smaller: cringle today" if rest > 0 else "")


def _ready(found: Dock) -> str:
    open_ = [one.item.check for one in found.ready.ticks if not one.ticked]
    done = len(found.ready.ticks) - len(open_)
    if not found.ready.ticks:
        return "no check list in survey.toml"
    rest = f"; next: {open_[0]}" if open_ else ""
    return f"{done} of {len(found.ready.ticks)} ticked{rest}."


def _cautions(tonight: Tonight) -> tuple[str, str | None]:
    """Return cautions with their label, what is only a note after them."""
    real = [one for one in tonight.cautions if one not in tonight.notes]
    words = ". ".join([*real, *tonight.notes])
    return ("Caution" if real else "Note"), words or None


def _options(tonight: Tonight) -> str:
    """Return the options that print the same on a card."""
    wind = tonight.wind
    span = "" if wind.low_kn is None else f" --low {wind.low_kn:g} --high {wind.high_kn:g}"
    gust = "" if wind.gust_kn is None else f" --gust {wind.gust_kn:g}"
    return f"--wind {wind.wind_kn:g}{span}{gust} --sea {tonight.sea}"
