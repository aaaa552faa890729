"""The moments of an evening: ashore, between races, racing; and when the preparatory signal is.

From the preparatory signal what the crew reads is fixed until somebody says that the race is over (Racing
Rules of Sailing 2025-2028, rule 41, number and edition from memory; class rules and sailing instructions may
say more). The lock itself is the one of `cringle.workflows.outings.evening`, so that every door has the same.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Final
from zoneinfo import ZoneInfo

from cringle.book.entries import NewEntry
from cringle.book.local_time import instant_of
from cringle.book.rows import time_of, time_text
from cringle.book.store import Book
from cringle.errors import InputError, RuleError
from cringle.settings.records import TonightRequest
from cringle.workflows.book_open import Records, open_records
from cringle.workflows.book_then import BookThen
from cringle.workflows.outings.evening import Evening, Fixed, begin_racing, end_racing, evening_of
from cringle.workflows.outings.frozen import files_then, keep_files, newest_before

SIGNAL: Final = "preparatory_signal"
BOAT: Final = "boat"
RULE_41: Final = (
    "Racing: what you read is fixed since the preparatory signal (RRS 41, 2025-2028); class rules and "
    "sailing instructions may say more."
)
LOCKED: Final = "racing: no advice after the preparatory signal (RRS 41)"
UNLOCK: Final = "when the race is over, run: cringle between --race-over"

Clock = Callable[[], datetime]


def utc_now() -> datetime:
    """Return the present instant, UTC."""
    return datetime.now(UTC)


@dataclass(frozen=True)
class Moment:
    """Where in the evening the crew is.

    Parameters
    ----------
    evening : Evening
        The conditions, and whether what the crew reads is fixed.
    signal : datetime or None
        The next preparatory signal, UTC; None when nobody has said when.
    now : datetime
        The instant this is about, UTC.
    zone : ZoneInfo
        The boat's time zone.
    """

    evening: Evening
    signal: datetime | None
    now: datetime
    zone: ZoneInfo

    @property
    def is_locked(self) -> bool:
        """Whether the crew is racing."""
        return self.evening.is_racing

    @property
    def minutes_left(self) -> int | None:
        """Whole minutes to the preparatory signal; None when it is not known or past."""
        if self.signal is None or self.is_locked or self.signal < self.now:
            return None
        return int((self.signal - self.now).total_seconds() // 60)


def moment(folder: Path, *, who: str = "coach", clock: Clock = utc_now) -> Moment:
    """Return where in the evening the crew is.

    A preparatory signal that is past fixes the content first, as it stood at the signal, whoever looks first
    and when. Each look before it keeps the files as they are, for they may be edited by hand afterwards.
    """
    now = clock()
    found = _stands(folder, who, now)
    if found.signal is None or found.is_locked or found.signal > now:
        return found
    with open_records(folder, who=who) as records:
        then = newest_before(records.book, found.signal)
        files = files_then(records.book, then)
        evening = evening_of(BookThen(records.book, then), None)
        fixed = Fixed(then, files.id if files else keep_files(records.book).id, found.signal)
    begin_racing(folder, evening.request, who=who, fixed=fixed)
    return _stands(folder, who, now)


def _stands(folder: Path, who: str, now: datetime) -> Moment:
    with open_records(folder, who=who) as records:
        found = Moment(evening_of(records.book, None), _signal(records.book), now, records.zone)
        if found.minutes_left is not None:
            keep_files(records.book)
        return found


def _signal(book: Book) -> datetime | None:
    found = book.one(SIGNAL, BOAT)
    return None if found is None or found.is_blank else time_of(str(found.value))


def set_signal(folder: Path, text: str, *, who: str, clock: Clock = utc_now) -> Moment:
    """Say when the next preparatory signal is, by the boat's own clock.

    Parameters
    ----------
    folder : Path
        The book.
    text : str
        ``18:55``, or a whole date and time.
    who : str
        Who says so.
    clock : callable
        Gives the present instant.

    Raises
    ------
    RuleError
        They are racing.
    InputError
        It is no time, or it is past.
    """
    require_unlocked(folder, who=who, clock=clock)
    with open_records(folder, who=who) as records:
        at = instant_of(text, _today(records, clock), records.zone)
        if at <= clock():
            raise InputError(
                f"the preparatory signal at {text} is past",
                next_step="give the next one, such as --signal 18:55",
            )
        _write_signal(records, time_text(at))
        keep_files(records.book)
    return moment(folder, who=who, clock=clock)


def _today(records: Records, clock: Clock) -> date:
    return clock().astimezone(records.zone).date()


def _write_signal(records: Records, value: str | None) -> None:
    stands = records.book.one(SIGNAL, BOAT)
    if stands is None and value is None:
        return
    base = None if stands is None else stands.id
    records.book.write([NewEntry(SIGNAL, BOAT, {"value": value}, base_id=base)], why="preparatory signal")


def lock(folder: Path, request: TonightRequest | None = None, *, who: str, clock: Clock = utc_now) -> Moment:
    """Say that the preparatory signal was made: what the crew reads is fixed."""
    before = moment(folder, who=who, clock=clock)
    if not before.is_locked:
        with open_records(folder, who=who) as records:
            fixed = Fixed(records.book.newest(), keep_files(records.book).id, before.now)
        begin_racing(folder, request or before.evening.request, who=who, fixed=fixed)
    return moment(folder, who=who, clock=clock)


def unlock(folder: Path, *, who: str, clock: Clock = utc_now) -> Moment:
    """Say that the race is over: what the crew reads follows the book again."""
    with open_records(folder, who=who) as records:
        signal = _signal(records.book)
        if signal is not None and signal <= clock():
            _write_signal(records, None)
    end_racing(folder, who=who)
    return moment(folder, who=who, clock=clock)


def require_unlocked(folder: Path, *, who: str = "coach", clock: Clock = utc_now) -> Moment:
    """Return the moment.

    Raises
    ------
    RuleError
        They are racing; the message names the rule.
    """
    found = moment(folder, who=who, clock=clock)
    if found.is_locked:
        raise RuleError(LOCKED, next_step=UNLOCK)
    return found
