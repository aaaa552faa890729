"""The TOML files of a new book as text: from a class file and answers, or from another book."""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any, Final

import tomlkit

from cringle.boat.base import RULE_STRICTNESS, Posture, RuleState
from cringle.boat.class_file import ClassFile, Station, Wire
from cringle.boat.toml_text import parse, read_toml
from cringle.workflows.start.new_answers import Answers, CrewAnswer

STARTER: Final = Path(__file__).parent / "starter" / "controls.toml"
CREW_ROLES: Final = ("helm", "main", "jib", "forward")
USUAL_MASS_KG: Final = 78.0
"""Taken for a person of whom nothing is known; common practice, no source [kg]."""

USUAL_PITCH_MM: Final = 1.0583
USUAL_THREAD_MM: Final = 7.9375
"""A 5/16 inch screw with 24 threads an inch (unified fine, from memory): a guess to be measured [mm]."""

SCREW_ROLE: Final = {"cap_shroud": "cap_shrouds", "lower_shroud": "lower_shrouds", "forestay": "forestay"}
SIDES: Final = ("port", "starboard")


@dataclass(frozen=True)
class NewFiles:
    """The four files of a book as text, by name."""

    texts: dict[str, str]


def new_files(answers: Answers, today: date) -> NewFiles:
    """Return the files of a new book.

    Raises
    ------
    InputError
        A file to start from is not there.
    BookFileError
        A file to start from has mistakes.
    """
    source = Path(answers.from_book) if answers.from_book is not None else None
    class_path = source / "class.toml" if source is not None else Path(answers.class_file or "class.toml")
    class_toml = read_toml(class_path)
    class_file = parse(class_toml, ClassFile)
    if source is None:
        boat = boat_text(answers, class_file, today)
        survey = 'schema_version = 1\ncurrency = ""\n'
    else:
        boat = boat_text_from(read_toml(source / "boat.toml").text, answers, class_file, today)
        survey = read_toml(source / "survey.toml").text
    crew = crew_text(answers, class_file)
    return NewFiles(
        {"class.toml": class_toml.text, "boat.toml": boat, "crew.toml": crew, "survey.toml": survey}
    )


def boat_text(answers: Answers, class_file: ClassFile, today: date) -> str:
    """Return a boat file with the controls this kind of boat usually has; lengths are guesses, and say so."""
    document = tomlkit.parse(STARTER.read_text(encoding="utf-8"))
    for control in document["controls"]:
        control["rule_state"] = _strictest(class_file, list(control["roles"])).value
    head = tomlkit.document()
    head.add(tomlkit.comment(f"{answers.name}: made by cringle book new. Measure before you trust a length."))
    head["schema_version"] = 1
    head["boat"] = _identity(answers, class_file)
    parts = [tomlkit.dumps(head), tomlkit.dumps(document), tomlkit.dumps(_screws(class_file))]
    parts.append(tomlkit.dumps(_sails(class_file, today)))
    return "\n".join(parts)


def boat_text_from(text: str, answers: Answers, class_file: ClassFile, today: date) -> str:
    """Return another boat's file with this boat's name, and new sails; its comments stay."""
    document = tomlkit.parse(text)
    for name, value in _identity(answers, class_file).items():
        document["boat"][name] = value
    document["sails"] = _sails(class_file, today)["sails"]
    return tomlkit.dumps(document)


def _identity(answers: Answers, class_file: ClassFile) -> Any:
    table = tomlkit.table()
    for name, value in answers.identity(class_file.identity.name).model_dump().items():
        table.add(name, value)
    return table


def _strictest(class_file: ClassFile, roles: Sequence[str]) -> RuleState:
    rules = [rule.state for role in roles if (rule := class_file.rule_for(role)) is not None]
    return max(rules, key=RULE_STRICTNESS.__getitem__, default=RuleState.UNKNOWN)


def _screws(class_file: ClassFile) -> Any:
    """Return a screw for each wire that has one, port and starboard where the wire is a pair."""
    document = tomlkit.document()
    document.add(
        tomlkit.comment("Pitches are guesses: count the threads over 20 mm, or read the maker's sheet.")
    )
    array = tomlkit.aot()
    for wire in class_file.rig.wires:
        if wire.kind in SCREW_ROLE:
            for side in SIDES if wire.pair else ("centre",):
                array.append(_screw(class_file, wire, side))
    document["screws"] = array
    return document


