"""One TOML file as text, as data and as a model; every mistake comes with file, line and field."""

from __future__ import annotations

import difflib
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeVar, get_args

from pydantic import BaseModel, ValidationError

from cringle.boat.base import FileModel
from cringle.boat.toml_lines import Path as FieldPath
from cringle.boat.toml_lines import locate, nearest_line
from cringle.errors import BookFileError, Finding, InputError

Model = TypeVar("Model", bound=FileModel)

NEXT_STEP = "open the file at that line, mend it, then run: cringle book check"
MAX_FILE_BYTES = 4_000_000
"""A book's file is written by hand; anything larger is some other file."""


@dataclass(frozen=True)
class TomlText:
    """A TOML file as text, as data, and where each field stands."""

    path: Path
    text: str
    data: Mapping[str, Any]
    lines: Mapping[FieldPath, int]

    def finding(self, place: FieldPath, message: str, **more: str | None) -> Finding:
        """Return a mistake at a place of this file."""
        return Finding(
            message, path=self.path, line=nearest_line(self.lines, place), field=dotted(place), **more
        )


def dotted(place: FieldPath) -> str:
    """Return a path as a person writes it: ``controls[2].step`` (items counted from 1)."""
    out = ""
    for part in place:
        out += f"[{part + 1}]" if isinstance(part, int) else (f".{part}" if out else str(part))
    return out


def read_toml(path: Path) -> TomlText:
    """Read one TOML file.

    Raises
    ------
    InputError
        The file is not there, cannot be opened or is far too large.
    BookFileError
        It is not UTF-8 or not TOML; the message has the line.
    """
    return toml_of(path, read_bytes(path))


def read_bytes(path: Path) -> bytes:
    """Return what a file of a book holds.

    Raises
    ------
    InputError
        The file is not there, cannot be opened or is far too large.
    """
    try:
        if path.stat().st_size > MAX_FILE_BYTES:
            raise InputError(
                f"{path}: {path.stat().st_size} bytes is too large for a file of a book",
                next_step="check the path",
            )
        return path.read_bytes()
    except FileNotFoundError as error:
        raise InputError(
            f"{path}: no such file",
            next_step="put it back, name another book with --book DIR, or run: cringle book new DIR",
        ) from error
    except OSError as error:
        raise InputError(
            f"{path}: cannot be read ({error.strerror})", next_step="check the path and its permissions"
        ) from error


def toml_of(path: Path, raw: bytes) -> TomlText:
    """Return what a TOML file holds as text, data and lines.

    Raises
    ------
    BookFileError
        It is not UTF-8 or not TOML; the message has the line.
    """
    text = _decode(path, raw)
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise BookFileError([_syntax_finding(path, text, str(error))], next_step=NEXT_STEP) from error
    return TomlText(path, text, data, locate(text))


def _decode(path: Path, raw: bytes) -> str:
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        finding = Finding(
            "not UTF-8 text",
            path=path,
            line=line,
            found=repr(raw[error.start : error.start + 4]),
            accepted="UTF-8",
        )
        raise BookFileError([finding], next_step="save the file as UTF-8") from error


def _syntax_finding(path: Path, text: str, message: str) -> Finding:
    place = message.rpartition("(at line ")[2]
    digits = place.split(",", maxsplit=1)[0]
    line = int(digits) if digits.isdigit() else len(text.splitlines()) or 1
    return Finding(f"not valid TOML: {message.partition(' (at')[0].lower()}", path=path, line=line)


def parse(toml: TomlText, model: type[Model]) -> Model:
    """Return the model of a TOML text, or raise with every mistake found."""
    try:
        return model.model_validate(toml.data)
    except ValidationError as error:
        findings = [_translate(toml, model, dict(one)) for one in error.errors()]
        raise BookFileError(_without_echoes(findings), next_step=NEXT_STEP) from error


def _without_echoes(findings: list[Finding]) -> list[Finding]:
    """Leave out "missing field" where the same table has that field under a misspelt name."""

    def table(one: Finding) -> str:
        return (one.field or "").rpartition(".")[0]

    misspelt = {(table(one), one.nearest) for one in findings if one.nearest}
    return [one for one in findings if (table(one), (one.field or "").rpartition(".")[2]) not in misspelt]


def _translate(toml: TomlText, model: type[FileModel], error: Mapping[str, Any]) -> Finding:
    """Return one pydantic error in words of ours."""
    place: FieldPath = tuple(part for part in error["loc"] if part != "[key]")
    kind, context, found = str(error["type"]), error.get("ctx", {}), error.get("input")
    if kind == "extra_forbidden":
        known = sorted(_fields_at(model, place[:-1]))
        return toml.finding(
            place, "no such field", accepted=", ".join(known), nearest=_nearest(str(place[-1]), known)
        )
    if kind == "missing":
        return toml.finding(place, "missing field", accepted="this field must be there")
    if kind in ("enum", "literal_error"):
        accepted = str(context.get("expected", "")).replace("'", "")
        names = [part.strip() for part in accepted.replace(" or ", ", ").split(",")]
        return toml.finding(
            place,
            "not a word this field knows",
            found=repr(found),
            accepted=accepted,
            nearest=_nearest(str(found), names),
        )
    if kind in ("float_parsing", "float_type", "int_parsing", "int_type") and isinstance(found, str):
        return toml.finding(
            place,
            "a bare number is needed here, the unit is fixed by the field's name",
            found=repr(found),
            accepted="a number without quotes or unit",
        )
    if kind == "string_pattern_mismatch":
        return toml.finding(
            place,
            "not a short name",
            found=repr(found),
            accepted="small letters, digits, _ and +, starting with a letter",
        )
    message = str(error["msg"]).removeprefix("Value error, ")
    return toml.finding(place, message, found=None if isinstance(found, dict | list) else repr(found))


def _fields_at(model: type[BaseModel], place: FieldPath) -> set[str]:
    """Return the field names a table may have, by walking the model along a path."""
    current: type[BaseModel] = model
    for part in place:
        if isinstance(part, int) or part not in current.model_fields:
            continue
        inner = _model_in(current.model_fields[part].annotation)
        if inner is not None:
            current = inner
    return set(current.model_fields)


def _model_in(annotation: object) -> type[BaseModel] | None:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    return next((found for arg in get_args(annotation) if (found := _model_in(arg)) is not None), None)


def _nearest(word: str, known: list[str]) -> str | None:
    close = difflib.get_close_matches(word, known, n=1, cutoff=0.5)
    return close[0] if close else None
