"""Kept answers of the speed model: one file a question under ``cache/``, named by a hash of all its inputs.

A kept answer can be deleted at any time; one that cannot be read is made anew.
"""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Callable, Sequence
from dataclasses import asdict
from pathlib import Path
from typing import Any

from cringle.boat.write import write_atomically
from cringle.book.names import CACHE_NAME
from cringle.errors import BookError
from cringle.speed.model import SpeedModel
from cringle.workflows.examples import PACKAGE

MODEL_VERSION = "2"
"""Goes up when the same inputs give other numbers, so that kept answers are made anew and fits told apart."""

MODEL_ROOMS = ("speed", "physics", "physics/tables", "workflows/speed")
"""Folders of the package that an answer depends on."""

CACHE_VARIABLE = "CRINGLE_CACHE"
"""Names another folder for kept answers, such as one that several books share."""


def cache_folder(folder: Path) -> Path:
    """Return where the answers of a book are kept."""
    given = os.environ.get(CACHE_VARIABLE)
    return Path(given) if given else folder / CACHE_NAME


def installed_files() -> str:
    """Return sizes and times of the model's own files, so that an upgrade never answers from an old one."""
    found = []
    for room in MODEL_ROOMS:
        for file in sorted((PACKAGE / room).glob("*")):
            if file.suffix in {".py", ".csv"}:
                seen = file.stat()
                found.append(f"{file.name} {seen.st_size} {seen.st_mtime_ns}")
    return "\n".join(found)


def key_of(question: str, inputs: Sequence[str]) -> str:
    """Return the hash of a question with everything that its answer depends on."""
    text = "\x00".join((question, MODEL_VERSION, installed_files(), *inputs))
    return hashlib.sha256(text.encode("utf-8")).hexdigest()


def model_text(model: SpeedModel) -> str:
    """Return everything that goes into a model as one text: class, people, assumptions, factors, sea."""
    parts = {
        "class": model.class_file.model_dump(mode="json"),
        "crew": asdict(model.crew),
        "around": asdict(model.around),
    }
    return json.dumps(parts, sort_keys=True, separators=(",", ":"))


def kept(folder: Path, question: str, inputs: Sequence[str], make: Callable[[], Any]) -> Any:
    """Return a kept answer, or make it and keep it.

    Parameters
    ----------
    folder : Path
        The book.
    question : str
        Short name, part of the file's name.
    inputs : sequence of str
        Everything the answer depends on, as text.
    make : callable
        Makes the answer, something that JSON can hold.

    Notes
    -----
    Where the folder cannot be written the answer is made every time.
    """
    return kept_in(cache_folder(folder), question, inputs, make)


def kept_in(cache: Path, question: str, inputs: Sequence[str], make: Callable[[], Any]) -> Any:
    """Return a kept answer as `kept` does, from a folder of kept answers that may belong to no book."""
    path = cache / f"{question}-{key_of(question, inputs)[:24]}.json"
    try:
        return json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        answer = make()
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        write_atomically(path, json.dumps(answer, allow_nan=False).encode("utf-8"))
    except (OSError, BookError):
        return answer
    return answer
