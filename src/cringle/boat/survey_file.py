"""The survey: what could be better about the boat, and what to look at before leaving the dock."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from cringle.boat.base import FileModel, Identifier, Rule

Category = Literal["essential", "worthwhile", "comfort"]
Allowed = Literal["yes", "no", "ask"]
Effect = Literal["rail", "hull_surface", "keel_surface"]
"""What an item changes that the speed model can price: somebody stays on the rail, or a surface is smooth."""


class SurveyItem(FileModel):
    """One thing to do to the boat. Its state (open, done, dropped) is history, not part of the file."""

    id: Identifier
    what: str = Field(min_length=1)
    why: str = Field(min_length=1)
    category: Category
    allowed: Allowed
    rule: Rule | None = None
    controls: tuple[Identifier, ...] = ()
    effect: Effect | None = None
    cost: float | None = Field(default=None, ge=0)
    hours: float | None = Field(default=None, ge=0)
    caution: str = ""


class DepartureItem(FileModel):
    """One line of the check before leaving the dock."""

    id: Identifier
    check: str = Field(min_length=1)
    why: str = ""


class SurveyFile(FileModel):
    """All of ``survey.toml``."""

    schema_version: Literal[1]
    currency: str = Field(default="", max_length=8)
    items: tuple[SurveyItem, ...] = ()
    departure: tuple[DepartureItem, ...] = ()

    def item(self, identifier: str) -> SurveyItem | None:
        """Return the item of that id, or None."""
        return next((one for one in self.items if one.id == identifier), None)
