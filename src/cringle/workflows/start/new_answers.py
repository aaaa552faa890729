"""The dozen questions of a new book, and their answers from a file, from options or from a conversation."""

from __future__ import annotations

import zoneinfo
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

from pydantic import Field, field_validator, model_validator

from cringle.boat.base import FileModel
from cringle.boat.boat_file import BoatIdentity, CrewRole
from cringle.boat.toml_text import TomlText, parse, read_toml
from cringle.errors import BookFileError, InputError

TableChoice = Literal["copy", "starting", "blank"]


@dataclass(frozen=True)
class Question:
    """One question: the answer's name, how it is asked, the answer taken when nothing is said, and a hint."""

    name: str
    words: str
    default: str
    hint: str = ""


QUESTIONS: tuple[Question, ...] = (
    Question("class_file", "Class file (class.toml), empty to start from another book", ""),
    Question("from_book", "Another book of this class to start from, empty for none", ""),
    Question("name", "Name of the boat", "My boat"),
    Question("hull_number", "Hull number", "1"),
    Question("home_water", "Home water", ""),
    Question("time_zone", "Time zone", "UTC", "an IANA name, such as Europe/London"),
    Question("display_units", "Units on screens and cards", "metric", "metric or inch-pound"),
    Question("water", "Water", "salt", "salt or fresh"),
    Question(
        "wind_height_m", "Height your winds refer to [m]", "10", "10 forecast, masthead height, 2 hand-held"
    ),
    Question("keel_condition", "Keel", "unknown", "new, faired, fair, rough or unknown"),
    Question(
        "crew",
        "Crew: name mass_kg role, ...",
        "",
        "roles: helm, main, jib, forward; empty for a guess of four",
    ),
    Question("table", "First table", "", "copy (from another book), starting (our guesses) or blank"),
)
"""Asked in this order; every one has an answer file key of the same name."""


ANSWER_AGAIN = "give these answers again; cringle book new --help shows how"


class CrewAnswer(FileModel):
    """One person: name, mass [kg], role, and height [m] where it is known."""

    name: str = Field(min_length=1)
    mass_kg: float = Field(ge=25, le=180)
    role: CrewRole
    height_m: float = Field(default=1.75, ge=1.2, le=2.3)


class Answers(FileModel):
    """Everything that `cringle book new` needs to know. Paths are relative to where the command is run."""

    class_file: str | None = None
    from_book: str | None = None
    table_from: str | None = None
    name: str = Field(min_length=1)
    hull_number: int = Field(default=1, ge=1)
    home_water: str = ""
    time_zone: str = "UTC"
    display_units: Literal["metric", "inch-pound"] = "metric"
    water: Literal["salt", "fresh"] = "salt"
    wind_height_m: float = Field(default=10.0, gt=0.5, lt=40)
    keel_condition: Literal["new", "faired", "fair", "rough", "unknown"] = "unknown"
    crew: tuple[CrewAnswer, ...] = ()
    table: TableChoice | None = None

    @field_validator("time_zone")
    @classmethod
    def _known_zone(cls, value: str) -> str:
        if value not in zoneinfo.available_timezones():
            raise ValueError("accepted: a time zone name of the IANA database, such as Europe/London or UTC")
        return value

    @model_validator(mode="after")
    def _one_source(self) -> Answers:
        if (self.class_file is None) == (self.from_book is None):
            raise ValueError("give either class_file or from_book")
        if self.table == "copy" and self.from_book is None and self.table_from is None:
            raise ValueError("table = copy needs from_book or table_from")
        return self

    @property
    def table_choice(self) -> TableChoice:
        """What the first table comes from: as answered, else a copy of a book given, else our guesses."""
        if self.table is not None:
            return self.table
        return "starting" if self.from_book is None and self.table_from is None else "copy"

    @property
    def table_book(self) -> Path | None:
        """The book whose table is copied."""
        source = self.table_from or self.from_book
        return None if source is None else Path(source)

    def identity(self, class_name: str) -> BoatIdentity:
        """Return the head of the boat file."""
        return BoatIdentity(
            name=self.name,
            hull_number=self.hull_number,
            class_name=class_name,
            home_water=self.home_water,
            time_zone=self.time_zone,
            display_units=self.display_units,
            wind_height_m=self.wind_height_m,
            keel_condition=self.keel_condition,
            water=self.water,
        )


def answers_from_file(path: Path) -> Answers:
    """Read answers from a TOML file.

    Raises
    ------
    BookFileError
        One or more answers cannot be used; file, line and field are named.
    """
    return parse(read_toml(path), Answers)


def answers_from_words(words: Mapping[str, str]) -> Answers:
    """Return answers from what a person typed; an empty one takes its default.

    Raises
    ------
    BookFileError
        One or more answers cannot be used.
    """
    given: dict[str, Any] = {name: text.strip() for name, text in words.items() if text.strip()}
    if "crew" in given:
        given["crew"] = crew_from_words(given["crew"])
    try:
        return parse(TomlText(Path("answers"), "", given, {}), Answers)
    except BookFileError as error:
        raise BookFileError(list(error.findings), next_step=ANSWER_AGAIN) from error


def crew_from_words(text: str) -> list[dict[str, Any]]:
    """Return people from ``Ines 66 helm, Tobias 92 main``.

    Raises
    ------
    InputError
        One of them is not a name, a mass and a role.
    """
    people = []
    for part in text.split(","):
        words = part.split()
        if len(words) < 3:
            raise InputError(
                f"{part.strip()!r} is not NAME MASS ROLE", next_step="write: Ines 66 helm, Tobias 92 main"
            )
        people.append({"name": " ".join(words[:-2]), "mass_kg": words[-2], "role": words[-1]})
    return people
