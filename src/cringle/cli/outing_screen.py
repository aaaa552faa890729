"""Outings, goals and actions as text for people, or as JSON."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from zoneinfo import ZoneInfo

from rich.markup import escape

from cringle.book.local_time import clock_text
from cringle.book.outing_notes import Action, WindNote
from cringle.book.outings import Outing, settings_in_force
from cringle.cli.common import console, emit_json, find_book
from cringle.workflows.numbers.display import shown
from cringle.workflows.outings.as_json import outing_as_json, record_as_json

TIMES = {1: "once", 2: "twice"}
SIGN = {"open": "·", "met": "+", "not met": "-"}


def show(outing: Outing, *, as_json: bool, book: Path | None) -> None:
    """Print the record of one day, in the boat's display units."""
    if as_json:
        emit_json(outing_as_json(outing))
        return
    screen = console()
    for line in shown(find_book(book), outing_lines(outing)):
        screen.print(escape(line))


def outing_lines(outing: Outing) -> Iterator[str]:
    """Yield the record of one day, a line each; times by the boat's own clock."""
    zone = outing.zone
    until = "goes on" if outing.ended is None else f"to {clock_text(outing.ended, zone)}"
    place = outing.place or "no place given"
    yield f"Outing {outing.id}, {place}, from {clock_text(outing.started, zone)} {until}"
    yield from (f"  {clock_text(one.at, zone)}  wind   {wind_words(one)}" for one in outing.winds)
    yield from (f"  {clock_text(one.at, zone)}  sea    {one.sea}" for one in outing.seas)
    for crew in outing.crews:
        mass = "" if crew.mass_kg is None else f", {crew.mass_kg:.0f} kg"
        yield f"  {clock_text(crew.at, zone)}  crew   {', '.join(crew.people)}{mass}"
    for rig in outing.rigs:
        turns = ", ".join(f"{name} {value:+g}" for name, value in rig.turns.items())
        yield f"  {clock_text(rig.at, zone)}  rig    {' '.join(part for part in (turns, rig.text) if part)}"
    yield from _settings_lines(outing, zone)
    for sail, hours in outing.hours_by_sail.items():
        yield f"         sail   {sail} {hours:g} h"
    for note in outing.observations:
        tag, photo = (f" [{note.tag}]" if note.tag else ""), (f" ({note.file})" if note.file else "")
        yield f"  {clock_text(note.at, zone)}  note   {note.by} on {note.boat}: {note.text}{tag}{photo}"
    yield from (f"         log    {log.name}" for log in outing.logs)
    for goal in outing.goals:
        yield f"  goal {goal.id.rsplit('/', 1)[1]} {SIGN[goal.state]} {goal.text} ({goal.state})"
    yield from (f"  {line}" for line in map(action_line, outing.actions))


def _settings_lines(outing: Outing, zone: ZoneInfo) -> Iterator[str]:
    last = settings_in_force(outing, max((one.at for one in outing.settings), default=outing.started))
    for role, note in last.items():
        changes = sum(one.role == role for one in outing.settings) - 1
        said = f", changed {TIMES.get(changes, f'{changes} times')}" if changes > 0 else ""
        yield f"  {clock_text(note.at, zone)}  set    {role} {note.value:g} {note.unit}{said}"


def wind_words(wind: WindNote) -> str:
    """Return a wind as a person would say it, with where it was measured."""
    span = "" if wind.low_kn is None or wind.high_kn is None else f" ({wind.low_kn:g} to {wind.high_kn:g})"
    gust = "" if wind.gust_kn is None else f", gusts {wind.gust_kn:g}"
    source = "" if wind.direction_deg is None else f", from {wind.direction_deg:03.0f} deg"
    return f"{wind.wind_kn:g} kn{span}{gust}{source}, {wind.reference} at {wind.height_m:g} m"


def show_list(outings: Sequence[Outing], *, as_json: bool) -> None:
    """Print one line an outing."""
    if as_json:
        emit_json({"schema": 1, "outings": [outing_as_json(one) for one in outings]})
        return
    screen = console()
    for one in outings:
        wind = wind_words(one.winds[0]) if one.winds else "no wind noted"
        state = "goes on" if one.is_open else "ended"
        screen.print(escape(f"{one.id:11}  {one.place or '-':16}  {state:7}  {wind}"))
    if not outings:
        screen.print("no outing yet; begin one with: cringle outing start")


def show_actions(actions: Sequence[Action], *, as_json: bool) -> None:
    """Print actions, a line each."""
    if as_json:
        emit_json({"schema": 1, "actions": [record_as_json(one) for one in actions]})
        return
    screen = console()
    for action in actions:
        screen.print(escape(action_line(action)))
    if not actions:
        screen.print("no open action")


def action_line(action: Action) -> str:
    """Return an action as one line."""
    closed = "" if action.closed_in is None else f", closed {action.closed_in}"
    return f"action {action.id} {action.text} → {action.route} (opened {action.opened_in}{closed})"
