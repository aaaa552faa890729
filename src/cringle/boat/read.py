"""Reading the files of a book. Every mistake of every file is reported at once."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from typing import Final

from cringle.boat.base import FileModel
from cringle.boat.boat_file import BoatFile
from cringle.boat.book_files import BookFiles
from cringle.boat.check import check_all
from cringle.boat.class_file import ClassFile
from cringle.boat.crew_file import CrewFile
from cringle.boat.survey_file import SurveyFile
from cringle.boat.toml_text import NEXT_STEP, TomlText, parse, read_bytes, toml_of
from cringle.errors import BookFileError, Finding, InputError

MODELS: Final[dict[str, type[FileModel]]] = {
    "class.toml": ClassFile,
    "boat.toml": BoatFile,
    "crew.toml": CrewFile,
    "survey.toml": SurveyFile,
}
MOST_KEPT: Final = 16
"""So many books, or states of one, are kept parsed."""


def read_book_files(folder: Path) -> BookFiles:
    """Read ``class.toml``, ``boat.toml``, ``crew.toml`` and ``survey.toml`` of a book.

    Parameters
    ----------
    folder : Path
        The book.

    Returns
    -------
    BookFiles
        Frozen models that agree with each other.

    Raises
    ------
    InputError
        A file is missing.
    BookFileError
        One or more mistakes, in any of the files; all are listed.
    """
    if not folder.is_dir():
        raise InputError(
            f"{folder}: there is no book here",
            next_step="run: cringle demo, or: cringle book new DIR, or give --book DIR",
        )
    return _parsed(folder, tuple(read_bytes(folder / name) for name in MODELS))


@lru_cache(maxsize=MOST_KEPT)
def _parsed(folder: Path, contents: tuple[bytes, ...]) -> BookFiles:
    """Return the models of the files' contents; the same bytes give the same frozen models, parsed once."""
    texts: dict[str, TomlText] = {}
    models: dict[str, FileModel] = {}
    findings: list[Finding] = []
    for (name, model), raw in zip(MODELS.items(), contents, strict=True):
        try:
            texts[name] = toml_of(folder / name, raw)
            models[name] = parse(texts[name], model)
        except BookFileError as error:
            findings.extend(error.findings)
    if findings:
        raise BookFileError(findings, next_step=NEXT_STEP)
    files = BookFiles(folder, *(models[name] for name in MODELS))  # type: ignore[arg-type]  # one of each, in this order
    mistakes = check_all(files, texts)
    if mistakes:
        raise BookFileError(mistakes, next_step=NEXT_STEP)
    return files
