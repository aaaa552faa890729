from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from cringle.errors import InputError, RuleError
from cringle.settings.records import TonightRequest
from cringle.workflows.outings.moments import lock, moment, require_unlocked, set_signal, unlock

START = datetime(2026, 6, 17, 17, 30, tzinfo=UTC)


class Clock:
    """A clock that stands until it is moved."""

    def __init__(self, now: datetime = START) -> None:
        self.now = now

    def __call__(self) -> datetime:
        return self.now


def test_nobody_has_said_when_the_signal_is(book_folder: Path) -> None:
    found = moment(book_folder, clock=Clock())
    assert (found.signal, found.minutes_left, found.is_locked) == (None, None, False)


def test_the_signal_is_told_by_the_boats_own_clock(book_folder: Path) -> None:
    found = set_signal(book_folder, "18:55", who="Ines", clock=Clock())
    assert found.signal == datetime(2026, 6, 17, 17, 55, tzinfo=UTC), "18:55 in London in June"
    assert found.minutes_left == 25


def test_a_signal_that_is_past_is_refused(book_folder: Path) -> None:
    with pytest.raises(InputError, match="past"):
        set_signal(book_folder, "18:29", who="Ines", clock=Clock())
    with pytest.raises(InputError, match="no time"):
        set_signal(book_folder, "soon", who="Ines", clock=Clock())


def test_the_signal_locks_by_itself_and_names_the_rule(book_folder: Path) -> None:
    clock = Clock()
    set_signal(book_folder, "18:55", who="Ines", clock=clock)
    clock.now = START + timedelta(minutes=25)
    assert moment(book_folder, clock=clock).is_locked
    with pytest.raises(RuleError, match="RRS 41"):
        require_unlocked(book_folder, clock=clock)
    with pytest.raises(RuleError):
        set_signal(book_folder, "19:30", who="Ines", clock=clock)


def test_the_race_over_unlocks_and_stays_so(book_folder: Path) -> None:
    clock = Clock()
    set_signal(book_folder, "18:55", who="Ines", clock=clock)
    clock.now = START + timedelta(minutes=40)
    assert moment(book_folder, clock=clock).is_locked
    assert not unlock(book_folder, who="Ines", clock=clock).is_locked
    assert not moment(book_folder, clock=clock).is_locked
    assert set_signal(book_folder, "19:30", who="Ines", clock=clock).minutes_left == 20


def test_a_signal_by_hand_fixes_the_conditions_given(book_folder: Path) -> None:
    request = TonightRequest(wind_kn=13.0)
    found = lock(book_folder, request, who="Ines", clock=Clock())
    assert found.is_locked
    assert found.evening.request == request
    assert lock(book_folder, TonightRequest(wind_kn=5.0), who="Keo", clock=Clock()).evening.request == request


def test_unlocking_before_the_signal_keeps_the_signal(book_folder: Path) -> None:
    set_signal(book_folder, "18:55", who="Ines", clock=Clock())
    assert unlock(book_folder, who="Ines", clock=Clock()).minutes_left == 25
