"""What is read while racing: as it stood at the signal, whoever looks first and whatever is edited."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from cringle.book import store
from cringle.book.fits import NewFit
from cringle.book.store import Book
from cringle.settings.records import TonightRequest
from cringle.workflows.numbers.csv import import_csv
from cringle.workflows.numbers.settings import SettingChange, set_number
from cringle.workflows.numbers.tonight import tonight
from cringle.workflows.outings import moments
from cringle.workflows.outings.evening import share_conditions
from cringle.workflows.outings.frozen import FILES_THEN, files_of, fixed_answer, keep_files, newest_before
from cringle.workflows.outings.moments import lock, moment, set_signal
from cringle.workflows.round.dock import dock, dock_json
from cringle.workflows.serving.served import Served

SIGNAL = "18:55"


class Now:
    """One clock for the whole book."""

    def __init__(self) -> None:
        self.at = datetime(2026, 6, 17, 17, 30, tzinfo=UTC)

    def __call__(self) -> datetime:
        self.at += timedelta(milliseconds=1)
        return self.at

    def go_to(self, minutes: float) -> None:
        """Move to so many minutes after the start."""
        self.at = datetime(2026, 6, 17, 17, 30, tzinfo=UTC) + timedelta(minutes=minutes)


@pytest.fixture
def now(monkeypatch: pytest.MonkeyPatch) -> Iterator[Now]:
    """Return the clock of every book opened from now on, and of the moments."""
    clock = Now()

    class Stopped(datetime):
        @classmethod
        def now(cls, tz: object = None) -> datetime:  # type: ignore[override]  # only UTC is asked for
            del tz
            return clock()

    for module in (store, moments):
        monkeypatch.setattr(module, "datetime", Stopped)
    return clock


@pytest.fixture
def folder(book_folder: Path, examples: Path, now: Now) -> Path:
    now.go_to(0)
    import_csv(_made(book_folder), examples / "table.csv", who="coach")
    share_conditions(book_folder, TonightRequest(wind_kn=12.0), who="Ines", base_id=None)
    return book_folder


def _made(folder: Path) -> Path:
    Book.open(folder, create=True).close()
    return folder


def renamed(folder: Path, old: str, new: str) -> None:
    path = folder / "boat.toml"
    path.write_text(path.read_text(encoding="utf-8").replace(old, new), encoding="utf-8")


def without_moment(folder: Path) -> dict[str, object]:
    found = dock_json(dock(folder, TonightRequest(wind_kn=12.0)))
    left_out = {
        "racing",
        "rig_until_utc",
        "minutes_left",
        "changed_since",
        "changed",
        "notes",
        "moves",
        "ready",
    }
    return {name: value for name, value in found.items() if name not in left_out}


def test_a_signal_that_passes_unseen_fixes_what_stood_at_it(folder: Path, now: Now) -> None:
    set_signal(folder, SIGNAL, who="Ines")
    before = without_moment(folder)
    now.go_to(30)
    set_number(folder, SettingChange("vang", 12.0, 5.0), who="coach", why="after the signal")
    share = Book.open(folder)
    entry = share.one("tonight_asked", "boat")
    share.close()
    assert entry is not None
    found = moment(folder)
    assert found.is_locked
    assert found.evening.racing_since == datetime(2026, 6, 17, 17, 55, tzinfo=UTC)
    assert without_moment(folder) == before


def test_conditions_entered_after_an_unseen_signal_do_not_count(folder: Path, now: Now) -> None:
    set_signal(folder, SIGNAL, who="Ines")
    with Book.open(folder) as book:
        seen = book.one("tonight_asked", "boat")
    assert seen is not None
    now.go_to(30)
    share_conditions(folder, TonightRequest(wind_kn=20.0), who="Keo", base_id=seen.id)
    assert moment(folder).evening.request.mean_kn == 12.0


def test_files_edited_by_hand_do_not_show_through(folder: Path, now: Now) -> None:
    set_signal(folder, SIGNAL, who="Ines")
    before = without_moment(folder)
    now.go_to(26)
    assert moment(folder).is_locked
    renamed(folder, 'name = "Brindle"', 'name = "Sorrel"')
    assert without_moment(folder) == before


def test_a_look_before_the_signal_keeps_the_files_of_then(folder: Path, now: Now) -> None:
    set_signal(folder, SIGNAL, who="Ines")
    renamed(folder, 'name = "Brindle"', 'name = "Sorrel"')
    now.go_to(10)
    assert dock(folder, TonightRequest(wind_kn=12.0)).tonight.boat == "Sorrel"
    now.go_to(20)
    renamed(folder, 'name = "Sorrel"', 'name = "Dapple"')
    now.go_to(40)
    assert dock(folder, TonightRequest(wind_kn=12.0)).tonight.boat == "Sorrel", "nobody saw the last edit"


def test_the_same_files_are_kept_once(folder: Path) -> None:
    with Book.open(folder) as book:
        assert keep_files(book).id == keep_files(book).id
        assert len(book.history(FILES_THEN)) == 1
        assert files_of(book, 0) is None
        renamed(folder, 'name = "Brindle"', 'name = "Sorrel"')
        first, second = book.newest(), keep_files(book).id
        kept = [files_of(book, one) for one in (first, second)]
    assert [one.boat_file.boat.name for one in kept if one is not None] == ["Brindle", "Sorrel"]
    assert kept[1] is not None
    assert kept[1].folder == folder


def test_the_newest_entry_before_an_instant(folder: Path, now: Now) -> None:
    with Book.open(folder) as book:
        start = book.history()[0].at
        assert newest_before(book, start - timedelta(days=1)) == 0
        newest = book.newest()
        now.go_to(60)
        keep_files(book)
        assert newest_before(book, start + timedelta(minutes=30)) == newest
        assert newest_before(book, start + timedelta(days=1)) == book.newest()


def test_an_entry_that_came_late_from_another_copy_lets_nothing_through(folder: Path, now: Now) -> None:
    """A batch with an older stamp than one written before it does not move the fixed state onwards."""
    then = datetime(2026, 6, 17, 17, 55, tzinfo=UTC)
    with Book.open(folder) as book:
        newest = book.newest()
    now.go_to(30)
    set_number(folder, SettingChange("vang", 12.0, 5.0), who="coach", why="after")
    now.go_to(20)
    set_number(folder, SettingChange("vang", 14.0, 5.0), who="coach", why="stamped before, written later")
    with Book.open(folder) as book:
        assert newest_before(book, then) == newest


def test_both_doors_show_the_same_while_racing(folder: Path, now: Now) -> None:
    lock(folder, TonightRequest(wind_kn=12.0), who="Ines")
    now.go_to(5)
    set_number(folder, SettingChange("vang", 12.0, 5.0), who="coach", why="meanwhile")
    renamed(folder, 'name = "Brindle"', 'name = "Sorrel"')
    served = Served(folder)
    evening = served.evening()
    page = served.tonight(evening.request, fixed_at=evening.fixed_at)
    fixed = dock(folder, TonightRequest(wind_kn=5.0)).tonight
    assert page.boat == fixed.boat == "Brindle"
    assert page.numbers == fixed.numbers
    served.close()


def test_a_server_that_was_only_listening_locks_too(folder: Path, now: Now) -> None:
    served = Served(folder)
    set_signal(folder, SIGNAL, who="Ines")
    assert not served.evening().is_racing
    assert served.signal() == datetime(2026, 6, 17, 17, 55, tzinfo=UTC)
    now.go_to(25.5)
    assert served.evening().is_racing
    assert served.signal() is None
    served.close()


def test_a_fit_made_while_racing_changes_nothing(folder: Path, now: Now) -> None:
    now.go_to(1)
    lock(folder, TonightRequest(wind_kn=12.0), who="Ines")
    with Book.open(folder) as book:
        before = fixed_answer(folder, book, moment(folder).evening)
        now.go_to(30)
        book.save_fit(NewFit({"hull_drag": 1.2}, [[0.01]], "0" * 64, "2"))
        assert fixed_answer(folder, book, moment(folder).evening) == before
        assert len(book.fits()) == 1


def test_without_a_kept_state_the_answer_is_the_books_own(folder: Path) -> None:
    lock(folder, TonightRequest(wind_kn=12.0), who="Ines")
    with Book.open(folder) as book:
        found = fixed_answer(folder, book, moment(folder).evening, with_model=False)
    assert found == tonight(folder, TonightRequest(wind_kn=12.0))
