from __future__ import annotations

from pathlib import Path

import pytest

from cringle.boat.book_files import BookFiles
from cringle.boat.read import read_book_files
from cringle.rig.base import BaseTune, base_tune
from cringle.rig.spread import Ensemble, ensemble


@pytest.fixture(scope="session")
def files(examples: Path) -> BookFiles:
    return read_book_files(examples)


@pytest.fixture(scope="session")
def base(files: BookFiles) -> BaseTune:
    return base_tune(files.class_file, files.boat_file)


@pytest.fixture(scope="session")
def together(files: BookFiles) -> Ensemble:
    return ensemble(files.class_file, files.boat_file)
