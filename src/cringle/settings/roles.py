"""What the table needs to know of a role: its range, its step, who works it and when it may be changed."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace

from cringle.boat.base import RULE_STRICTNESS, RuleState
from cringle.boat.boat_file import BoatFile, Control, Screw
from cringle.boat.class_file import ClassFile, ControlRule
from cringle.boat.crew_file import Person

MOTION = {
    "harder": ("harder", "softer"),
    "eased": ("ease", "trim"),
    "up": ("up", "down"),
    "aft": ("aft", "forward"),
    "forward": ("forward", "aft"),
    "to windward": ("to windward", "to leeward"),
    "tighter": ("tighten", "slacken"),
}
"""What a larger and a smaller number does, by the control's word for more."""

NOISE_DIGITS = 9
"""Decimal digits kept before rounding to a step, so that 4.4999999999 counts as 4.5."""


@dataclass(frozen=True)
class RoleScale:
    """The scale of a role, common to every line that can have it.

    Parameters
    ----------
    role, name : str
        As in the boat file, and as read aloud.
    unit : str
        ``mark`` or ``turn``.
    low, high, step : float
        Range and smallest useful change, in `unit`.
    worked_by : str
        Crew role.
    more : str
        What a larger number does.
    rule_state : RuleState
        When it may be changed; the strictest of its lines.
    """

    role: str
    name: str
    unit: str
    low: float
    high: float
    step: float
    worked_by: str
    more: str
    rule_state: RuleState

    @property
    def is_rig(self) -> bool:
        """Whether it may only be changed when not racing, so that it stands at one row of the table."""
        return self.rule_state in (RuleState.BETWEEN_RACES, RuleState.ASHORE)

    def motion(self, steps: int) -> str:
        """Return the word for a move of so many steps."""
        more, less = MOTION[self.more]
        return more if steps >= 0 else less


@dataclass(frozen=True)
class Fitted:
    """A number made to fit its scale, with a word where that changed more than the rounding."""

    value: float
    note: str | None = None


def round_to_step(value: float, step: float) -> float:
    """Return the nearest whole number of steps; half a step goes up.

    Examples
    --------
    >>> round_to_step(4.26, 0.5), round_to_step(4.25, 0.5)
    (4.5, 4.5)
    """
    return math.floor(round(value / step, NOISE_DIGITS) + 0.5) * step + 0.0


def fit_to_scale(value: float, scale: RoleScale) -> Fitted:
    """Return a number rounded to the step and kept inside the range, with a word when it was cut."""
    rounded = round_to_step(value, scale.step)
    highest = math.floor(round(scale.high / scale.step, NOISE_DIGITS)) * scale.step
    lowest = math.ceil(round(scale.low / scale.step, NOISE_DIGITS)) * scale.step
    kept = min(max(rounded, lowest), highest) + 0.0
    if kept == rounded:
        return Fitted(kept)
    end = "top" if kept < rounded else "bottom"
    return Fitted(kept, f"{scale.name}: {rounded:g} is off the scale, kept at its {end}, {kept:g}")


def steps_between(start: float, end: float, step: float) -> int:
    """Return how many whole steps lie between two numbers on the scale; positive when the number grows."""
    return round((end - start) / step)


def role_name(role: str) -> str:
    """Return a role as read aloud: ``jib_sheet_leeward`` is "jib sheet, leeward"."""
    for duty in ("leeward", "windward"):
        if role.endswith(f"_{duty}"):
            return f"{role.removesuffix(f'_{duty}').replace('_', ' ')}, {duty}"
    return role.replace("_", " ")


def role_scales(
    boat: BoatFile, roles: Iterable[str] | None = None, *, rules: ClassFile | None = None
) -> dict[str, RoleScale]:
    """Return the scale of each role of a boat, in file order.

    Where several lines can have a role (port and starboard), the range is what all of them have, the step is
    the coarsest and the rule state the strictest; the class's own rule counts too when `rules` is given.
    """
    wanted = boat.roles() if roles is None else list(roles)
    return {role: _scale(role, boat.for_role(role), rules) for role in wanted if boat.for_role(role)}


def line_scale(line: Control | Screw) -> RoleScale:
    """Return the scale of one line or screw by itself, under its own name."""
    return replace(_scale(line.id, [line], None), name=line.name)


def _scale(role: str, lines: list[Control | Screw], rules: ClassFile | None) -> RoleScale:
    first = lines[0]
    class_rule = None if rules is None else rules.rule_for(role)
    return RoleScale(
        role=role,
        name=role_name(role),
        unit=first.unit,
        low=max(one.low for one in lines),
        high=min(one.high for one in lines),
        step=max(one.step for one in lines),
        worked_by=first.worked_by,
        more=first.more if isinstance(first, Control) else "tighter",
        rule_state=_strictest([one.rule_state for one in lines], class_rule),
    )


def _strictest(states: list[RuleState], class_rule: ControlRule | None) -> RuleState:
    """Return the strictest state that is known; unknown when the class and every line say nothing."""
    said = [*states, *([] if class_rule is None else [class_rule.state])]
    known = [state for state in said if state is not RuleState.UNKNOWN]
    return max(known, key=RULE_STRICTNESS.__getitem__, default=RuleState.UNKNOWN)


def who_works(crew_role: str, aboard: Iterable[Person]) -> str | None:
    """Return the name of who does a crew role tonight: whoever has it, else the first who can do it."""
    people = tuple(aboard)
    has = [one.name for one in people if one.role == crew_role]
    can = [one.name for one in people if crew_role in one.roles]
    return next(iter([*has, *can]), None)
