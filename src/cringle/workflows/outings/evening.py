"""The evening as the crew shares it: the conditions that somebody entered, and whether they are racing.

From the preparatory signal the content is fixed: the conditions and the state of the book that stood then are
what every page shows until somebody says that the race is over (RRS 41; class rules and sailing instructions
may say more).
"""

from __future__ import annotations

from collections.abc import Iterable
from contextlib import suppress
from dataclasses import asdict, dataclass
from datetime import datetime
from pathlib import Path
from typing import Any, Final
from zoneinfo import ZoneInfo

from cringle.boat.crew_file import Person
from cringle.book.entries import Entry, NewEntry
from cringle.book.outings import assemble
from cringle.book.rows import time_of, time_text
from cringle.book.store import Book
from cringle.errors import ConflictError, RuleError
from cringle.settings.moves import Move, moves_between
from cringle.settings.records import TonightRequest
from cringle.settings.table import DEFAULT_SEA
from cringle.settings.tonight import Tonight
from cringle.workflows.book_open import open_records
from cringle.workflows.book_then import BookThen

CONDITIONS: Final = "tonight_asked"
RACING: Final = "racing"
BOAT: Final = "boat"
NOWHERE_KN: Final = 10.0
"""Wind shown while nobody has entered one and the table is empty [kn]."""


@dataclass(frozen=True)
class Evening:
    """What the crew shares tonight.

    Parameters
    ----------
    request : TonightRequest
        The conditions.
    said_by : str or None
        Who entered them; None when nobody has.
    said_at : datetime or None
        When, UTC.
    entry_id : int or None
        The entry they stand in, for whoever changes them next.
    racing_since : datetime or None
        When the content was fixed, UTC; None when not racing.
    fixed_at : int or None
        Newest entry at that moment.
    files_at : int or None
        The entry that keeps the files as they were then.
    """

    request: TonightRequest
    said_by: str | None = None
    said_at: datetime | None = None
    entry_id: int | None = None
    racing_since: datetime | None = None
    fixed_at: int | None = None
    files_at: int | None = None

    @property
    def is_racing(self) -> bool:
        """Whether the content is fixed."""
        return self.fixed_at is not None


def evening_of(book: Book | BookThen, middle_kn: float | None) -> Evening:
    """Return the evening as it stands in an open book.

    Parameters
    ----------
    book : Book
        The records.
    middle_kn : float or None
        Wind to show while nobody has entered one [kn].
    """
    said, racing = book.one(CONDITIONS, BOAT), book.one(RACING, BOAT)
    request = TonightRequest(wind_kn=middle_kn or NOWHERE_KN)
    if racing is not None and not racing.is_blank:
        return Evening(
            request_of(racing.payload),
            racing.who,
            racing.at,
            racing.id,
            time_of(str(racing.payload["since"])) if "since" in racing.payload else racing.at,
            int(racing.payload["fixed_at"]),
            racing.payload.get("files_at"),
        )
    if said is None or said.is_blank:
        return Evening(_last_wind(book) or request, entry_id=None if said is None else said.id)
    return Evening(request_of(said.payload), said.who, said.at, said.id)


def _last_wind(book: Book | BookThen) -> TonightRequest | None:
    """Return the wind noted last on the outing that goes on, as conditions."""
    kinds = ("outing_start", "outing_end", "outing_wind", "outing_sea")
    found = sorted((one for kind in kinds for one in book.history(kind)), key=lambda one: one.id)
    going_on = [one for one in assemble(found, ZoneInfo("UTC")) if one.is_open and one.winds]
    if not going_on:
        return None
    wind, seas = going_on[-1].winds[-1], going_on[-1].seas
    sea = seas[-1].sea if seas else DEFAULT_SEA
    return TonightRequest(wind.wind_kn, wind.low_kn, wind.high_kn, wind.gust_kn, wind.height_m, sea)


def request_of(payload: Any) -> TonightRequest:
    """Return conditions as they were kept."""
    kept = dict(payload["request"])
    return TonightRequest(**{**kept, "aboard": tuple(kept.get("aboard", ()))})


def _payload(request: TonightRequest) -> dict[str, Any]:
    return {
        "value": f"{request.mean_kn:g} kn, {request.sea}",
        "request": {**asdict(request), "aboard": list(request.aboard)},
    }


def share_conditions(folder: Path, request: TonightRequest, *, who: str, base_id: int | None) -> Entry:
    """Tell everybody tonight's conditions.

    Raises
    ------
    ConflictError
        Somebody has entered others since.
    RuleError
        They are racing.
    """
    with open_records(folder, who=who) as records:
        require_not_racing(records.book)
        entry = NewEntry(CONDITIONS, BOAT, _payload(request), base_id=base_id)
        return records.book.write([entry], why="tonight's conditions")[0]


@dataclass(frozen=True)
class Fixed:
    """What is fixed: newest entry, the entry that keeps the files, and when the signal was, UTC."""

    fixed_at: int
    files_at: int | None
    since: datetime


def begin_racing(folder: Path, request: TonightRequest, *, who: str, fixed: Fixed | None = None) -> None:
    """Fix the content at the preparatory signal; a second time changes nothing.

    Parameters
    ----------
    folder : Path
        The book.
    request : TonightRequest
        The conditions that everybody reads.
    who : str
        Who says so.
    fixed : Fixed, optional
        What stood at the signal; None takes the records as they stand now, and keeps no files.
    """
    with open_records(folder, who=who) as records:
        before = records.book.one(RACING, BOAT)
        if before is not None and not before.is_blank:
            return
        kept = fixed or Fixed(records.book.newest(), None, records.book.now())
        payload = {**_payload(request), "fixed_at": kept.fixed_at, "files_at": kept.files_at}
        payload["since"] = time_text(kept.since)
        base = None if before is None else before.id
        with suppress(ConflictError):  # somebody else fixed it in the same instant: theirs stands
            records.book.write([NewEntry(RACING, BOAT, payload, base_id=base)], why="preparatory signal")


def end_racing(folder: Path, *, who: str) -> None:
    """Let the content follow the book again; a second time changes nothing."""
    with open_records(folder, who=who) as records:
        before = records.book.one(RACING, BOAT)
        if before is None or before.is_blank:
            return
        records.book.write([NewEntry(RACING, BOAT, {"value": None}, base_id=before.id)], why="race over")


def require_not_racing(book: Book) -> None:
    """Refuse a change of what the crew reads while they race.

    Raises
    ------
    RuleError
        The content is fixed.
    """
    racing = book.one(RACING, BOAT)
    if racing is not None and not racing.is_blank:
        raise RuleError(
            "racing: what the crew reads is fixed since the preparatory signal (RRS 41)",
            next_step="say that the race is over, on the page Between races",
        )


def differences(before: Tonight, now: Tonight, aboard: Iterable[Person]) -> tuple[Move, ...]:
    """Return what to change from one answer to another: screws first, then the largest moves."""
    found = moves_between(before.numbers, now.numbers, before.scales, aboard=aboard)
    return tuple(sorted(found, key=lambda one: (not before.scales[one.role].is_rig, -abs(one.steps))))
