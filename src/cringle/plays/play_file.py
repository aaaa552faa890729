"""The play file: one manoeuvre as roles, cues, actions, their order, and its usual faults.

Times in seconds from the call that starts the play. Stations and postures are words of the class file;
``side = "new"`` is the windward side after the turn of a tack or gybe.
"""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated, Literal

from pydantic import ConfigDict, Field, field_validator, model_validator

from cringle.boat.base import FileModel, Identifier, Posture, Technique

FEWEST_HANDS, MOST_HANDS = 2, 6
MOST_ACTIONS = 100
"""A play that people can learn has a tenth of this; more is some other file, or two plays in one."""

LONGEST_S = 600.0
Seconds = Annotated[float, Field(ge=0.0, le=LONGEST_S)]
ThreePoint = tuple[float, float, float]
"""Optimistic, likely and pessimistic time [s]."""


class PlayKind(StrEnum):
    """What sort of manoeuvre a play is."""

    SPEED = "speed"
    TACK = "tack"
    ROUNDING = "rounding"
    SET = "set"
    CHANGE = "change"
    GYBE = "gybe"
    DROP = "drop"
    TROUBLE = "trouble"


class Motion(StrEnum):
    """What is moved: only bodies, sheets and the tiller can break the rule on propulsion."""

    BODY = "body"
    TRIM = "trim"
    HELM = "helm"
    GEAR = "gear"
    WORD = "word"


class Spot(FileModel):
    """Where a person is, and how."""

    station: Identifier
    posture: Posture
    side: Literal["old", "new"] = "old"


class PlayRole(FileModel):
    """One role of a play and where it starts."""

    id: Identifier
    at: Spot


class Cue(FileModel):
    """Something everybody sees or hears. Either the water gives it (`at_s`), or an action does (`on`)."""

    id: Identifier
    words: str = Field(min_length=1, max_length=80)
    at_s: ThreePoint | None = None
    on: str | None = Field(default=None, pattern=r"^[a-z][a-z0-9_+]*\.(start|end)$")

    @field_validator("at_s")
    @classmethod
    def _ordered(cls, value: ThreePoint | None) -> ThreePoint | None:
        return value if value is None else checked_three_point(value)

    @model_validator(mode="after")
    def _one_origin(self) -> Cue:
        if (self.at_s is None) == (self.on is None):
            raise ValueError("a cue has either at_s = [low, likely, high] or on = 'action.end', not both")
        return self


class Action(FileModel):
    """One thing one person does.

    `hold` lasts until what it waits for (`not_until`, `ends_with`) has come; `background` leaves the person
    free for something else with the other hand. `own` only moves the person from one place to another: it
    stays with its role, and falls away when a play is dealt to a crew in which nobody has that role.
    """

    model_config = ConfigDict(populate_by_name=True)

    id: Identifier
    say: str = Field(default="", max_length=60)
    do: str = Field(min_length=1, max_length=160)
    role: Identifier | None = None
    skill: Identifier | None = None
    hands: int = Field(default=1, ge=0, le=2)
    line: Identifier | None = None
    motion: Motion = Motion.GEAR
    times: int = Field(default=1, ge=1, le=50)
    at: Spot | None = None
    to: Spot | None = None
    duration_s: ThreePoint
    after: tuple[Identifier, ...] = ()
    starts_with: tuple[Identifier, ...] = Field(default=(), alias="with")
    ends_with: tuple[Identifier, ...] = ()
    not_before_cue: Identifier | None = None
    before_cue: Identifier | None = None
    ends_at_cue: Identifier | None = None
    not_until: tuple[Identifier, ...] = ()
    hold: bool = False
    background: bool = False
    own: bool = False

    @field_validator("duration_s")
    @classmethod
    def _ordered(cls, value: ThreePoint) -> ThreePoint:
        return checked_three_point(value)

    @model_validator(mode="after")
    def _somebody(self) -> Action:
        if self.role is None and self.skill is None:
            raise ValueError("an action needs a role, or the skill it takes")
        if self.to is not None and self.at is None:
            raise ValueError("an action with 'to' also needs 'at': where the person comes from")
        return self

    @property
    def likely_s(self) -> float:
        """Likely duration [s]."""
        return self.duration_s[1]

    @property
    def leaves_at(self) -> Spot | None:
        """Where the person is when it is done; None where it does not matter."""
        return self.to or self.at

    @property
    def words(self) -> str:
        """What is said, or what is done where nothing is said."""
        return self.say or self.do


class Fault(FileModel):
    """A usual fault: what one sees, why, and what cures it."""

    symptom: str = Field(min_length=1, max_length=160)
    cause: str = Field(min_length=1, max_length=200)
    cure: str = Field(min_length=1, max_length=240)


class Ends(FileModel):
    """The two actions whose ends have to meet: the kite's tack at the pole's end, and its head aloft."""

    tack: Identifier
    head: Identifier


class PlayFile(FileModel):
    """All of one play file."""

    schema_version: Literal[1]
    id: Identifier
    title: str = Field(min_length=1, max_length=60)
    kind: PlayKind
    summary: str = Field(min_length=1, max_length=400)
    point: Literal["beat", "reach", "run", "mark", "start", "any"]
    techniques: tuple[Technique, ...] = ()
    wind_low_kn: float = Field(ge=0, le=60)
    wind_high_kn: float = Field(ge=0, le=60)
    sails_before: str
    sails_after: str
    heel_before_deg: float = Field(ge=-30, le=60)
    heel_after_deg: float = Field(ge=-30, le=60)
    heel_band_deg: float = Field(default=6.0, gt=0, le=90)
    flips_at: Identifier | None = None
    speed_after_share: float | None = Field(default=None, gt=0, le=3)
    done_by: Identifier
    end: str = Field(min_length=1, max_length=200)
    ends: Ends | None = None
    cautions: tuple[str, ...] = ()
    roles: tuple[PlayRole, ...] = Field(min_length=FEWEST_HANDS, max_length=MOST_HANDS)
    cues: tuple[Cue, ...] = Field(min_length=1)
    actions: tuple[Action, ...] = Field(min_length=1)
    faults: tuple[Fault, ...] = ()

    @model_validator(mode="after")
    def _winds(self) -> PlayFile:
        if self.wind_low_kn > self.wind_high_kn:
            raise ValueError("wind_low_kn must not be more than wind_high_kn")
        return self

    def action(self, identifier: str) -> Action:
        """Return the action of that id."""
        return next(one for one in self.actions if one.id == identifier)

    def cue(self, identifier: str) -> Cue:
        """Return the cue of that id."""
        return next(one for one in self.cues if one.id == identifier)

    def starting_spot(self, role: str) -> Spot | None:
        """Return where a role starts, or None where the play has no such role."""
        return next((one.at for one in self.roles if one.id == role), None)


def checked_three_point(value: ThreePoint) -> ThreePoint:
    """Return an optimistic, likely and pessimistic time, or say what is wrong with them."""
    low, likely, high = value
    if min(value) < 0.0:
        raise ValueError(f"a time is negative: [{low:g}, {likely:g}, {high:g}]; accepted: 0 s or more")
    if not low <= likely <= high:
        raise ValueError(
            f"[{low:g}, {likely:g}, {high:g}] is not in the order optimistic, likely, pessimistic"
        )
    if high > LONGEST_S:
        raise ValueError(f"{high:g} s is too long; accepted: up to {LONGEST_S:g} s")
    return value
