"""Where the demo's files lie: inside the installed package, or in a checkout beside it."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from cringle.errors import InputError

PACKAGE: Final = Path(__file__).parents[1]
LOG, NOTED = "upwind-tacks-2008.log", "upwind-tacks-2008-tacks.csv"


def examples_folder() -> Path:
    """Return the folder of the demo files.

    Raises
    ------
    InputError
        They are in neither place.
    """
    for folder in (PACKAGE / "examples", PACKAGE.parents[1] / "examples"):
        if (folder / "class.toml").is_file():
            return folder
    raise InputError("the demo files are not installed", next_step="install the package again")


def recorded_log() -> tuple[Path, Path] | None:
    """Return a log recorded on real water and its list of tacks noted by hand; only a checkout has them."""
    folder = PACKAGE.parents[1] / "tests" / "data" / "logs"
    log, noted = folder / LOG, folder / NOTED
    return (log, noted) if log.is_file() and noted.is_file() else None
