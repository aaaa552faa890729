"""Live advice when one line of a pair is moved: what the other should do. It never changes the table."""

from __future__ import annotations

from dataclasses import dataclass

from cringle.boat.boat_file import BoatFile, Control, Screw
from cringle.errors import InputError
from cringle.settings.names import nearest
from cringle.settings.roles import (
    NOISE_DIGITS,
    RoleScale,
    fit_to_scale,
    line_scale,
    role_scales,
    steps_between,
)

OPPOSITE_DUTY = {"_leeward": "_windward", "_windward": "_leeward"}


@dataclass(frozen=True)
class PairAdvice:
    """What to do with the other line.

    Parameters
    ----------
    other, name : str
        Its role or id, and that as read aloud.
    start, end : float
        Its number now and as advised, on a step of its scale.
    steps : int
        Whole steps; 0 when it is at its end already.
    word : str
        Which way.
    note : str or None
        Said when the scale ends before the whole move.
    """

    other: str
    name: str
    start: float
    end: float
    steps: int
    word: str
    note: str | None = None


def paired_role(boat: BoatFile, role: str) -> str | None:
    """Return the role of the other line of a pair: windward for leeward and back; None without one."""
    for duty, other in OPPOSITE_DUTY.items():
        if role.endswith(duty) and boat.for_role(role.removesuffix(duty) + other):
            return role.removesuffix(duty) + other
    return None


def paired_line(boat: BoatFile, identifier: str) -> Control | Screw | None:
    """Return the other line or screw of a pair, None when this one stands alone.

    Raises
    ------
    InputError
        The boat has no such control.
    """
    one = boat.control(identifier)
    if one is None:
        known = [*boat.roles(), *(line.id for line in boat.controls), *(screw.id for screw in boat.screws)]
        close = nearest(identifier, known)
        hint = f"; did you mean {close!r}?" if close else ""
        raise InputError(
            f"no control {identifier!r} on this boat{hint}", next_step="look at: cringle settings show"
        )
    return None if one.pair is None else boat.control(one.pair)


def paired_scale(boat: BoatFile, moved: str) -> tuple[RoleScale, float]:
    """Return the scale of the other of a pair, and what a mark of the moved one is in marks of the other.

    Parameters
    ----------
    boat : BoatFile
        The boat.
    moved : str
        A role such as ``jib_sheet_leeward``, or the id of a line or screw such as ``cap_port``.

    Raises
    ------
    InputError
        There is no such role or line, or it stands alone.
    """
    role = paired_role(boat, moved)
    if role is not None and boat.for_role(moved):
        return role_scales(boat, [role])[role], 1.0
    other, line = paired_line(boat, moved), boat.control(moved)
    if other is None or line is None:
        raise InputError(f"{moved} is not one of a pair", next_step="name a sheet, a track or a shroud screw")
    return line_scale(other), _millimetres(line) / _millimetres(other)


def _millimetres(line: Control | Screw) -> float:
    return line.mm_per_turn if isinstance(line, Screw) else line.mm_per_mark


def advise_pair(
    scale: RoleScale, *, moved_from: float, moved_to: float, other_now: float, mm_ratio: float = 1.0
) -> PairAdvice:
    """Return the other line's opposite move.

    Parameters
    ----------
    scale : RoleScale
        Scale of the other line.
    moved_from, moved_to : float
        Numbers of the line that was moved.
    other_now : float
        Number of the other line.
    mm_ratio : float
        Millimetres a mark of the moved line over millimetres a mark of the other.

    Notes
    -----
    Sheets of a pair hold one clew: what one gives, the other takes. Screws of a pair hold one mast upright:
    the other makes the same move. Rounded to the step and kept inside the range.
    """
    sign = 1.0 if scale.unit == "turn" else -1.0
    wanted = other_now + sign * (moved_to - moved_from) * mm_ratio
    fitted = fit_to_scale(round(wanted, NOISE_DIGITS), scale)
    steps = steps_between(other_now, fitted.value, scale.step)
    return PairAdvice(
        scale.role, scale.name, other_now, fitted.value, steps, scale.motion(steps), fitted.note
    )
