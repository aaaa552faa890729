"""Answers of the model kept under a hash of everything that went into them.

A file of the cache can be deleted at any time; it is made again. A damaged one is made again too.
"""

from __future__ import annotations

import hashlib
import json
import os
import tempfile
from collections.abc import Callable
from dataclasses import asdict
from pathlib import Path
from typing import Any

from cringle.errors import BookError
from cringle.speed.model import SpeedModel

MODEL_VERSION = "1"
"""Changes whenever the same input gives another answer, so that no old answer is read."""


def key_of(model: SpeedModel, question: str, **more: object) -> str:
    """Return the hash of a model and a question.

    Parameters
    ----------
    model : SpeedModel
        Class file, people, assumptions, factors, water and sea all count.
    question : str
        What is asked, such as ``targets``.
    **more
        Everything else the answer depends on, as JSON can write it.
    """
    parts = {
        "version": MODEL_VERSION,
        "class": model.class_file.model_dump(mode="json"),
        "crew": asdict(model.crew),
        "around": asdict(model.around),
        "question": question,
        "more": more,
    }
    text = json.dumps(parts, sort_keys=True, separators=(",", ":"))
    return hashlib.sha256(text.encode("utf-8")).hexdigest()


def cached(folder: Path, key: str, make: Callable[[], dict[str, Any]]) -> dict[str, Any]:
    """Return the answer kept under a key, or make and keep it.

    Parameters
    ----------
    folder : Path
        Of the cache; made when absent.
    key : str
        From `key_of`.
    make : callable
        Returns the answer as JSON can write it; not called when the answer is there.

    Raises
    ------
    BookError
        The folder cannot be written.
    """
    path = folder / f"speed-{key}.json"
    kept = _read(path)
    if kept is not None:
        return kept
    answer = make()
    _write(path, json.dumps(answer, allow_nan=False, separators=(",", ":")))
    return answer


def _read(path: Path) -> dict[str, Any] | None:
    try:
        found = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return None
    return found if isinstance(found, dict) else None


def _write(path: Path, text: str) -> None:
    """Write a file whole or not at all."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(dir=path.parent, prefix=path.name, suffix=".part")
        try:
            with os.fdopen(handle, "w", encoding="utf-8") as file:
                file.write(text)
                file.flush()
                os.fsync(file.fileno())
            Path(name).replace(path)
        except BaseException:
            Path(name).unlink(missing_ok=True)
            raise
        _sync_folder(path.parent)
    except OSError as error:
        raise BookError(
            f"{path}: cannot be written ({error.strerror})",
            next_step="free some space, or delete the folder; it holds nothing that cannot be made again",
        ) from error


def _sync_folder(folder: Path) -> None:
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
