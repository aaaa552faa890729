"""The crew file: people, what they can do and where they usually sit."""

from __future__ import annotations

from typing import Literal

from pydantic import Field, model_validator

from cringle.boat.base import FileModel, Identifier, Posture
from cringle.boat.boat_file import CrewRole


class Person(FileModel):
    """One person of the crew. `role` is tonight's; `fixed` keeps it whatever the arrangement."""

    id: Identifier
    name: str = Field(min_length=1)
    mass_kg: float = Field(ge=25, le=180)
    height_m: float = Field(ge=1.2, le=2.3)
    role: CrewRole
    roles: tuple[CrewRole, ...] = Field(min_length=1)
    fixed: bool = False
    skills: tuple[Identifier, ...] = ()
    may_leave_rail: bool = True
    swims: bool | None = None
    station: Identifier
    posture: Posture

    @model_validator(mode="after")
    def _can_do_it(self) -> Person:
        if self.role not in self.roles:
            raise ValueError(f"role {self.role!r} is not among roles {self.roles}")
        return self


class CrewFile(FileModel):
    """All of ``crew.toml``."""

    schema_version: Literal[1]
    people: tuple[Person, ...] = Field(min_length=1)

    def in_role(self, role: str) -> Person | None:
        """Return who has a role tonight, or None."""
        return next((one for one in self.people if one.role == role), None)

    @property
    def mass_kg(self) -> float:
        """Mass of all people together [kg]."""
        return sum(one.mass_kg for one in self.people)