def _screw(class_file: ClassFile, wire: Wire, side: str) -> Any:
    role = SCREW_ROLE[wire.kind]
    name = wire.kind.replace("_", " ").capitalize()
    fields: dict[str, Any] = {
        "id": f"{wire.id}_screw" if side == "centre" else f"{wire.id}_{side}",
        "name": f"{name} screw" if side == "centre" else f"{name} screw, {side}",
        "wire": wire.id,
        "role": role,
        "worked_by": "forward",
        "pitch_upper_mm": USUAL_PITCH_MM,
        "pitch_lower_mm": USUAL_PITCH_MM,
        "thread_diameter_mm": USUAL_THREAD_MM,
        "low": -4.0,
        "high": 6.0,
        "step": 0.5,
        "rule_state": _strictest(class_file, [role]).value,
    }
    if side != "centre":
        other = SIDES[1 - SIDES.index(side)]
        fields |= {"side": side, "pair": f"{wire.id}_{other}"}
    table = tomlkit.table()
    table.update(fields)
    return table


def _sails(class_file: ClassFile, today: date) -> Any:
    document = tomlkit.document()
    array = tomlkit.aot()
    for sail in class_file.sails:
        table = tomlkit.table()
        table.update(
            {
                "id": f"{sail.id}_1",
                "sail": sail.id,
                "kind": sail.kind.value,
                "made": today,
                "hours": 0.0,
                "note": "",
            }
        )
        array.append(table)
    document["sails"] = array
    return document


def crew_text(answers: Answers, class_file: ClassFile) -> str:
    """Return a crew file: everybody with a station and a posture that the class allows."""
    people = answers.crew or guessed_crew(class_file)
    document = tomlkit.document()
    if not answers.crew:
        document.add(tomlkit.comment("Nobody was named: masses are guesses. Put the real people here."))
    document["schema_version"] = 1
    array = tomlkit.aot()
    taken: set[str] = set()
    for person, (station, posture) in zip(people, _seats(people, class_file), strict=True):
        table = tomlkit.table()
        table.update(
            {
                "id": _identifier(person.name, taken),
                "name": person.name,
                "mass_kg": person.mass_kg,
                "height_m": person.height_m,
                "role": person.role,
                "roles": [person.role],
                "station": station,
                "posture": posture,
            }
        )
        array.append(table)
    document["people"] = array
    return tomlkit.dumps(document)


def guessed_crew(class_file: ClassFile) -> tuple[CrewAnswer, ...]:
    """Return a crew of which nothing is known: one a role, as many and as heavy as the class allows."""
    limits = class_file.limits
    count = min(max(len(CREW_ROLES), limits.crew_min), limits.crew_max)
    mass = min(USUAL_MASS_KG, math.floor(10.0 * limits.crew_mass_max / count) / 10.0)
    roles = [CREW_ROLES[index % len(CREW_ROLES)] for index in range(count)]
    return tuple(
        CrewAnswer(name=f"Person {number}", mass_kg=mass, role=role)
        for number, role in enumerate(roles, start=1)
    )


def _seats(people: Sequence[CrewAnswer], class_file: ClassFile) -> list[tuple[str, str]]:
    """Return station and posture of everybody: helm aft, forward hand at the shrouds, hiking as allowed."""
    order = sorted(range(len(people)), key=lambda index: -CREW_ROLES.index(people[index].role))
    places = _places(class_file)
    seats: dict[int, tuple[str, str]] = {}
    hiking = class_file.limits.hiking_max
    for number, index in enumerate(order):
        station = places[min(number, len(places) - 1)]
        allowed = [one.value for one in station.postures]
        hikes = hiking > 0 and Posture.HIKE.value in allowed and people[index].role != "helm"
        hiking -= hikes
        sits = Posture.LEGS_IN.value if Posture.LEGS_IN.value in allowed else allowed[0]
        seats[index] = (station.id, Posture.HIKE.value if hikes else sits)
    return [seats[index] for index in range(len(people))]


def _places(class_file: ClassFile) -> list[Station]:
    """Return one entry a seat: rail first, from the shrouds aft, then the rest; none ahead of the shrouds."""
    open_ones = [one for one in class_file.stations if not one.ahead_of_shrouds]
    rail = sorted((one for one in open_ones if Posture.HIKE in one.postures), key=lambda one: -one.x)
    rest = [one for one in open_ones if one not in rail]
    return [one for one in [*rail, *rest] for _ in range(one.capacity)] or list(class_file.stations)


def _identifier(name: str, taken: set[str]) -> str:
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().lower()
    base = re.sub(r"[^a-z0-9]+", "_", plain).strip("_")
    base = base if base[:1].isalpha() else f"person_{base}".rstrip("_")
    found, number = base[:40], 2
    while found in taken:
        found, number = f"{base[:40]}_{number}", number + 1
    taken.add(found)
    return found
