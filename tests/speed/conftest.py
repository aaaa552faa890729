"""The demo boat as a speed model, shared by the tests of this room."""

from __future__ import annotations

from pathlib import Path

import pytest

from cringle.boat.class_file import ClassFile
from cringle.boat.crew_file import CrewFile
from cringle.boat.toml_text import parse, read_toml
from cringle.speed.model import SpeedModel


@pytest.fixture(scope="session")
def class_file(examples: Path) -> ClassFile:
    """Return the demo class."""
    return parse(read_toml(examples / "class.toml"), ClassFile)


@pytest.fixture(scope="session")
def crew_file(examples: Path) -> CrewFile:
    """Return the demo crew."""
    return parse(read_toml(examples / "crew.toml"), CrewFile)


@pytest.fixture(scope="session")
def demo(class_file: ClassFile, crew_file: CrewFile) -> SpeedModel:
    """Return the demo boat with its crew in a chop."""
    return SpeedModel.from_files(class_file, crew_file)
