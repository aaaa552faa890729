"""The screws tonight: which row they should stand at, until when they may be changed, what is wrong."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from cringle.boat.boat_file import BoatFile, Screw
from cringle.settings.moves import moves_gear
from cringle.settings.records import Records
from cringle.settings.roles import RoleScale, role_name, steps_between
from cringle.settings.start_numbers import StartNumbers
from cringle.settings.tonight import RigTonight

LOCKED = "locked"


def rig_tonight(
    boat: BoatFile, records: Records, numbers: StartNumbers, scales: Mapping[str, RoleScale]
) -> RigTonight:
    """Return what the screws should stand at and what is wrong with them.

    Parameters
    ----------
    boat : BoatFile
        Its rigging screws.
    records : Records
        Recorded locks and turns.
    numbers : StartNumbers
        Tonight's numbers; those of the screws come from one row of the table.
    scales : mapping
        Role to its scale.
    """
    gear = moves_gear(numbers)
    found = [one for one in numbers.numbers if one.gear == gear and scales[one.role].unit == "turn"]
    row_kn = found[0].rows_kn[0] if found else None
    turns = {one.role: one.value for one in found}
    warnings = (*_locks(boat.screws, records.locks), *_turns(boat.screws, records.turns, turns, row_kn))
    state = {one.role: scales[one.role].rule_state for one in found}
    return RigTonight(row_kn, turns, state, warnings)


def _locks(screws: Iterable[Screw], locks: Mapping[str, str]) -> Iterator[str]:
    never = [one.name for one in screws if one.id not in locks]
    if never:
        yield f"check and lock every rigging screw: no lock is on record for {_listed(never)}"
    for one in screws:
        state = locks.get(one.id, LOCKED)
        if state != LOCKED:
            yield f"lock the {one.name}: it is on record as {state}"


def _turns(
    screws: Iterable[Screw], recorded: Mapping[str, float], wanted: Mapping[str, float], row_kn: float | None
) -> Iterator[str]:
    uncounted = [one.name for one in screws if one.role in wanted and one.id not in recorded]
    if uncounted:
        yield f"count the turns from the base tune: none are on record for {_listed(uncounted)}"
    together: dict[tuple[str, float], list[Screw]] = {}
    for one in screws:
        if one.id in recorded and one.role in wanted:
            together.setdefault((one.role, recorded[one.id]), []).append(one)
    for (role, stands), same in together.items():
        steps = steps_between(stands, wanted[role], same[0].step)
        if steps:
            yield (
                f"turn {_named(same)} by {_signed(steps * same[0].step)}: on record at {_signed(stands)}, "
                f"the {row_kn:g} kn row says {_signed(wanted[role])} ({same[0].rule_state.value})"
            )


def _named(screws: list[Screw]) -> str:
    """Return one screw by its name, two or more that stand alike by their role."""
    return f"the {screws[0].name}" if len(screws) == 1 else f"each of the {role_name(screws[0].role)}"


def _signed(turns: float) -> str:
    return f"{turns:+g}" if turns else "0"


def _listed(names: list[str]) -> str:
    return ", ".join(names) if len(names) <= 2 else f"{len(names)} screws"
