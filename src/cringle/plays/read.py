"""Reading play files; every mistake of a file is reported at once, with file, line and field."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from cringle.boat.toml_text import NEXT_STEP, TomlText, parse, read_toml
from cringle.errors import BookFileError
from cringle.plays.check_file import check_play
from cringle.plays.play_file import PlayFile
from cringle.plays.rhythm import require_no_rhythm
from cringle.settings.names import known_name

DUTIES_NAME = "duties.toml"
"""The one file of the folder that is no play."""


@dataclass(frozen=True)
class PlayText:
    """A play and the text it was read from, so that a mistake found later can still name its line."""

    play: PlayFile
    toml: TomlText


def read_play(path: Path) -> PlayText:
    """Read one play file; one that has not changed since is not read again.

    Raises
    ------
    InputError
        The file is not there.
    BookFileError
        One or more mistakes; all are listed with file, line and field.
    RuleError
        The play repeats body, trim or helm motion in rhythm.
    """
    try:
        found = path.stat()
    except OSError:
        return _read(path, ())  # the reader says what is wrong
    return _read(path, (found.st_mtime_ns, found.st_size, found.st_ino))


@lru_cache(maxsize=64)
def _read(path: Path, stamp: tuple[int, ...]) -> PlayText:  # noqa: ARG001 - a changed file is read again
    toml = read_toml(path)
    play = parse(toml, PlayFile)
    findings = check_play(play, toml)
    if play.id != path.stem:
        findings.append(
            toml.finding(("id",), "a play's id is its file's name", found=repr(play.id), accepted=path.stem)
        )
    if findings:
        raise BookFileError(findings, next_step=NEXT_STEP)
    text = PlayText(play, toml)
    require_no_rhythm(play, toml)
    return text


def play_paths(folder: Path) -> dict[str, Path]:
    """Return the play files of a folder by their id; empty where there is no folder."""
    if not folder.is_dir():
        return {}
    return {path.stem: path for path in sorted(folder.glob("*.toml")) if path.name != DUTIES_NAME}


def find_play(name: str, paths: dict[str, Path]) -> Path:
    """Return the file of a play by its id, or by a path to a TOML file.

    Raises
    ------
    InputError
        There is no such play; the message lists those there are.
    """
    if name.endswith(".toml"):
        return Path(name)
    next_step = "run: cringle play list, or give the path of a .toml file"
    return paths[known_name(name, paths, what="play", next_step=next_step)]
