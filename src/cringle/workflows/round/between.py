"""Between races: wind now, what to change from what is set, one sentence by the crew, keep or undo.

Everything but a crew's sentence is refused from the preparatory signal until the race is over.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from operator import itemgetter
from pathlib import Path
from typing import Any, Final

from cringle.boat.base import RuleState
from cringle.boat.book_files import BookFiles
from cringle.boat.read import read_book_files
from cringle.book.entries import NewEntry
from cringle.book.outing_notes import Observation, RigNote, SettingNote, note_entry, note_of
from cringle.book.outings import Outing, settings_in_force
from cringle.errors import InputError
from cringle.settings.aboard import people_aboard
from cringle.settings.moves import NOBODY, Move, moves_gear
from cringle.settings.names import known_name
from cringle.settings.records import TonightRequest
from cringle.settings.roles import steps_between, who_works
from cringle.settings.tonight import Tonight
from cringle.workflows.book_open import Records, open_records
from cringle.workflows.numbers.tonight import tonight
from cringle.workflows.outings.departure import Departure, departure_check
from cringle.workflows.outings.evening import share_conditions
from cringle.workflows.outings.moments import RULE_41, Clock, Moment, moment, require_unlocked, utc_now
from cringle.workflows.outings.outing import chosen_outing, outing_index, outing_named

MOST_MOVES: Final = 6

SENTENCES: Final = {
    "height": ("we held our height", "we could not hold our height"),
    "speed": ("we had our speed", "we lacked speed"),
    "start": ("we came off the line well", "we came off the line badly"),
    "manoeuvre": ("our manoeuvres were clean", "our manoeuvres cost us"),
}
"""What the crew can say by one choice: good and bad."""

KEPT: Final = "between_kept"


@dataclass(frozen=True)
class Between:
    """What the crew reads between two races.

    Parameters
    ----------
    moment : Moment
        Minutes to the preparatory signal; whether the content is fixed.
    tonight : Tonight or None
        The numbers for the wind now; None while racing.
    moves : tuple of Move
        At most six: screws first, then the largest.
    more : int
        How many smaller moves were left out.
    ashore : tuple of str
        What would have to change but may only be changed ashore.
    notes : tuple of str
        What was assumed; the rule while racing.
    ready : Departure
        The check before leaving the dock.
    """

    moment: Moment
    tonight: Tonight | None
    moves: tuple[Move, ...]
    more: int
    ashore: tuple[str, ...]
    notes: tuple[str, ...]
    ready: Departure


def between(folder: Path, request: TonightRequest, *, clock: Clock = utc_now) -> Between:
    """Return what to change for the wind now; while racing nothing but the rule.

    Parameters
    ----------
    folder : Path
        The book.
    request : TonightRequest
        The wind now, the sea, the sails and the people.
    clock : callable
        Gives the present instant.

    Raises
    ------
    InputError
        The request cannot be answered.
    """
    now = moment(folder, clock=clock)
    ready = departure_check(folder, at=now.now)
    if now.is_locked:
        return Between(now, None, (), 0, (), (RULE_41,), ready)
    files = read_book_files(folder)
    found = tonight(folder, request)
    standing, notes = stands_at(folder, now, found)
    moves = _moves(files, found, standing, request)
    allowed = [one for one in moves if one.rule_state is not RuleState.ASHORE]
    ashore = tuple(one.name for one in moves if one.rule_state is RuleState.ASHORE)
    ordered = sorted(allowed, key=lambda one: (not found.scales[one.role].is_rig, -abs(one.steps)))
    shown = _by_person(ordered[:MOST_MOVES], found)
    return Between(now, found, shown, max(0, len(ordered) - MOST_MOVES), ashore, notes, ready)


def _by_person(moves: list[Move], found: Tonight) -> tuple[Move, ...]:
    """Return screws first, then the moves of one person after another, in order of the first."""
    people = list(dict.fromkeys(one.who for one in moves))
    return tuple(sorted(moves, key=lambda one: (not found.scales[one.role].is_rig, people.index(one.who))))


def stands_at(folder: Path, now: Moment, found: Tonight) -> tuple[Mapping[str, float], tuple[str, ...]]:
    """Return which number each role has now, and what was assumed for those nobody noted.

    Of a screw the newest of counted turns, the rig noted and moves kept on any outing stands, for nobody sets
    screws anew in the morning. Of a line it is what was noted on the outing that goes on. For the rest the
    start numbers for the conditions everybody shares are taken.
    """
    with open_records(folder) as records:
        outing = _going_on(records)
        others = [one.id for one in outing_index(records) if one.is_open][:-1]
        noted = {} if outing is None else settings_in_force(outing, now.now)
        turns = screws_stand_at(records, now.now)
    shared = tonight(folder, now.evening.request)
    gear = moves_gear(shared.numbers)
    start = {one.role: one.value for one in shared.numbers.numbers if one.gear == gear}
    stands = {**start, **{role: note.value for role, note in noted.items()}, **turns}
    assumed = [role for role in found.numbers.roles if role not in noted and role not in turns]
    notes = _about_outing(outing, others, now.now)
    if not found.numbers.roles:
        notes.append("the table has no numbers for these sails yet: there is nothing to compare")
    if assumed:
        wind = shared.wind.wind_kn
        said = "" if now.evening.said_by else ", as nobody has entered the conditions"
        notes.append(
            f"{len(assumed)} of {len(found.numbers.roles)} numbers are not noted as set: taken as the start "
            f"numbers for {wind:.0f} kn{said}"
        )
    return stands, tuple(notes)


def _about_outing(outing: Outing | None, others: list[str], now: datetime) -> list[str]:
    """Return what was assumed about which outing this is."""
    if outing is None:
        return ["no outing goes on: begin one with cringle outing start"]
    notes = []
    if others:
        notes.append(
            f"{len(others) + 1} outings were never ended: {outing.id}, the newest, is taken; "
            f"end the others: cringle outing end --outing {others[0]}"
        )
    if now < outing.started:
        notes.append(
            f"the clock is before the start of outing {outing.id}: nothing noted on it counts yet; check both"
        )
    return notes


def _going_on(records: Records) -> Outing | None:
    names = [one.id for one in outing_index(records) if one.is_open]
    return outing_named(records, names[-1]) if names else None


def screws_stand_at(records: Records, now: datetime) -> dict[str, float]:
    """Return the turns of each screw role [turn]: the newest said of its screws, where they stand alike."""
    screws = records.files.boat_file.screws
    said = sorted(_turns_said(records, now), key=itemgetter(0))
    newest = {screw: turns for _, screw, turns in said}
    by_role: dict[str, set[float]] = {}
    for one in screws:
        if one.id in newest:
            by_role.setdefault(one.role, set()).add(newest[one.id])
    return {role: found.pop() for role, found in by_role.items() if len(found) == 1}


def _turns_said(records: Records, now: datetime) -> Iterator[tuple[datetime, str, float]]:
    """Yield when somebody said of a screw how many turns it stands at: noted up to now, or counted."""
    screws = records.files.boat_file.screws
    for entry in records.book.history("outing_setting"):
        note = note_of(entry)
        if isinstance(note, SettingNote) and note.unit == "turn" and note.at <= now:
            yield from ((note.at, one.id, note.value) for one in screws if one.role == note.role)
    for entry in records.book.history("outing_rig"):
        rig = note_of(entry)
        if isinstance(rig, RigNote) and rig.at <= now:
            yield from ((rig.at, screw, turns) for screw, turns in rig.turns.items())
    for entry in records.book.current("rig_turns"):
        if entry.number is not None:
            yield entry.at, entry.key.subject, entry.number.value


def _moves(
    files: BookFiles, found: Tonight, standing: Mapping[str, float], request: TonightRequest
) -> list[Move]:
    gear, people = moves_gear(found.numbers), people_aboard(files.crew_file, request.aboard)
    moves = []
    for one in (number for number in found.numbers.numbers if number.gear == gear):
        scale, start = found.scales[one.role], standing.get(one.role, one.value)
        steps = steps_between(start, one.value, scale.step)
        if steps:
            moves.append(
                Move(
                    to_wind_kn=found.wind.wind_kn,
                    who=who_works(scale.worked_by, people) or NOBODY,
                    role=one.role,
                    name=scale.name,
                    unit=scale.unit,
                    start=start,
                    end=one.value,
                    steps=steps,
                    word=scale.motion(steps),
                    rule_state=scale.rule_state,
                )
            )
    return moves


def keep(folder: Path, request: TonightRequest, *, who: str, clock: Clock = utc_now) -> Between:
    """Say that the moves shown were made: their numbers are in force from now on, and the wind is shared.

    Raises
    ------
    RuleError
        They are racing.
    InputError
        No outing goes on.
    """
    require_unlocked(folder, who=who, clock=clock)
    shown = between(folder, request, clock=clock)
    share_conditions(folder, request, who=who, base_id=shown.moment.evening.entry_id)
    with open_records(folder, who=who) as records:
        outing = _going_on(records)
        if outing is None:
            raise InputError("no outing goes on", next_step="run: cringle outing start")
        notes = [
            note_entry(outing.id, SettingNote(clock(), one.role, one.end, one.unit)) for one in shown.moves
        ]
        before = [{"role": one.role, "value": one.start, "unit": one.unit} for one in shown.moves]
        stands = records.book.one(KEPT, outing.id)
        memory = NewEntry(KEPT, outing.id, {"value": before}, base_id=stands.id if stands else None)
        records.book.write([*notes, memory], why=f"between races, {request.mean_kn:g} kn")
    return shown


def undo(folder: Path, *, who: str, clock: Clock = utc_now) -> tuple[SettingNote, ...]:
    """Take back the moves kept last: the numbers before them are in force again.

    Raises
    ------
    RuleError
        They are racing.
    InputError
        Nothing was kept on this outing, or it was taken back already.
    """
    require_unlocked(folder, who=who, clock=clock)
    with open_records(folder, who=who) as records:
        outing = chosen_outing(records, None)
        kept = records.book.one(KEPT, outing.id)
        if kept is None or kept.is_blank or not kept.value:
            raise InputError(
                "nothing to undo on this outing", next_step="run: cringle between --wind 12 --keep"
            )
        notes = tuple(SettingNote(clock(), one["role"], one["value"], one["unit"]) for one in kept.value)
        blank = NewEntry(KEPT, outing.id, {"value": None}, base_id=kept.id)
        records.book.write([*(note_entry(outing.id, one) for one in notes), blank], why="taken back")
    return notes


def say(folder: Path, about: str, *, good: bool, who: str, clock: Clock = utc_now) -> str:
    """Keep the crew's one sentence in the outing; also while racing, for it advises nothing.

    Parameters
    ----------
    folder : Path
        The book.
    about : str
        ``height``, ``speed``, ``start`` or ``manoeuvre``.
    good : bool
        Whether it went well.
    who : str
        Who says it.
    clock : callable
        Gives the present instant.

    Raises
    ------
    InputError
        There is no such choice, or no outing yet.
    """
    sentence = SENTENCES[known_name(about, SENTENCES, what="choice")][0 if good else 1]
    with open_records(folder, who=who) as records:
        outing = chosen_outing(records, None)
        boat = records.files.boat_file.boat.name
        note = Observation(clock(), sentence, "crew", boat=boat, tag=about)
        records.book.write([note_entry(outing.id, note)], why="the crew's sentence")
    return sentence


def between_json(found: Between) -> dict[str, Any]:
    """Return the page as plain values."""
    signal = found.moment.signal
    return {
        "schema": 1,
        "racing": found.moment.is_locked,
        "wind_kn": None if found.tonight is None else found.tonight.wind.wind_kn,
        "signal_utc": _text(signal),
        "minutes_left": found.moment.minutes_left,
        "moves": [_move_json(one) for one in found.moves],
        "more_moves": found.more,
        "ashore_only": list(found.ashore),
        "ready": [{"check": one.item.check, "ticked": one.ticked} for one in found.ready.ticks],
        "notes": list(found.notes),
    }


def _text(at: datetime | None) -> str | None:
    return None if at is None else at.isoformat()


def _move_json(one: Move) -> dict[str, Any]:
    names = ("who", "role", "word", "unit", "steps")
    state = str(one.rule_state.value)
    return {
        **{name: getattr(one, name) for name in names},
        "from": one.start,
        "to": one.end,
        "rule_state": state,
    }
