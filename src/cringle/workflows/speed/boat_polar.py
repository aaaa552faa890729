"""The polar of a book's boat as plain arrays, kept under a hash of everything that went into it."""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

import numpy as np

from cringle.boat.read import read_book_files
from cringle.speed.model import SpeedModel, Surroundings
from cringle.track.frozen_polar import FrozenPolar, TargetLine, polar_of_model
from cringle.workflows.examples import examples_folder
from cringle.workflows.speed.cache import cache_folder, kept_in, model_text
from cringle.workflows.speed.open import SpeedAsked, open_speed

QUESTION: Final = "frozen-polar"
DIGITS: Final = 6
LINES: Final = ("up", "run")
LINE_FIELDS: Final = ("angle_deg", "heel_deg", "speed_kn")


@dataclass(frozen=True)
class BoatPolar:
    """A polar, whether it is the boat's own, and whether factors fitted to her logs are in it."""

    polar: FrozenPolar
    known: bool
    fitted: bool


def boat_polar(book: Path | None, *, sea: str = "chop") -> BoatPolar:
    """Return the polar of a book's boat with her crew and newest fit, or that of the demo's class.

    Parameters
    ----------
    book : Path or None
        The book's folder; None takes the demo's class, and the answer says that it is not this boat's.
    sea : str
        ``flat``, ``chop`` or ``waves``.

    Raises
    ------
    InputError, BookFileError
        The book's files cannot be used.
    """
    model, name, fitted = _demo_model(sea) if book is None else _book_model(book, sea)
    folder = user_cache() if book is None else cache_folder(book)
    values = kept_in(folder, QUESTION, (model_text(model),), lambda: _plain(polar_of_model(model, name=name)))
    return BoatPolar(_polar(values, name), book is not None, fitted)


def _book_model(book: Path, sea: str) -> tuple[SpeedModel, str, bool]:
    opened = open_speed(book, SpeedAsked(sea=sea))
    return opened.model, f"the speed model of {opened.files.boat_file.boat.name}", opened.fitted is not None


def _demo_model(sea: str) -> tuple[SpeedModel, str, bool]:
    files = read_book_files(examples_folder())
    model = SpeedModel.from_files(files.class_file, files.crew_file, Surroundings(sea=sea))
    return model, f"the demo class {files.class_file.identity.name}", False


def user_cache() -> Path:
    """Return where answers are kept that belong to no book; the folder can be deleted at any time."""
    home = os.environ.get("XDG_CACHE_HOME")
    return (Path(home) if home else Path.home() / ".cache") / "cringle"


def _plain(polar: FrozenPolar) -> dict[str, Any]:
    """Return a polar as JSON can write it."""
    lines = {
        name: {one: np.round(getattr(getattr(polar, name), one), DIGITS).tolist() for one in LINE_FIELDS}
        for name in LINES
    }
    return {
        "wind_kn": polar.wind_kn.tolist(),
        "angle_deg": polar.angle_deg.tolist(),
        "heel_deg": polar.heel_deg.tolist(),
        "speed_kn": np.round(polar.speed_kn, DIGITS).tolist(),
        **lines,
    }


def _polar(values: dict[str, Any], name: str) -> FrozenPolar:
    up, run = (
        TargetLine(*(np.array(values[line][one], dtype=np.float64) for one in LINE_FIELDS)) for line in LINES
    )
    wind, angle, heel, speed = (
        np.array(values[one], dtype=np.float64) for one in ("wind_kn", "angle_deg", "heel_deg", "speed_kn")
    )
    return FrozenPolar(wind, angle, heel, speed, up, run, name)
