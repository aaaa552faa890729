"""What every file model of the book shares: frozen, no unknown fields, words fixed once."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field

Identifier = Annotated[str, Field(pattern=r"^[a-z][a-z0-9_+]*$", min_length=1, max_length=48)]
"""A short name used in tables and commands: small letters, digits and underscores."""

Point = tuple[float, float, float]
"""Place on the boat [m]: x forward from the after end of the waterline, y to port, z up from it."""


class FileModel(BaseModel):
    """A frozen record read from a TOML file; a field it does not know is a mistake."""

    model_config = ConfigDict(frozen=True, extra="forbid", str_strip_whitespace=True, allow_inf_nan=False)


class RuleState(StrEnum):
    """When the class lets a control be changed."""

    ANY_TIME = "any time"
    BETWEEN_RACES = "between races"
    ASHORE = "ashore"
    UNKNOWN = "unknown"


RULE_STRICTNESS = {
    RuleState.ANY_TIME: 0,
    RuleState.UNKNOWN: 1,
    RuleState.BETWEEN_RACES: 2,
    RuleState.ASHORE: 3,
}
"""Order of strictness; a boat file may be stricter than its class, never laxer."""


class Posture(StrEnum):
    """How a person sits."""

    HIKE = "hike"
    LEGS_IN = "legs in"
    CENTRELINE = "centreline"
    HATCH = "hatch"
    AFT = "aft"
    LEEWARD_FORWARD = "leeward forward"


class SailKind(StrEnum):
    """The kinds of sail on this kind of boat."""

    MAIN = "main"
    JIB = "jib"
    KITE = "kite"


class Technique(StrEnum):
    """How a run is sailed."""

    SOAK = "soak"
    WING = "wing"
    PLANE = "plane"


class Rule(FileModel):
    """A rule with its number and the edition it was read in."""

    number: str = Field(min_length=1)
    edition: str = Field(min_length=1)
    note: str = ""

    def __str__(self) -> str:
        return f"{self.number} ({self.edition})"
