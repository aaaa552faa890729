"""The four files of a book, as one."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Final

from cringle.boat.boat_file import BoatFile
from cringle.boat.class_file import ClassFile
from cringle.boat.crew_file import CrewFile
from cringle.boat.survey_file import SurveyFile

FILE_NAMES: Final = ("class.toml", "boat.toml", "crew.toml", "survey.toml")


@dataclass(frozen=True)
class BookFiles:
    """The four files of a book, read and checked against each other."""

    folder: Path
    class_file: ClassFile
    boat_file: BoatFile
    crew_file: CrewFile
    survey_file: SurveyFile
