"""Duties between manoeuvres: what each role does, watches and says on each leg, and where that has holes.

The file is ``duties.toml`` beside the plays.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import Literal

from pydantic import Field

from cringle.boat.base import FileModel, Identifier
from cringle.boat.toml_text import NEXT_STEP, TomlText, parse, read_toml
from cringle.errors import BookFileError, Finding

MOST_SPOKEN_A_MINUTE = 12.0
"""More words a minute from one person, and nobody listens (judgement)."""


class DutyKind(StrEnum):
    """What a duty asks for."""

    DO = "do"
    WATCH = "watch"
    SAY = "say"


class Topic(FileModel):
    """Something that has to be said on some legs, by exactly one person."""

    id: Identifier
    words: str = Field(min_length=1)
    legs: tuple[Identifier, ...] = Field(min_length=1)
    must_be_watched: bool = True


class Duty(FileModel):
    """One duty of one role on some legs."""

    role: Identifier
    legs: tuple[Identifier, ...] = Field(min_length=1)
    kind: DutyKind
    topic: Identifier | None = None
    what: str = Field(min_length=1, max_length=160)
    to: Identifier | Literal["all"] | None = None
    every_s: float | None = Field(default=None, gt=0, le=3600)
    horizon_s: float | None = Field(default=None, ge=0, le=3600)


class DutiesFile(FileModel):
    """All of ``duties.toml``."""

    schema_version: Literal[1]
    legs: tuple[Identifier, ...] = Field(min_length=1)
    roles: tuple[Identifier, ...] = Field(min_length=2, max_length=6)
    topics: tuple[Topic, ...] = Field(min_length=1)
    duties: tuple[Duty, ...] = Field(min_length=1)


@dataclass(frozen=True)
class DutySheet:
    """A communication sheet: the duties, and what is wrong with them.

    Parameters
    ----------
    file : DutiesFile
        As written.
    holes : tuple of str
        What nobody says, watches or hears, leg by leg.
    overlaps : tuple of str
        What two people say.
    loads : tuple of str
        Who would have to speak too often.
    """

    file: DutiesFile
    holes: tuple[str, ...]
    overlaps: tuple[str, ...]
    loads: tuple[str, ...]

    def of(self, role: str, leg: str) -> list[Duty]:
        """Return the duties of a role on a leg, in the order do, watch, say."""
        mine = [one for one in self.file.duties if one.role == role and leg in one.legs]
        return sorted(mine, key=lambda one: list(DutyKind).index(one.kind))


def read_duties(path: Path) -> DutySheet:
    """Read the duties and look for holes and overlaps.

    Raises
    ------
    InputError
        The file is not there.
    BookFileError
        One or more mistakes; all are listed.
    """
    toml = read_toml(path)
    file = parse(toml, DutiesFile)
    findings = list(_unknown_names(file, toml))
    if findings:
        raise BookFileError(findings, next_step=NEXT_STEP)
    return sheet_of(file)


def sheet_of(file: DutiesFile, aboard: Sequence[str] | None = None) -> DutySheet:
    """Return the sheet of a crew; with fewer roles aboard, what the others leave undone shows as holes."""
    roles = set(file.roles if aboard is None else aboard)
    duties = [one for one in file.duties if one.role in roles]
    holes = [*_holes(file, duties), *_unheard(duties, roles)]
    return DutySheet(file, tuple(holes), tuple(_overlaps(file, duties)), tuple(_loads(file, duties)))


def _unknown_names(file: DutiesFile, toml: TomlText) -> Iterator[Finding]:
    topics = [one.id for one in file.topics]
    for index, topic in enumerate(file.topics):
        for leg in topic.legs:
            yield from _check(toml, ("topics", index, "legs"), leg, file.legs, "leg")
    for index, duty in enumerate(file.duties):
        yield from _check(toml, ("duties", index, "role"), duty.role, file.roles, "role")
        for leg in duty.legs:
            yield from _check(toml, ("duties", index, "legs"), leg, file.legs, "leg")
        if duty.topic is not None:
            yield from _check(toml, ("duties", index, "topic"), duty.topic, topics, "topic")
        if duty.to not in (None, "all"):
            yield from _check(toml, ("duties", index, "to"), str(duty.to), file.roles, "role")
        if duty.kind is DutyKind.SAY and (duty.topic is None or duty.to is None):
            yield toml.finding(
                ("duties", index), "what is said needs a topic and who it is said to", accepted="topic and to"
            )


def _check(
    toml: TomlText, place: tuple[str | int, ...], found: str, known: Sequence[str], what: str
) -> Iterator[Finding]:
    if found not in known:
        close = difflib.get_close_matches(found, known, n=1, cutoff=0.5)
        yield toml.finding(
            place,
            f"no such {what}",
            found=repr(found),
            accepted=", ".join(known),
            nearest=close[0] if close else None,
        )


def _speakers(duties: Sequence[Duty], topic: str, leg: str, kind: DutyKind) -> list[str]:
    return [one.role for one in duties if one.kind is kind and one.topic == topic and leg in one.legs]


def _holes(file: DutiesFile, duties: Sequence[Duty]) -> Iterator[str]:
    for topic in file.topics:
        for leg in topic.legs:
            said = _speakers(duties, topic.id, leg, DutyKind.SAY)
            if not said:
                yield f"{leg}: nobody calls {topic.words}"
            elif topic.must_be_watched and not _speakers(duties, topic.id, leg, DutyKind.WATCH):
                yield f"{leg}: {said[0]} calls {topic.words}, but nobody watches it"


def _overlaps(file: DutiesFile, duties: Sequence[Duty]) -> Iterator[str]:
    for topic in file.topics:
        for leg in topic.legs:
            said = list(dict.fromkeys(_speakers(duties, topic.id, leg, DutyKind.SAY)))
            if len(said) > 1:
                yield f"{leg}: {' and '.join(said)} call {topic.words}"


def _unheard(duties: Sequence[Duty], roles: set[str]) -> Iterator[str]:
    for one in duties:
        if one.kind is DutyKind.SAY and one.to not in (None, "all") and one.to not in roles:
            yield f"{', '.join(one.legs)}: {one.role} speaks to {one.to}, who is not aboard: {one.what}"


def _loads(file: DutiesFile, duties: Sequence[Duty]) -> Iterator[str]:
    for leg in file.legs:
        for role in file.roles:
            spoken = [
                one
                for one in duties
                if one.role == role and leg in one.legs and one.kind is DutyKind.SAY and one.every_s
            ]
            a_minute = sum(60.0 / (one.every_s or 60.0) for one in spoken)
            if a_minute > MOST_SPOKEN_A_MINUTE:
                yield f"{leg}: {role} would speak {a_minute:.0f} times a minute; give some of it away"
