"""What one file of a book says about another: names that must exist, ids that must be single."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Iterator, Mapping, Sequence

from cringle.boat.base import RULE_STRICTNESS, RuleState
from cringle.boat.book_files import BookFiles
from cringle.boat.toml_lines import Path as FieldPath
from cringle.boat.toml_text import TomlText
from cringle.errors import Finding


def check_all(files: BookFiles, texts: Mapping[str, TomlText]) -> list[Finding]:
    """Return every disagreement inside and between the files of a book, in file order."""
    checks = [
        *_check_class(files, texts["class.toml"]),
        *_check_boat(files, texts["boat.toml"]),
        *_check_screws(files, texts["boat.toml"]),
        *_check_rule_states(files, texts["boat.toml"]),
        *_check_crew(files, texts["crew.toml"]),
        *_check_crew_limits(files, texts["crew.toml"]),
        *_check_survey(files, texts["survey.toml"]),
    ]
    return sorted(checks, key=lambda one: (str(one.path), one.line or 0))


def _unknown(
    toml: TomlText, place: FieldPath, found: str, known: Iterable[str], what: str
) -> Iterator[Finding]:
    names = sorted(known)
    if found not in names:
        close = difflib.get_close_matches(found, names, n=1, cutoff=0.4)
        yield toml.finding(
            place,
            f"no such {what}",
            found=repr(found),
            accepted=", ".join(names) or "none defined",
            nearest=close[0] if close else None,
        )


def _twice(toml: TomlText, table: str, ids: Sequence[str]) -> Iterator[Finding]:
    first: dict[str, int] = {}
    for index, identifier in enumerate(ids):
        if identifier in first:
            line = toml.lines.get((table, first[identifier], "id"))
            yield toml.finding(
                (table, index, "id"),
                f"the same id stands at line {line}",
                found=repr(identifier),
                accepted="each id once",
            )
        first.setdefault(identifier, index)


def _check_class(files: BookFiles, toml: TomlText) -> Iterator[Finding]:
    ours = files.class_file
    for table, ids in (
        ("sails", [one.id for one in ours.sails]),
        ("sail_sets", [one.id for one in ours.sail_sets]),
        ("stations", [one.id for one in ours.stations]),
    ):
        yield from _twice(toml, table, ids)
    sails = {one.id for one in ours.sails}
    for index, sail_set in enumerate(ours.sail_sets):
        for sail in sail_set.sails:
            yield from _unknown(toml, ("sail_sets", index, "sails"), sail, sails, "sail")
    yield from _check_rig(files, toml)
    stations = {one.id for one in ours.stations}
    for index, station in enumerate(ours.stations):
        for other in station.neighbours:
            yield from _unknown(toml, ("stations", index, "neighbours"), other, stations, "station")


def _check_rig(files: BookFiles, toml: TomlText) -> Iterator[Finding]:
    rig = files.class_file.rig
    points = set(rig.points)
    yield from (
        found
        for index, wire in enumerate(rig.wires)
        for end in ("start", "end")
        for found in _unknown(
            toml, ("rig", "wires", index, end), getattr(wire, end), points, "point of the rig"
        )
    )
    for index, panel in enumerate(rig.panels):
        for end in ("lower", "upper"):
            yield from _unknown(
                toml, ("rig", "panels", index, end), getattr(panel, end), points, "point of the rig"
            )
    for index, wire in enumerate(rig.wires):
        if wire.start in points and rig.points[wire.start] == rig.points.get(wire.end):
            yield toml.finding(
                ("rig", "wires", index, "end"),
                "a wire of no length",
                found=repr(wire.end),
                accepted="another point than its start",
            )


def _check_boat(files: BookFiles, toml: TomlText) -> Iterator[Finding]:
    boat = files.boat_file
    if boat.boat.class_name != files.class_file.identity.name:
        yield toml.finding(
            ("boat", "class_name"),
            "the class file is of another class",
            found=repr(boat.boat.class_name),
            accepted=repr(files.class_file.identity.name),
        )
    controls = [one.id for one in boat.controls]
    yield from _twice(toml, "controls", controls)
    yield from _twice(toml, "sails", [one.id for one in boat.sails])
    for index, control in enumerate(boat.controls):
        if control.pair is None:
            continue
        yield from _unknown(toml, ("controls", index, "pair"), control.pair, controls, "control")
        other = next((one for one in boat.controls if one.id == control.pair), None)
        if other is not None and (other.mm_per_mark, other.step) != (control.mm_per_mark, control.step):
            yield toml.finding(
                ("controls", index, "mm_per_mark"),
                f"port and starboard differ ({control.id}, {other.id})",
                accepted="the same mm_per_mark and step on both sides",
            )
    yield from _check_owned_sails(files, toml)
    if boat.backstay is not None:
        yield from _unknown(toml, ("backstay", "control"), boat.backstay.control, controls, "control")
        wires = [one.id for one in files.class_file.rig.wires]
        yield from _unknown(toml, ("backstay", "upper_wire"), boat.backstay.upper_wire, wires, "wire")


def _check_owned_sails(files: BookFiles, toml: TomlText) -> Iterator[Finding]:
    kinds = {one.id: one.kind for one in files.class_file.sails}
    for index, owned in enumerate(files.boat_file.sails):
        yield from _unknown(toml, ("sails", index, "sail"), owned.sail, kinds, "sail of the class")
        if owned.sail in kinds and kinds[owned.sail] != owned.kind:
            yield toml.finding(
                ("sails", index, "kind"),
                "the class file has this sail as another kind",
                found=repr(owned.kind.value),
                accepted=repr(kinds[owned.sail].value),
            )


def _check_screws(files: BookFiles, toml: TomlText) -> Iterator[Finding]:
    boat = files.boat_file
    yield from _twice(toml, "screws", [one.id for one in boat.screws])
    wires = [one.id for one in files.class_file.rig.wires]
    controls = {one.id for one in boat.controls}
    for index, screw in enumerate(boat.screws):
        yield from _unknown(toml, ("screws", index, "wire"), screw.wire, wires, "wire")
        if screw.pair is not None:
            yield from _unknown(
                toml, ("screws", index, "pair"), screw.pair, [one.id for one in boat.screws], "screw"
            )
        if screw.id in controls:
            yield toml.finding(
                ("screws", index, "id"),
                "a control has the same id",
                found=repr(screw.id),
                accepted="each id once",
            )


def _check_rule_states(files: BookFiles, toml: TomlText) -> Iterator[Finding]:
    """Find a boat that is laxer than its class; stricter is allowed."""
    places = [
        ("controls", index, one.rule_state, one.roles) for index, one in enumerate(files.boat_file.controls)
    ]
    places += [
        ("screws", index, one.rule_state, (one.role,)) for index, one in enumerate(files.boat_file.screws)
    ]
    for table, index, state, roles in places:
        for role in roles:
            rule = files.class_file.rule_for(role)
            if rule is None or state is RuleState.UNKNOWN or rule.state is RuleState.UNKNOWN:
                continue
            if RULE_STRICTNESS[state] < RULE_STRICTNESS[rule.state]:
                yield toml.finding(
                    (table, index, "rule_state"),
                    f"laxer than class rule {rule.rule} for {role}",
                    found=repr(state.value),
                    accepted=f"{rule.state.value!r} or stricter",
                )


def _check_crew(files: BookFiles, toml: TomlText) -> Iterator[Finding]:
    people = files.crew_file.people
    yield from _twice(toml, "people", [one.id for one in people])
    stations = {one.id: one for one in files.class_file.stations}
    for index, person in enumerate(people):
        yield from _unknown(toml, ("people", index, "station"), person.station, stations, "station")
        station = stations.get(person.station)
        if station is None:
            continue
        if person.posture not in station.postures:
            yield toml.finding(
                ("people", index, "posture"),
                f"not possible at {station.id}",
                found=repr(person.posture.value),
                accepted=", ".join(one.value for one in station.postures),
            )
        sitting = [one.id for one in people if one.station == person.station]
        if len(sitting) > station.capacity and sitting.index(person.id) >= station.capacity:
            yield toml.finding(
                ("people", index, "station"),
                f"{station.id} holds {station.capacity}",
                found=", ".join(sitting),
            )


def _check_crew_limits(files: BookFiles, toml: TomlText) -> Iterator[Finding]:
    limits, crew = files.class_file.limits, files.crew_file
    if crew.mass_kg > limits.crew_mass_max:
        yield toml.finding(
            ("people",),
            f"crew over the class limit, rule {limits.crew_rule}",
            found=f"{crew.mass_kg:g} kg",
            accepted=f"at most {limits.crew_mass_max:g} kg",
        )
    if not limits.crew_min <= len(crew.people) <= limits.crew_max:
        yield toml.finding(
            ("people",),
            f"number of crew outside rule {limits.crew_rule}",
            found=str(len(crew.people)),
            accepted=f"{limits.crew_min} to {limits.crew_max}",
        )
    hiking = [one.id for one in crew.people if one.posture.value == "hike"]
    if len(hiking) > limits.hiking_max:
        yield toml.finding(
            ("people",),
            f"more people hiking than rule {limits.hiking_rule} allows",
            found=", ".join(hiking),
            accepted=f"at most {limits.hiking_max}",
        )


def _check_survey(files: BookFiles, toml: TomlText) -> Iterator[Finding]:
    survey = files.survey_file
    yield from _twice(toml, "items", [one.id for one in survey.items])
    yield from _twice(toml, "departure", [one.id for one in survey.departure])
    known = [one.id for one in files.boat_file.controls] + [one.id for one in files.boat_file.screws]
    for index, item in enumerate(survey.items):
        for control in item.controls:
            yield from _unknown(toml, ("items", index, "controls"), control, known, "control")
