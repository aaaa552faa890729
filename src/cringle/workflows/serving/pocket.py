"""The pocket page: made from the book, and what a phone gives out of it taken in again."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Annotated, Any, Final, Literal
from uuid import UUID

from pydantic import AwareDatetime, BaseModel, ConfigDict, Field, ValidationError

from cringle.boat.write import write_atomically
from cringle.book.entries import NewEntry
from cringle.book.outing_notes import Observation, SettingNote, note_entry
from cringle.book.outings import Outing
from cringle.errors import CringleError, InputError
from cringle.output.pocket import FORMAT, Pocket, PocketPlay, pocket_html
from cringle.settings.records import TonightRequest
from cringle.settings.tonight import Tonight
from cringle.workflows.book_open import Records, open_records
from cringle.workflows.outings.outing import EARLIEST_BEFORE_START, LATEST_AFTER_START, outing_index
from cringle.workflows.plays.open import Playbook, open_playbook
from cringle.workflows.plays.output import timeline_of
from cringle.workflows.plays.play import checked_in
from cringle.workflows.round.card import local_time
from cringle.workflows.serving.served import Served

LOWEST_KN, HIGHEST_KN, STEP_KN = 4.0, 24.0, 0.5
MOST_BYTES: Final = 2_000_000
Answers = Callable[[TonightRequest], Tonight]


def make_pocket(folder: Path, request: TonightRequest, out: Path, *, answers: Answers | None = None) -> Path:
    """Write the pocket page for tonight's conditions; replaced whole or not at all.

    Raises
    ------
    InputError
        The request cannot be answered.
    """
    write_atomically(out, pocket_page(folder, request, answers=answers).encode("utf-8"))
    return out


def pocket_page(folder: Path, request: TonightRequest, *, answers: Answers | None = None) -> str:
    """Return the pocket page: every half knot is answered here, the page only looks up.

    Parameters
    ----------
    folder : Path
        The book.
    request : TonightRequest
        Tonight's conditions.
    answers : callable, optional
        Answers a request; the book alone when left out.
    """
    served = Served(folder)
    asked = answers or served.tonight
    try:
        tonight = asked(request)
        winds = [(wind, asked(_at(request, wind))) for wind in half_knots()]
    finally:
        served.close()
    made = f"{local_time(folder, None):%-d %B %Y %H:%M}"
    return pocket_html(Pocket(made, tonight, winds, pocket_plays(folder)))


def half_knots() -> list[float]:
    """Return the winds of the page [kn]."""
    return [LOWEST_KN + STEP_KN * step for step in range(round((HIGHEST_KN - LOWEST_KN) / STEP_KN) + 1)]


def _at(request: TonightRequest, wind_kn: float) -> TonightRequest:
    return replace(request, wind_kn=wind_kn, low_kn=None, high_kn=None, gust_kn=None)


def pocket_plays(folder: Path) -> list[PocketPlay]:
    """Return the plays that can be done, each with who says and does what, in order."""
    book = open_playbook(folder)
    found = [_play(book, name) for name in book.in_order()]
    return [one for one in found if one is not None]


def _play(book: Playbook, name: str) -> PocketPlay | None:
    from cringle.output.play_chart import timeline_svg

    try:
        checked = checked_in(book, name)
        if checked.checked.plan.makespan_s is None:
            return None
        steps = [
            (checked.name_of(one.person), one.words, one.start_s) for one in timeline_of(checked).lanes.bars
        ]
    except CringleError:
        return None
    steps.sort(key=lambda one: one[2])
    return PocketPlay(
        checked.play.title, checked.play.summary, tuple(steps), timeline_svg(timeline_of(checked))
    )


class PocketEntry(BaseModel):
    """One thing written down afloat."""

    model_config = ConfigDict(extra="forbid")

    uid: UUID
    at_utc: AwareDatetime
    by: Annotated[str, Field(min_length=1, max_length=40)]
    kind: Literal["note", "setting", "stopwatch"]
    text: Annotated[str, Field(min_length=1, max_length=4000)] | None = None
    role: Annotated[str, Field(min_length=1, max_length=80)] | None = None
    value: Annotated[float, Field(allow_inf_nan=False)] | None = None
    seconds: Annotated[float, Field(ge=0, le=86400, allow_inf_nan=False)] | None = None


class PocketFile(BaseModel):
    """What a pocket page gives out."""

    model_config = ConfigDict(extra="forbid")

    format: Literal["cringle-pocket/1"]
    boat: str
    entries: Annotated[list[PocketEntry], Field(max_length=5000)]


@dataclass(frozen=True)
class PocketTaken:
    """What came of taking a file in: how many were new, how many were there already, and the outings."""

    taken: int
    already_there: int
    outings: tuple[str, ...]


def is_pocket(data: bytes) -> bool:
    """Whether some bytes look like what a pocket page gives out."""
    return FORMAT.encode("ascii") in data[:400]


def take_in_file(folder: Path, file: Path, *, who: str) -> PocketTaken | None:
    """Take in a file that a pocket page gave out; None when it is something else.

    Raises
    ------
    InputError
        It cannot be read, or not be taken in.
    """
    try:
        with file.open("rb") as stream:
            data = stream.read(MOST_BYTES + 1)
    except OSError as error:
        raise InputError(f"{file}: cannot be read ({error.strerror})", next_step="check the path") from error
    return take_in_pocket(folder, data, who=who, name=file.name) if is_pocket(data) else None


def take_in_pocket(folder: Path, data: bytes, *, who: str, name: str = "this file") -> PocketTaken:
    """Take in what a phone wrote down afloat; each entry counts once, under the name of who wrote it.

    Everything is checked before anything is written; taking the file in again after a stop takes the rest.

    Raises
    ------
    InputError
        It is no such file, of another boat, about a line the boat does not have, or of a day without outing.
    """
    found = _parsed(data, name)
    with open_records(folder, who=who) as records:
        _require_same_boat(records, found, name)
        known = {
            entry.uid for kind in ("observation", "outing_setting") for entry in records.book.history(kind)
        }
        fresh = {one.uid: one for one in found.entries if one.uid not in known}
        entries = [(one.by, _entry(records, one, name)) for one in fresh.values()]
    for by in dict.fromkeys(by for by, _ in entries):
        own = [entry for writer, entry in entries if writer == by]
        with open_records(folder, who=by, device="pocket page") as records:
            records.book.write(own, why=f"taken in by {who}")
    outings = tuple(dict.fromkeys(entry.subject for _, entry in entries))
    return PocketTaken(len(entries), len(found.entries) - len(entries), outings)


def _require_same_boat(records: Records, found: PocketFile, name: str) -> None:
    boat = records.files.boat_file.boat.name
    if found.boat != boat:
        raise InputError(f"{name}: is of {found.boat!r}, this book is of {boat!r}", next_step="give --book")


def _parsed(data: bytes, name: str) -> PocketFile:
    if len(data) > MOST_BYTES:
        raise InputError(f"{name}: longer than any pocket page gives out", next_step="check the file")
    try:
        return PocketFile.model_validate(json.loads(data.decode("utf-8")))
    except ValidationError as error:
        first = error.errors()[0]
        place = ".".join(str(part) for part in first["loc"])
        raise InputError(
            f"{name}: {place}: {first['msg']}", next_step="give it out again on the phone"
        ) from error
    except (ValueError, RecursionError) as error:
        raise InputError(f"{name}: is no file of a pocket page", next_step="give it out again") from error


def _entry(records: Records, one: PocketEntry, name: str) -> NewEntry:
    at = one.at_utc.astimezone(UTC)
    outing = _outing_of(outing_index(records), at, name)
    return replace(note_entry(outing, _note(records, one, at, name)), uid=one.uid)


def _note(records: Records, one: PocketEntry, at: datetime, name: str) -> Observation | SettingNote:
    if one.kind != "setting":
        if one.text is None and one.seconds is None:
            raise InputError(f"{name}: entry {one.uid} says nothing", next_step="give it out again")
        words = " ".join(part for part in (one.text, _seconds(one.seconds)) if part)
        tag = "stop-watch" if one.kind == "stopwatch" else None
        return Observation(at, words, one.by, boat=records.files.boat_file.boat.name, tag=tag)
    lines = records.files.boat_file.for_role(one.role or "")
    if not lines or one.value is None or not lines[0].low <= one.value <= lines[0].high:
        raise InputError(
            f"{name}: {one.role} at {one.value}: the boat has no such line, or its scale no such number",
            next_step="correct that line of the file, or leave it out",
        )
    return SettingNote(at, str(one.role), one.value, lines[0].unit)


def _seconds(seconds: float | None) -> str:
    return "" if seconds is None else f"{seconds:g} s"


def _outing_of(outings: Sequence[Outing], at: datetime, name: str) -> str:
    near: list[Any] = [
        one
        for one in outings
        if one.started - EARLIEST_BEFORE_START <= at <= one.started + LATEST_AFTER_START
    ]
    if not near:
        raise InputError(
            f"{name}: there is no outing at {at:%Y-%m-%d %H:%M} UTC",
            next_step=f"run: cringle outing start --at '{at:%Y-%m-%d %H:%M}', then take it in again",
        )
    return str(min(near, key=lambda one: abs(at - one.started)).id)
