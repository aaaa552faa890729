"""The boat file: what is this boat's own. Lengths of line in millimetres, numbers in marks or turns."""

from __future__ import annotations

import zoneinfo
from datetime import date
from functools import cache
from typing import Annotated, Literal

from pydantic import Field, field_validator, model_validator

from cringle.boat.base import FileModel, Identifier, RuleState, SailKind

Positive = Annotated[float, Field(gt=0)]
CrewRole = Literal["helm", "main", "jib", "forward"]


@cache
def _known_zones() -> frozenset[str]:
    """Return the names of all time zones, looked up once: the list takes longer than the rest of the file."""
    return frozenset(zoneinfo.available_timezones())


class BoatIdentity(FileModel):
    """Which boat this is and how its book speaks."""

    name: str = Field(min_length=1)
    hull_number: int = Field(ge=1)
    class_name: str = Field(min_length=1)
    home_water: str = ""
    time_zone: str
    display_units: Literal["metric", "inch-pound"] = "metric"
    wind_height_m: float = Field(gt=0.5, lt=40, description="height the settings table's winds refer to")
    keel_condition: Literal["new", "faired", "fair", "rough", "unknown"] = "unknown"
    water: Literal["fresh", "salt"] = "salt"

    @field_validator("time_zone")
    @classmethod
    def _known_zone(cls, value: str) -> str:
        if value not in _known_zones():
            raise ValueError("accepted: a time zone name of the IANA database, such as Europe/London or UTC")
        return value


class Line(FileModel):
    """One rope of a control that carries a scale strip."""

    id: Identifier
    name: str = Field(min_length=1)


class Control(FileModel):
    """One adjustable physical thing with a scale.

    Mark ``n`` lies ``datum_mm + n * mm_per_mark`` from the datum. `more` says what a larger number does.
    `low`, `high` and `step` are in marks; `stop_low_mm` and `stop_high_mm` are physical stops, when found.
    """

    id: Identifier
    name: str = Field(min_length=1)
    side: Literal["port", "starboard", "centre"] = "centre"
    pair: Identifier | None = None
    lines: tuple[Line, ...] = Field(min_length=1)
    roles: tuple[Identifier, ...] = Field(min_length=1)
    worked_by: CrewRole
    datum: str = Field(min_length=1)
    datum_mm: float = 0.0
    mm_per_mark: Positive
    step: Positive
    low: float
    high: float
    more: Literal["harder", "eased", "up", "aft", "forward", "to windward"]
    purchase: Annotated[int, Field(ge=1, le=64)] = 1
    stop_low_mm: float | None = None
    stop_high_mm: float | None = None
    rule_state: RuleState = RuleState.UNKNOWN

    @model_validator(mode="after")
    def _range(self) -> Control:
        if self.low >= self.high:
            raise ValueError(f"low {self.low:g} must be less than high {self.high:g}")
        if self.step > self.high - self.low:
            raise ValueError(f"step {self.step:g} is larger than the whole range {self.high - self.low:g}")
        return self

    def to_mm(self, mark: float) -> float:
        """Return the distance of a mark from the datum [mm]."""
        return self.datum_mm + mark * self.mm_per_mark

    def to_mark(self, distance_mm: float) -> float:
        """Return the mark at a distance from the datum [mm]; not rounded."""
        return (distance_mm - self.datum_mm) / self.mm_per_mark

    @property
    def unit(self) -> str:
        """Unit of this control's numbers."""
        return "mark"


class Screw(FileModel):
    """A rigging screw. One turn of the body moves the sum of both pitches."""

    id: Identifier
    name: str = Field(min_length=1)
    wire: Identifier
    role: Identifier
    side: Literal["port", "starboard", "centre"] = "centre"
    pair: Identifier | None = None
    worked_by: CrewRole
    pitch_upper_mm: Positive
    pitch_lower_mm: float = Field(ge=0, description="0 for an adjuster threaded at one end only")
    thread_diameter_mm: Positive
    low: float
    high: float
    step: Positive = 0.5
    rule_state: RuleState = RuleState.UNKNOWN

    @model_validator(mode="after")
    def _range(self) -> Screw:
        if self.low >= self.high:
            raise ValueError(f"low {self.low:g} must be less than high {self.high:g}")
        if self.step > self.high - self.low:
            raise ValueError(f"step {self.step:g} is larger than the whole range {self.high - self.low:g}")
        return self

    @property
    def mm_per_turn(self) -> float:
        """Change of length for one turn of the body [mm]."""
        return self.pitch_upper_mm + self.pitch_lower_mm

    @property
    def unit(self) -> str:
        """Unit of this screw's numbers."""
        return "turn"


class Backstay(FileModel):
    """Geometry of a split backstay.

    `ring`: two legs drawn together by a ring or block pair hauled down; `line`: one continuous bridle line
    through a block at the apex, hauled at one quarter.
    """

    kind: Literal["ring", "line"]
    half_width_m: Positive
    masthead_to_transom_m: Positive
    upper_leg_m: Positive
    leg_m: Positive
    purchase: Annotated[int, Field(ge=1, le=64)]
    efficiency: Annotated[float, Field(gt=0, le=1)]
    travel_mm: Positive
    slack_tension_n: float = Field(ge=0)
    control: Identifier
    upper_wire: Identifier
    leg_stiffness_n: Positive
    leg_break_load_n: Positive

    @model_validator(mode="after")
    def _closes(self) -> Backstay:
        if self.leg_m <= self.half_width_m:
            raise ValueError("leg_m must be longer than half_width_m")
        if self.upper_leg_m >= self.masthead_to_transom_m:
            raise ValueError("upper_leg_m must be shorter than masthead_to_transom_m")
        return self


class OwnedSail(FileModel):
    """A sail this boat owns."""

    id: Identifier
    sail: Identifier
    kind: SailKind
    made: date
    hours: float = Field(ge=0)
    note: str = ""


class BoatFile(FileModel):
    """All of ``boat.toml``."""

    schema_version: Literal[1]
    boat: BoatIdentity
    controls: tuple[Control, ...] = Field(min_length=1)
    screws: tuple[Screw, ...] = ()
    backstay: Backstay | None = None
    sails: tuple[OwnedSail, ...] = ()

    def control(self, identifier: str) -> Control | Screw | None:
        """Return the control or screw of that id, or None."""
        everything: list[Control | Screw] = [*self.controls, *self.screws]
        return next((one for one in everything if one.id == identifier), None)

    def for_role(self, role: str) -> list[Control | Screw]:
        """Return the controls and screws that can have a role, in file order."""
        lines: list[Control | Screw] = [one for one in self.controls if role in one.roles]
        return lines + [one for one in self.screws if one.role == role]

    def roles(self) -> list[str]:
        """Return every role of the boat's lines and screws once, in file order."""
        named = [role for control in self.controls for role in control.roles]
        return list(dict.fromkeys([*named, *(screw.role for screw in self.screws)]))
