"""Which rows go on the card: at most fourteen, the ones that matter first, and a word about the rest."""

from __future__ import annotations

from dataclasses import dataclass

from cringle.output.person_block import ControlRow, PersonBlock
from cringle.settings.tonight import Tonight

MOST_ROWS = 14
MOST_GEARS = 2

IMPORTANCE = (
    "jib_sheet_leeward",
    "mainsheet",
    "traveller",
    "backstay",
    "jib_track_leeward",
    "cap_shrouds",
    "lower_shrouds",
    "jib_halyard",
    "cunningham",
    "kite_sheet_leeward",
    "tack_line",
    "outhaul",
    "vang",
    "main_halyard",
    "jib_sheet_windward",
)
"""Roles in the order in which they are kept when there are too many; other roles come after these.
Common practice, no source: what is touched most and costs most when wrong comes first."""


@dataclass(frozen=True)
class CardRows:
    """The rows of the front of the card.

    Parameters
    ----------
    gears : tuple of str
        At most two, in the order of the table.
    people : tuple of PersonBlock
        Who sets what, in the order of setting.
    left_out : tuple of str
        Role names and gears that did not fit.
    """

    gears: tuple[str, ...]
    people: tuple[PersonBlock, ...]
    left_out: tuple[str, ...]


def card_rows(tonight: Tonight, person: str | None = None) -> CardRows:
    """Return the rows of a card, for everybody or for one person.

    Rows that change between the gears or at the next wind are kept before rows that stay; among equals
    `IMPORTANCE` decides.
    """
    gears = tonight.numbers.gears[:MOST_GEARS]
    roles = [role for role in tonight.numbers.roles if person in (None, tonight.workers[role])]
    kept = set(sorted(roles, key=lambda role: _rank(tonight, role, gears))[:MOST_ROWS])
    people = tuple(
        PersonBlock(
            name,
            _duty(tonight, name),
            tuple(
                control_row(tonight, role, gears)
                for role in roles
                if role in kept and tonight.workers[role] == name
            ),
        )
        for name in dict.fromkeys(tonight.workers[role] for role in roles if role in kept)
    )
    rows_left = [tonight.scales[role].name for role in roles if role not in kept]
    gears_left = [f"gear {gear}" for gear in tonight.numbers.gears[MOST_GEARS:]]
    return CardRows(gears, people, (*rows_left, *gears_left))


def _rank(tonight: Tonight, role: str, gears: tuple[str, ...]) -> tuple[bool, int]:
    values = {found.value for gear in gears if (found := tonight.numbers.find(gear, role))}
    stays = len(values) < 2 and next_number(tonight, role) is None
    return stays, IMPORTANCE.index(role) if role in IMPORTANCE else len(IMPORTANCE)


def _duty(tonight: Tonight, name: str) -> str:
    duties = [
        tonight.scales[role].worked_by for role in tonight.numbers.roles if tonight.workers[role] == name
    ]
    return ", ".join(dict.fromkeys(duties))


def control_row(tonight: Tonight, role: str, gears: tuple[str, ...]) -> ControlRow:
    """Return the row of one role with a number per gear, blank where the table has none."""
    scale = tonight.scales[role]
    found = [tonight.numbers.find(gear, role) for gear in gears]
    held = any(one is not None and one.held for one in found)
    return ControlRow(
        role=role,
        unit=scale.unit,
        low=scale.low,
        high=scale.high,
        numbers=tuple(None if one is None else one.number for one in found),
        next_number=next_number(tonight, role),
        remark="beyond the table, held" if held else "",
    )


def next_number(tonight: Tonight, role: str) -> float | None:
    """Return the number of a role at the next stronger wind that moves it, or None."""
    up = [one for one in tonight.moves if one.role == role and one.to_wind_kn > tonight.wind.wind_kn]
    return min(up, key=lambda one: one.to_wind_kn).end if up else None
